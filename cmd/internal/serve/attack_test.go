package serve

import (
	"archive/zip"
	"bufio"
	"bytes"
	"fmt"
	"io"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"rxsplit/cmd/internal/app"
)

const validLabel = "name: x\nrate: 30 fl oz/ac\n"

// refused wants a status, and nothing of the folder in the answer.
func refused(t *testing.T, v *visitor, r *http.Response, status int) {
	t.Helper()
	text := v.see(r, status)
	if strings.Contains(text, "secret") || strings.Contains(text, "two.geojson") {
		t.Errorf("the answer tells of the folder: %s", text)
	}
}

func TestOnlyWhoHasTheKeyGetsIn(t *testing.T) {
	v := visit(t, map[string]string{"two.geojson": twoColumns})
	wants(t, v.get(""), "two.geojson")
	get := func(h http.Header) *http.Response { return v.answer(http.MethodGet, "", nil, h) }
	for _, host := range []string{"localhost:" + portOf(v), "127.0.0.1", "attacker.example:" + portOf(v), "[::1]:" + portOf(v)} {
		refused(t, v, get(http.Header{"Host": {host}}), http.StatusMisdirectedRequest)
	}
	for _, origin := range []string{"http://attacker.example", "null", "https://" + v.server.host, "http://127.0.0.1:1"} {
		refused(t, v, get(http.Header{"Origin": {origin}}), http.StatusForbidden)
		refused(t, v, v.answer(http.MethodPost, "demo", url.Values{}, http.Header{"Origin": {origin}}), http.StatusForbidden)
	}
	r, _ := http.NewRequest(http.MethodPost, v.base+"demo", nil) // by a program that says nothing of where it is from
	response, err := v.client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	refused(t, v, response, http.StatusForbidden)

	stranger := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	for _, address := range []string{v.base, v.base + "field?file=two.geojson", v.base + "?key=" + random(32), "http://" + v.server.host + "/"} {
		response, err := stranger.Get(address)
		if err != nil {
			t.Fatal(err)
		}
		refused(t, v, response, map[bool]int{true: http.StatusNotFound, false: http.StatusForbidden}[strings.HasSuffix(address, v.server.host+"/")])
	}
	// A stale key, of a program that has ended.
	jar, _ := cookiejar.New(nil)
	at, _ := url.Parse(v.base)
	jar.SetCookies(at, []*http.Cookie{{Name: cookieName, Value: random(32), Path: v.server.prefix}})
	response, err = (&http.Client{Jar: jar}).Get(v.base)
	if err != nil {
		t.Fatal(err)
	}
	refused(t, v, response, http.StatusForbidden)
	if files, _ := filepath.Glob("field.zip"); len(files) > 0 {
		t.Error("a refused post wrote a file")
	}
	response, err = stranger.Get(v.server.Address())
	if err != nil {
		t.Fatal(err)
	}
	c := response.Cookies()[0]
	if !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.Path != v.server.prefix || strings.Contains(response.Header.Get("Location"), "key") {
		t.Errorf("the cookie is %v, and it goes on to %s", c, response.Header.Get("Location"))
	}
	if ip := v.server.line.Addr().(*net.TCPAddr).IP; !ip.Equal(net.IPv4(127, 0, 0, 1)) {
		t.Errorf("it listens on %s", ip)
	}
}

func portOf(v *visitor) string {
	_, port, _ := net.SplitHostPort(v.server.host)
	return port
}

func TestNothingOutsideOfTheFolder(t *testing.T) {
	outside := t.TempDir()
	secret := filepath.Join(outside, "secret.yaml")
	os.WriteFile(secret, []byte("secret: "+validLabel), 0o666)
	os.WriteFile(filepath.Join(outside, "two.geojson"), []byte(twoColumns), 0o666)
	v := visit(t, map[string]string{
		"label.yaml": validLabel, "job.yaml": "label: " + secret + "\n", "up.yaml": "label: ../secret.yaml\n", "a/deep.geojson": twoColumns,
		"keep.yaml": "label: label.yaml\nkeep-out: /etc/passwd\n", ".hidden.geojson": twoColumns,
	})
	for link, to := range map[string]string{"out.geojson": filepath.Join(outside, "two.geojson"), "outdir": outside, "out.yaml": secret, "in.geojson": "a/deep.geojson"} {
		if err := os.Symlink(to, link); err != nil {
			t.Skip("no links here")
		}
	}
	for _, name := range []string{
		"../two.geojson", "/etc/passwd", "a/../../two.geojson", "./a/deep.geojson", "a//deep.geojson", "..", ".", "a/..", ".hidden.geojson",
		"out.geojson", "outdir/two.geojson", "%2e%2e/two.geojson", "a\x00b", `..\two.geojson`, strings.Repeat("a/", 300) + "x",
	} {
		q := url.Values{"file": {name}, "label": {"label.yaml"}}.Encode()
		r := v.answer(http.MethodGet, "field?"+q, nil, nil)
		if text := v.see(r, http.StatusBadRequest); strings.Contains(text, "N_RATE") {
			t.Errorf("%q is shown", name)
		}
	}
	for _, q := range []string{"label=out.yaml", "label=../secret.yaml", "job=job.yaml", "job=up.yaml", "job=keep.yaml", "label=label.yaml&keep-out=out.geojson", "label=" + url.QueryEscape(secret)} {
		text := v.see(v.answer(http.MethodGet, "field?file=a/deep.geojson&"+q, nil, nil), http.StatusBadRequest)
		if strings.Contains(text, "is not a key") {
			t.Errorf("%s was read: %s", q, text)
		}
	}
	wants(t, v.get("field?file=in.geojson&rate-field=N_RATE&label=label.yaml"), "As one impregnated blend")
	wants(t, v.get(""), "Links that lead out of the folder are not followed", "outdir")
	for _, address := range []string{"show/../../etc/passwd", "show/..%2f..%2fetc%2fpasswd", "show/a/deep.geojson", "show/label.yaml", "show/outdir/secret.yaml", "static/../serve.go", "zip?dir=..", "zip?dir=a", "plan?dir=outdir"} {
		v.see(v.answer(http.MethodGet, address, nil, nil), http.StatusNotFound)
	}
	for _, out := range []string{"../plan", "/tmp/plan", "outdir/plan", ".plan", "a/../../plan", "gone/plan", ""} {
		form := url.Values{"file": {"a/deep.geojson"}, "label": {"label.yaml"}, "rate-field": {"N_RATE"}, "way": {"wet-boom"}, "out": {out}}
		v.see(v.answer(http.MethodPost, "split", form, nil), http.StatusBadRequest)
	}
	left, _ := os.ReadDir(outside)
	if len(left) != 2 {
		t.Errorf("outside lie %v", left)
	}
}

// A part of a shapefile that is a link leading out is not read either.
func TestPartsLeadNowhere(t *testing.T) {
	outside := filepath.Join(t.TempDir(), "secret.dbf")
	os.WriteFile(outside, []byte("secret"), 0o666)
	v := visit(t, map[string]string{"x.shp": "x", "label.yaml": validLabel})
	if os.Symlink(outside, "X.DBF") != nil {
		t.Skip("no links here")
	}
	wants(t, v.see(v.answer(http.MethodGet, "field?file=x.shp", nil, nil), http.StatusBadRequest), "X.DBF: leads out of the folder")
}

// dropped sends files as a page does.
func (v *visitor) dropped(names ...string) *http.Response {
	v.t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	for _, name := range names {
		part, _ := m.CreateFormFile("file", name)
		io.WriteString(part, twoColumns)
	}
	m.Close()
	r, _ := http.NewRequest(http.MethodPost, v.base+"drop", &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	r.Header.Set("Origin", "http://"+v.server.host)
	response, err := v.client.Do(r)
	if err != nil {
		v.t.Fatal(err)
	}
	return response
}

func TestDropsNeverHarm(t *testing.T) {
	v := visit(t, map[string]string{"mine.geojson": "mine", "Plan/plan.json": "{}"})
	wants(t, v.see(v.dropped("new.geojson"), http.StatusOK), "N_RATE")
	for _, name := range []string{"mine.geojson", "MINE.GEOJSON", "plan.json", "x.exe", "x.html", ".x.geojson", "CON:.zip", "a.zip.", "label.yaml\n"} {
		if name == "plan.json" {
			continue // it is GeoJSON by its ending; the folder has none of that name
		}
		if r := v.dropped(name); r.StatusCode != http.StatusConflict {
			t.Errorf("%q: status %d", name, r.StatusCode)
		}
	}
	if r := v.dropped("s.shp", "s.dbf", "s.prj", "s.shx"); !strings.HasSuffix(r.Request.URL.String(), "field?file=s.shp") {
		t.Errorf("the parts of a shapefile lead to %s", r.Request.URL)
	}
	v.see(v.dropped("../out.geojson"), http.StatusOK) // only the last part of a name counts
	if _, err := os.Stat("../out.geojson"); err == nil {
		t.Error("a file was dropped outside of the folder")
	}
	if text, _ := os.ReadFile("mine.geojson"); string(text) != "mine" {
		t.Error("a file was dropped over another")
	}
	entries, _ := os.ReadDir(".")
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".") && e.Name() != ClaimName {
			t.Errorf("%s is left", e.Name())
		}
	}
	var many []string
	for i := range mostFiles + 1 {
		many = append(many, fmt.Sprintf("m%d.geojson", i))
	}
	if r := v.dropped(many...); r.StatusCode != http.StatusConflict {
		t.Errorf("%d files at once: status %d", len(many), r.StatusCode)
	}
}

// What is announced as 10 GB is refused before a byte of it is read.
func TestRefusesTenGigabytes(t *testing.T) {
	v := visit(t, nil)
	c := v.connect()
	cookie := v.client.Jar.Cookies(must(url.Parse(v.base)))[0]
	fmt.Fprintf(c, "POST %sdrop HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nCookie: %s=%s\r\nContent-Type: multipart/form-data; boundary=x\r\nContent-Length: 10000000000\r\n\r\n",
		v.server.prefix, v.server.host, v.server.host, cookie.Name, cookie.Value)
	line, err := bufio.NewReader(c).ReadString('\n')
	if err != nil || !strings.Contains(line, " 413 ") {
		t.Errorf("the answer is %q, %v", line, err)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func (v *visitor) connect() net.Conn {
	v.t.Helper()
	c, err := net.Dial("tcp", v.server.host)
	if err != nil {
		v.t.Fatal(err)
	}
	v.t.Cleanup(func() { c.Close() })
	return c
}

// Others are served while many send a header that never ends.
func TestSlowLoris(t *testing.T) {
	v := visit(t, nil)
	for range mostConnections - 8 {
		fmt.Fprintf(v.connect(), "GET %s HTTP/1.1\r\nHost: %s\r\n", v.server.prefix, v.server.host)
	}
	v.get("")
}

// Whoever takes long over a header is cut off, and well before an upload may be.
func TestSlowHeaderIsCut(t *testing.T) {
	t.Chdir(t.TempDir())
	s := must(New(0, Options{Now: time.Now}))
	if may := s.web().ReadHeaderTimeout; may <= 0 || may > 10*time.Second {
		t.Errorf("a header may take %s", may)
	}
	s.heading = time.Millisecond
	c := serving(t, s).connect()
	fmt.Fprintf(c, "GET %s HTTP/1.1\r\n", s.prefix)
	io.Copy(io.Discard, c) // for ever, if the connection stays
}

// 200 requests at once get right answers, or are told to wait; the memory stays bounded.
func TestManyAtOnce(t *testing.T) {
	v := visit(t, nil)
	v.post("demo", url.Values{})
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	var all sync.WaitGroup
	var lock sync.Mutex
	counts := map[int]int{}
	for i := range 200 {
		all.Go(func() {
			rate := 25 + i%3
			r := v.answer(http.MethodGet, fmt.Sprintf("field?file=field.zip&job=job.yaml&stabilizer-rate=%d+fl+oz/ac", rate), nil, nil)
			body, _ := io.ReadAll(r.Body)
			r.Body.Close()
			text := string(body)
			lock.Lock()
			defer lock.Unlock()
			counts[r.StatusCode]++
			if r.StatusCode == http.StatusOK && !strings.Contains(text, fmt.Sprintf("%d.0 fl oz/ac", rate)) {
				t.Errorf("request %d got the answer of another", i)
			}
		})
	}
	all.Wait()
	runtime.GC()
	runtime.ReadMemStats(&after)
	if grown := int64(after.HeapAlloc) - int64(before.HeapAlloc); grown > 256<<20 {
		t.Errorf("%d MB are kept", grown>>20)
	}
	if counts[http.StatusOK]+counts[http.StatusServiceUnavailable] != 200 {
		t.Errorf("the answers are %v", counts)
	}
	wants(t, v.get("field?file=field.zip&job=job.yaml"), "Do not impregnate")
}

func TestZipBomb(t *testing.T) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range []string{"x.shp", "x.dbf", "x.shx"} {
		w, _ := z.Create(name)
		zeros := make([]byte, 1<<20)
		for range 30 {
			w.Write(zeros)
		}
	}
	z.Close()
	v := visit(t, map[string]string{"bomb.zip": b.String(), "label.yaml": validLabel})
	wants(t, v.get("field?file=bomb.zip"), `class="trouble"`)
	wants(t, v.get(""), "bomb.zip")
}

// What stands in a file, in its name or in a label is text, whatever it looks like.
func TestScriptsAreText(t *testing.T) {
	const script = `<script>alert(1)</script>`
	name := "a<img src=x onerror=alert(1)>.geojson"
	v := visit(t, map[string]string{
		name:         strings.ReplaceAll(twoColumns, "N_RATE", strings.ReplaceAll(script, `"`, `'`)),
		"label.yaml": `name: "` + script + `"` + "\nrate: 30 fl oz/ac\n" + `timing: "` + script + "\"\n",
		"b.yaml":     script + ": 1\nname: x\nrate: 3 fl oz/ac\n",
	})
	q := url.Values{"file": {name}, "label": {"label.yaml"}, "rate-field": {script}, "way": {"wet-boom"}, "overlap": {script}}
	pages := []string{v.get(""), v.get("field?" + q.Encode()), v.see(v.answer(http.MethodGet, "field?file="+url.QueryEscape(script), nil, nil), http.StatusBadRequest)}
	q.Del("overlap")
	pages = append(pages, v.get("field?"+q.Encode()))
	q.Set("out", "plan")
	pages = append(pages, v.post("split", q), v.get("plan?dir=plan&written="+url.QueryEscape(script)), v.get("?label=b.yaml"))
	for i, page := range pages {
		if strings.Contains(page, "<script>alert") || strings.Contains(page, "<img src=x") {
			t.Errorf("page %d holds a script", i)
		}
	}
	wants(t, pages[1], "&lt;script&gt;")
	r := v.answer(http.MethodGet, "", nil, nil)
	v.see(r, http.StatusOK)
	if csp := r.Header.Get("Content-Security-Policy"); !strings.Contains(csp, "script-src 'self';") || !strings.Contains(csp, "default-src 'none'") {
		t.Errorf("the policy is %q", csp)
	}
	r = v.answer(http.MethodGet, "show/plan/report.html", nil, nil)
	if text := v.see(r, http.StatusOK); strings.Contains(text, "<script>alert") {
		t.Error("the page of a plan holds a script of the file's")
	}
	if csp := r.Header.Get("Content-Security-Policy"); !strings.HasPrefix(csp, "sandbox") || strings.Contains(csp, "same-origin") {
		t.Errorf("the page of a plan is of our own site: %q", csp)
	}
}

// Of two tabs that release under one name one writes; the other is told so.
func TestTwoTabsReleaseAtOnce(t *testing.T) {
	v := visit(t, nil)
	v.post("demo", url.Values{})
	form := url.Values{"file": {"field.zip"}, "job": {"job.yaml"}, "way": {"wet-boom"}, "out": {"plan"}}
	var all sync.WaitGroup
	var lock sync.Mutex
	written, told := 0, 0
	for range 2 {
		all.Go(func() {
			r := v.answer(http.MethodPost, "split", form, nil)
			body, _ := io.ReadAll(r.Body)
			lock.Lock()
			defer lock.Unlock()
			switch {
			case r.StatusCode == http.StatusOK && strings.Contains(string(body), "written and proved"):
				written++
			case r.StatusCode == http.StatusConflict && strings.Contains(string(body), "is there already"):
				told++
			}
		})
	}
	all.Wait()
	if written != 1 || told != 1 {
		t.Errorf("%d wrote, %d were told", written, told)
	}
	if _, err := (app.Run{}).Verify(t.Context(), "plan", app.InputsAt{}); err != nil {
		t.Error(err)
	}
}

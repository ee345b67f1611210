package serve

import (
	"archive/zip"
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"log"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
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
			if r.StatusCode == http.StatusOK && !strings.Contains(text, fmt.Sprintf("<dd>%d fl oz/ac</dd>", rate)) {
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

// sends begins a request by hand, with the key or without, whose body does not come.
func (v *visitor) sends(method, address, kind, begins string, key bool) net.Conn {
	v.t.Helper()
	c := v.connect()
	cookie := ""
	if key {
		cookie = "Cookie: " + cookieName + "=" + v.server.key + "\r\n"
	}
	fmt.Fprintf(c, "%s %s%s HTTP/1.1\r\nHost: %[4]s\r\nOrigin: http://%[4]s\r\n%sContent-Type: %s\r\nContent-Length: 100000\r\n\r\n%s", method, v.server.prefix, address, v.server.host, cookie, kind, begins)
	return c
}

// A body that does not come holds nobody up: without the key it is not waited for at all, with the key no
// longer than a header is. A page is asked for without a body.
func TestSlowBodyIsCut(t *testing.T) {
	t.Chdir(t.TempDir())
	s := must(New(0, Options{Now: time.Now}))
	s.heading = time.Hour
	v := serving(t, s)
	const form = "application/x-www-form-urlencoded"
	closes := func(c net.Conn, status string) {
		t.Helper()
		c.SetReadDeadline(time.Now().Add(time.Minute))
		answer, err := io.ReadAll(c)
		if err != nil || !strings.Contains(string(answer), " "+status+" ") {
			t.Errorf("the answer is %.60q, %v; want %s", answer, err, status)
		}
	}
	closes(v.sends(http.MethodPost, "split", form, "out=", false), "403")
	closes(v.sends(http.MethodGet, "", form, "", true), "405")
	s.heading = 50 * time.Millisecond
	for _, address := range []string{"split", "verify", "approve", "label", "job", "try", "cancel", "demo", "quit", "none"} {
		closes(v.sends(http.MethodPost, address, form, "out=", true), "400")
	}
	if _, err := os.Stat("field.zip"); err == nil {
		t.Error("half a form wrote a file")
	}
}

// No page but the one that takes files reads what is no form, however large it is.
func TestNoFormBringsFiles(t *testing.T) {
	v := visit(t, nil)
	for _, address := range []string{"split", "verify", "approve", "label", "job", "try", "cancel", "demo", "quit", "none"} {
		for kind, body := range map[string]string{
			"multipart/form-data; boundary=x": "--x\r\nContent-Disposition: form-data; name=\"id\"; filename=\"x\"\r\n\r\n" + strings.Repeat("y", 1<<20) + "\r\n--x--\r\n",
			"text/plain":                      "id=x", "": "id=x", "application/x-www-form-urlencoded;": strings.Repeat("&", mostForm+1),
		} {
			r, _ := http.NewRequest(http.MethodPost, v.base+address, strings.NewReader(body))
			r.Header.Set("Content-Type", kind)
			r.Header.Set("Origin", "http://"+v.server.host)
			answer, err := v.client.Do(r)
			if err != nil {
				t.Fatal(err)
			}
			wants(t, v.see(answer, http.StatusBadRequest), "the form can&#39;t be read", "go back and try again")
		}
	}
	if left, _ := os.ReadDir("."); len(left) != 1 {
		t.Errorf("the folder holds %v", left)
	}
}

// While files that are dropped are slow to come, all else goes on.
func TestSlowDropHoldsNobodyUp(t *testing.T) {
	v := visit(t, nil)
	c := v.sends(http.MethodPost, "drop", "multipart/form-data; boundary=x", "--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"slow.zip\"\r\n\r\n"+strings.Repeat("y", 5000), true)
	for begun := false; !begun; time.Sleep(time.Millisecond) {
		parts, _ := filepath.Glob(".slow.zip.part-*")
		begun = len(parts) == 1
	}
	v.post("demo", url.Values{})
	wants(t, v.post("split", url.Values{"file": {"field.zip"}, "job": {"job.yaml"}, "out": {"plan"}}), "written and proved")
	wants(t, v.see(v.dropped("quick.geojson"), http.StatusOK), "N_RATE")
	c.Close()
	for left := 1; left > 0; time.Sleep(time.Millisecond) {
		parts, _ := filepath.Glob(".slow.zip.part-*")
		left = len(parts)
	}
	if _, err := os.Stat("slow.zip"); err == nil {
		t.Error("half a file has come")
	}
}

// Of many parts that are no files, no more are read than there may be files; what has no parts can't be read.
func TestDropOfNoFiles(t *testing.T) {
	v := visit(t, nil)
	for body, says := range map[string]string{
		strings.Repeat("--x\r\nContent-Disposition: form-data; name=\"a\"\r\n\r\nv\r\n", mostFiles+1) + "--x--\r\n": "more than 40 files are dropped at once",
		strings.Repeat("y", 1<<20): "the files can&#39;t be read",
		"--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"half.zip\"\r\n\r\nv": "half.zip: it was not copied",
	} {
		r, _ := http.NewRequest(http.MethodPost, v.base+"drop", strings.NewReader(body))
		r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
		r.Header.Set("Origin", "http://"+v.server.host)
		wants(t, v.see(must(v.client.Do(r)), http.StatusConflict), says)
	}
	if left, _ := os.ReadDir("."); len(left) != 1 {
		t.Errorf("the folder holds %v", left)
	}
}

// A pipe that nobody writes to is no file, whatever its name.
func TestPipesAreNotOpened(t *testing.T) {
	v := visit(t, map[string]string{"two.geojson": twoColumns, "out/day.html": "x", "page/day.json": `{"schema":"rxsplit.day"}`})
	v.post("demo", url.Values{})
	v.post("split", url.Values{"file": {"field.zip"}, "job": {"job.yaml"}, "out": {"plan"}})
	os.Remove("plan/zones.csv")
	os.Remove("plan/report.html")
	os.Mkdir("plan/report.html", 0o777)
	for _, name := range []string{"pipe.geojson", "pipe.yaml", "out/day.json", "page/day.html", "plan/zones.csv"} {
		if exec.Command("mkfifo", name).Run() != nil {
			t.Skip("no pipes here")
		}
	}
	v.answers(
		odd{"", 200, "two.geojson"},
		odd{"field?file=pipe.geojson&label=label.yaml", 400, "pipe.geojson: is neither a file nor a folder"},
		odd{"field?file=two.geojson&label=pipe.yaml", 400, "pipe.yaml: is neither a file nor a folder"},
		odd{"field?file=two.geojson&job=pipe.yaml", 400, "pipe.yaml: is neither a file nor a folder"},
		odd{"label?file=pipe.yaml", 404, "pipe.yaml: is neither a file nor a folder"},
		odd{"show/page/day.html", 404, "day.html: "},
		odd{"show/plan/zones.csv", 404, "plan/zones.csv: is neither a file nor a folder"},
		odd{"zip?dir=plan", 404, "plan/zones.csv: is neither a file nor a folder"},
	)
	os.Remove("plan/zones.csv")
	os.WriteFile("plan/zones.csv", nil, 0o666)
	v.answers(odd{"show/plan/report.html", 404, "report.html: "})
}

// A fault of the program is told on one page, and in the log; all others are served.
func TestAFaultIsOfOnePage(t *testing.T) {
	v := visit(t, map[string]string{"two.geojson": twoColumns})
	var said bytes.Buffer
	log.SetOutput(&said)
	defer log.SetOutput(os.Stderr)
	v.atEachStep(func(context.Context, app.Step) { panic("made up") })
	wants(t, v.see(v.answer(http.MethodGet, "field?file=two.geojson", nil, nil), http.StatusInternalServerError), "the program has a fault here")
	v.atEachStep(func(context.Context, app.Step) {})
	wants(t, v.get("field?file=two.geojson"), "N_RATE")
	if !strings.Contains(said.String(), "made up") {
		t.Errorf("the log says %q", said.String())
	}
}

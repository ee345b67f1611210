package serve

import (
	"context"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"time"

	"rxsplit/cmd/internal/app"
	"rxsplit/rx/write"
)

// What hardly any folder leads to is refused by its own words.
func TestWhatAFolderRarelyHolds(t *testing.T) {
	long := strings.Repeat("n", 245) + ".yaml" // no name of 255 bytes is left for the file that is written first
	v := visit(t, map[string]string{"torn/plan.json": "{", "dir.yaml/x": "", long: "name: x\n"})
	tags := regexp.MustCompile(`<[^>]*>`)
	for _, c := range []struct {
		method, address string
		form            url.Values
		status          int
		want            string
	}{
		{http.MethodPost, "verify", url.Values{"dir": {"torn"}}, http.StatusConflict, "plan.json: "},
		{http.MethodPost, "approve", url.Values{"dir": {"torn"}, "by": {"A. Nobody (invented)"}}, http.StatusConflict, "plan.json: "},
		{http.MethodGet, "label?file=dir.yaml", nil, http.StatusNotFound, "dir.yaml: "},
	} {
		got := strings.Join(strings.Fields(tags.ReplaceAllString(v.see(v.answer(c.method, c.address, c.form, nil), c.status), " ")), " ")
		if !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, want %q", c.address, got, c.want)
		}
	}
	told := app.Explain(v.server.put(long, "", []byte("name: y\n")))
	if told.Text != long+": file name too long" && runtime.GOOS == "linux" || told.Hint != "the folder can't be written to" {
		t.Errorf("a name that is too long: %+v", told)
	}
}

// A download that can't go on is cut off, so that nobody takes a part for the whole.
func TestDownloadIsCutOff(t *testing.T) {
	zeros := strings.Repeat("0", 64)
	text := `{"schema":"rxsplit.plan/1","files":[{"name":"zones.csv"}],"self":"` + zeros + `"}`
	v := visit(t, map[string]string{"plan/plan.json": strings.Replace(text, zeros, write.Digest([]byte(text)), 1), "plan/zones.csv/x": ""})
	r, err := v.client.Get(v.base + "zip?dir=plan")
	if err == nil {
		_, err = io.ReadAll(r.Body)
		r.Body.Close()
	}
	if err == nil {
		t.Errorf("status %d, and it seems whole", r.StatusCode)
	}
}

// A folder that is gone and a port that another program has are told, and nothing is left open.
func TestNothingToShow(t *testing.T) {
	line, err := net.Listen("tcp4", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer line.Close()
	t.Chdir(t.TempDir())
	if _, err := New(line.Addr().(*net.TCPAddr).Port, Options{Now: time.Now}); err == nil || !strings.Contains(err.Error(), "listen") {
		t.Errorf("on a port that is taken: %v", err)
	}
	gone, err := os.MkdirTemp(".", "gone")
	if err != nil {
		t.Fatal(err)
	}
	if runtime.GOOS != "linux" {
		return
	}
	t.Chdir(gone)
	if err := os.Remove("../" + gone); err != nil {
		t.Fatal(err)
	}
	if s, err := New(0, Options{Now: time.Now}); err == nil {
		s.line.Close()
		t.Error("a folder that is gone is shown")
	}
}

// Once the end has come nothing is begun.
func TestNothingBeginsAtTheEnd(t *testing.T) {
	ctx, end := context.WithCancel(t.Context())
	ws := newWorks(ctx)
	if !ws.enter() {
		t.Error("nothing may begin")
	}
	ws.alive.Done()
	end()
	if ws.enter() {
		t.Error("something begins")
		ws.alive.Done()
	}
	if _, err := ws.do(&task{}, "", func(context.Context, app.Run) made { return made{} }); err != errBusy {
		t.Errorf("a task begins: %v", err)
	}
	ws.alive.Wait()
}

package serve

import (
	"context"
	"html"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// visitor is a browser without a screen, in front of a server for a folder of its own.
type visitor struct {
	t      *testing.T
	server *server
	client *http.Client
	base   string // of the addresses
	done   chan error
}

// visit serves a new folder that holds the files, by names and texts.
func visit(t *testing.T, files map[string]string) *visitor {
	t.Helper()
	t.Chdir(t.TempDir())
	for name, text := range files {
		os.MkdirAll(filepath.Dir(name), 0o777)
		if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return visitHere(t, Options{Now: time.Now})
}

// visitHere serves the working directory.
func visitHere(t *testing.T, o Options) *visitor {
	t.Helper()
	s, err := New(0, o)
	if err != nil {
		t.Fatal(err)
	}
	s.patience = time.Hour // an answer comes whole, however slow the machine is
	v := serving(t, s)
	v.see(v.answer(http.MethodGet, s.Address(), nil, nil), http.StatusOK)
	return v
}

// serving lets a server run until the end of the test.
func serving(t *testing.T, s *server) *visitor {
	ctx, stop := context.WithCancel(context.Background())
	jar, _ := cookiejar.New(nil)
	v := &visitor{t, s, &http.Client{Jar: jar}, "http://" + s.host + s.prefix, make(chan error, 1)}
	go func() { v.done <- s.Serve(ctx) }()
	t.Cleanup(func() {
		stop()
		v.end()
	})
	return v
}

// end waits for the end of the server.
func (v *visitor) end() {
	err := <-v.done
	if err != nil {
		v.t.Error(err)
	}
	v.done <- nil
}

// answer asks.
func (v *visitor) answer(method, address string, form url.Values, headers http.Header) *http.Response {
	v.t.Helper()
	if !strings.HasPrefix(address, "http") {
		address = v.base + address
	}
	var body io.Reader
	if form != nil {
		body = strings.NewReader(form.Encode())
	}
	r, err := http.NewRequest(method, address, body)
	if err != nil {
		v.t.Fatal(err)
	}
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if method == http.MethodPost {
		r.Header.Set("Origin", "http://"+v.server.host)
	}
	for name, values := range headers {
		r.Header[name] = values
	}
	if host := headers.Get("Host"); host != "" {
		r.Host = host
	}
	response, err := v.client.Do(r)
	if err != nil {
		v.t.Fatal(err)
	}
	return response
}

// see returns the text of an answer, which must have a status.
func (v *visitor) see(r *http.Response, status int) string {
	v.t.Helper()
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		v.t.Fatal(err)
	}
	if r.StatusCode != status {
		v.t.Fatalf("%s %s: status %d, want %d: %.2000s", r.Request.Method, r.Request.URL, r.StatusCode, status, body)
	}
	return string(body)
}

// get returns a page.
func (v *visitor) get(address string) string {
	v.t.Helper()
	return v.see(v.answer(http.MethodGet, address, nil, nil), http.StatusOK)
}

// post sends a form and returns the page that it leads to.
func (v *visitor) post(address string, form url.Values) string {
	v.t.Helper()
	return v.see(v.answer(http.MethodPost, address, form, nil), http.StatusOK)
}

// between returns what stands between two texts, empty if they don't.
func between(text, from, to string) string {
	_, rest, _ := strings.Cut(text, from)
	found, _, ok := strings.Cut(rest, to)
	if !ok {
		return ""
	}
	return found
}

// wants fails where a page lacks one of the texts.
func wants(t *testing.T, page string, texts ...string) {
	t.Helper()
	for _, text := range texts {
		if !strings.Contains(page, text) {
			t.Errorf("the page lacks %q: %.3000s", text, page)
		}
	}
}

func mustForm(text string) url.Values {
	form, err := url.ParseQuery(text)
	if err != nil {
		panic(err)
	}
	return form
}

// form is what a page's form sends when everything in it is ticked and nothing typed.
func (v *visitor) form(address, action string) url.Values {
	v.t.Helper()
	_, text, found := strings.Cut(v.get(address), `action="`+action+`"`)
	if !found {
		v.t.Fatalf("%s has no form for %s", address, action)
	}
	text, _, _ = strings.Cut(text, "</form>")
	form := url.Values{}
	for _, m := range regexp.MustCompile(`name="([^"]*)" value="([^"]*)"`).FindAllStringSubmatch(text, -1) {
		form.Add(m[1], html.UnescapeString(m[2]))
	}
	return form
}

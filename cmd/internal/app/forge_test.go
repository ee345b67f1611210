package app_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/app"
	"rxsplit/rx/write"
)

// folder is a copy of a plan that is to be forged.
type folder struct {
	t     *testing.T
	dir   string
	layer string // the last: of a wet boom the liquid one
}

// demoIn makes the demo's folder below another.
func demoIn(t *testing.T, dir string) (field, job string) {
	t.Helper()
	if err := app.Demo(filepath.Join(dir, "demo"), func(f, j string) error { field, job = f, j; return nil }); err != nil {
		t.Fatal(err)
	}
	return field, job
}

// openFolder copies a plan beside it, so that its inputs are found.
func openFolder(t *testing.T, plan string) *folder {
	t.Helper()
	f := &folder{t: t, dir: plan + ".forged"}
	f.must(os.RemoveAll(f.dir))
	f.must(os.CopyFS(f.dir, os.DirFS(plan)))
	layers := f.manifest().Layers
	f.layer = layers[len(layers)-1].Name
	return f
}

func (f *folder) must(err error) {
	f.t.Helper()
	if err != nil {
		f.t.Fatal(err)
	}
}

func (f *folder) bytes(name string) []byte {
	f.t.Helper()
	data, err := os.ReadFile(filepath.Join(f.dir, name))
	f.must(err)
	return data
}

func (f *folder) manifest() *write.Manifest {
	f.t.Helper()
	m, err := write.ReadManifest(f.dir)
	f.must(err)
	return m
}

// raw writes a file and nothing else.
func (f *folder) raw(name string, data []byte) {
	f.t.Helper()
	f.must(os.WriteFile(filepath.Join(f.dir, name), data, 0o666))
}

// put changes a file, and what the manifest says of it.
func (f *folder) put(name string, data []byte) bool {
	f.t.Helper()
	f.raw(name, data)
	m := f.manifest()
	at := slices.IndexFunc(m.Files, func(s write.FileSum) bool { return s.Name == name })
	if at < 0 {
		f.t.Fatalf("no file %s", name)
	}
	m.Files[at] = write.FileSum{Name: name, SHA256: write.Digest(data), Size: int64(len(data))}
	return f.seal(m)
}

// seal writes a manifest with its digest of itself.
func (f *folder) seal(m *write.Manifest) bool {
	f.t.Helper()
	var text bytes.Buffer
	enc := json.NewEncoder(&text)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	f.must(enc.Encode(m))
	return f.sealText(text.String())
}

// sealText writes a manifest's text, and puts its digest of itself into it.
func (f *folder) sealText(text string) bool {
	f.t.Helper()
	const member = `"self": "`
	at := strings.LastIndex(text, member) + len(member)
	text = text[:at] + strings.Repeat("0", 64) + text[at+64:]
	text = text[:at] + write.Digest([]byte(text)) + text[at+64:]
	f.raw("plan.json", []byte(text))
	return true
}

// edit changes the manifest.
func (f *folder) edit(change func(m *write.Manifest)) bool {
	m := f.manifest()
	change(m)
	return f.seal(m)
}

// retype changes the manifest's text where it says one thing, which it must.
func (f *folder) retype(from, to string) bool {
	text := string(f.bytes("plan.json"))
	if !strings.Contains(text, from) {
		return false
	}
	return f.sealText(strings.Replace(text, from, to, 1))
}

// swap changes a file where it says one thing; false where it does not.
func (f *folder) swap(name, from, to string) bool {
	data := f.bytes(name)
	if !bytes.Contains(data, []byte(from)) {
		return false
	}
	return f.put(name, bytes.Replace(data, []byte(from), []byte(to), 1))
}

// lines changes the lines of a text.
func (f *folder) lines(name string, change func(lines []string) []string) bool {
	lines := strings.SplitAfter(string(f.bytes(name)), "\n")
	return f.put(name, []byte(strings.Join(change(lines), "")))
}

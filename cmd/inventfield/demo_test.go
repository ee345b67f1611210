package main

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

const demo = "../rxsplit/demo/field.zip"

// generate finds the command that makes the demo's field.
var generate = regexp.MustCompile(`//go:generate go run rxsplit/cmd/inventfield (.*) -out \S+`)

// The demo's field is what the recorded command makes, and its page names that
// command. Files are compared as unpacked: how well they are packed may change
// with the release of Go.
func TestDemoIsWhatItsCommandMakes(t *testing.T) {
	source, err := os.ReadFile("../../geo/invent/invent.go")
	if err != nil {
		t.Fatal(err)
	}
	command := generate.FindSubmatch(source)
	if command == nil {
		t.Fatal("no go:generate line in package invent")
	}
	args := string(command[1])
	page, err := os.ReadFile("../rxsplit/demo/README.md")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(page), "inventfield "+args+" ") {
		t.Errorf("the demo's page does not name the command %q", args)
	}

	path := filepath.Join(t.TempDir(), "field.zip")
	var stderr bytes.Buffer
	if code := run(append(strings.Fields(args), "-out", path), &stderr); code != 0 {
		t.Fatalf("exit %d: %s", code, stderr.String())
	}
	got, want := unpack(t, path), unpack(t, demo)
	if len(got) != 5 || len(got) != len(want) {
		t.Fatalf("%d files made, %d in the demo, want 5", len(got), len(want))
	}
	for i, w := range want {
		g := got[i]
		if g.name != w.name || !g.time.Equal(w.time) || !bytes.Equal(g.data, w.data) {
			t.Errorf("%s of %v differs from the demo's %s of %v", g.name, g.time, w.name, w.time)
		}
	}
}

type entry struct {
	name string
	time time.Time
	data []byte
}

func unpack(t *testing.T, path string) []entry {
	t.Helper()
	z, err := zip.OpenReader(path)
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	var entries []entry
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		r.Close()
		entries = append(entries, entry{f.Name, f.Modified, data})
	}
	return entries
}

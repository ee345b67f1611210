package write

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Whatever of a folder can't be made, it is not written, its error says why, and nothing is left; held
// against a folder, the same is an error and no difference.
func TestFolderThatCannotBeMade(t *testing.T) {
	broken := errors.New("broken off")
	text := func(s string) func(io.Writer) error {
		return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
	}
	list := func(files []FileSum, self string) ([]byte, error) {
		return fmt.Appendf(nil, "%d files %s", len(files), self), nil
	}
	whole := func() Folder {
		return Folder{Files: []Extra{{"a.txt", text("a")}, {"b.txt", text("b")}}, Manifest: "all.json", List: list}
	}
	for what, c := range map[string]struct {
		change func(f *Folder, cancel func())
		writes string // the error where it is written, with DIR for the folder
		holds  string // where it is held against the folder
	}{
		"a file":       {func(f *Folder, _ func()) { f.Files[0].Render = func(io.Writer) error { return broken } }, "DIR: could not be written: broken off", "broken off"},
		"another file": {func(f *Folder, _ func()) { f.Files[1].Render = func(io.Writer) error { return broken } }, "DIR: could not be written: broken off", "broken off"},
		"the list":     {func(f *Folder, _ func()) { f.List = func([]FileSum, string) ([]byte, error) { return nil, broken } }, "DIR: could not be written: broken off", "broken off"},
		"a plan": {func(f *Folder, _ func()) {
			f.Plans = []Nested{{Name: "p", Job: func() (Job, error) { return Job{}, broken }}}
		}, "broken off", "open DIR/p/plan.json: no such file or directory"},
		"canceled before the list": {func(f *Folder, cancel func()) {
			f.List = func(files []FileSum, self string) ([]byte, error) { cancel(); return list(files, self) }
		}, "DIR: could not be written: context canceled", "context canceled"},
		"the place": {func(f *Folder, _ func()) { f.Dir = filepath.Join(f.Dir, "none", "here") }, "DIR/none/here: there is no folder DIR/none to write it into", "<nil>"},
	} {
		dir := filepath.Join(t.TempDir(), "day")
		make := func() Folder {
			f := whole()
			f.Dir = dir
			ctx, cancel := context.WithCancel(t.Context())
			f.Context = ctx
			c.change(&f, cancel)
			return f
		}
		said := func(err error) string { return strings.ReplaceAll(fmt.Sprint(err), dir, "DIR") }
		if got := said(make().Write()); got != c.writes {
			t.Errorf("%s: %s, want %s", what, got, c.writes)
		}
		nothingLeft(t, dir)
		f := whole()
		f.Dir = dir
		if err := f.Write(); err != nil {
			t.Fatal(err)
		}
		found, err := make().Compare()
		if got := said(err); got != c.holds || len(found) > 0 != (what == "the place") {
			t.Errorf("%s: %v, %s, want %s", what, found, got, c.holds)
		}
	}
}

// A folder that may be replaced is, and not where that is refused or where it changes before its place is
// taken; each of its files that differs is named.
func TestFolderIsReplaced(t *testing.T) {
	text := "1"
	dir := filepath.Join(t.TempDir(), "day")
	folder := func(whole func(string) (string, error)) Folder {
		return Folder{Dir: dir, Manifest: "all.json", Whole: whole, Files: []Extra{{"a.txt", func(w io.Writer) error { _, err := io.WriteString(w, text); return err }}},
			List: func(files []FileSum, self string) ([]byte, error) {
				return fmt.Appendf(nil, "%s %s", files[0].SHA256, self), nil
			}}
	}
	self := func(string) (string, error) { return "x", nil }
	write := func(what string, whole func(string) (string, error), want string) {
		t.Helper()
		if got := fmt.Sprint(folder(whole).Write()); got != want {
			t.Errorf("%s: %s, want %s", what, got, want)
		}
	}
	write("anew", nil, "<nil>")
	write("again", nil, dir+": is there already")
	text = "2"
	write("refused", func(string) (string, error) { return "", errors.New("it is signed") }, dir+": is not replaced: it is signed")
	looks := 0
	write("changed meanwhile", func(string) (string, error) { looks++; return fmt.Sprint(looks), nil }, dir+": was written by another run meanwhile")
	gone := 0
	write("gone meanwhile", func(string) (string, error) {
		if gone++; gone > 1 {
			return "1", errors.New("gone")
		}
		return "1", nil
	}, dir+": was written by another run meanwhile")
	if data, err := os.ReadFile(filepath.Join(dir, "a.txt")); string(data) != "1" {
		t.Errorf("holds %q, %v", data, err)
	}
	if found, err := folder(nil).Compare(); err != nil || fmt.Sprint(found) != "[a.txt: line 1, from character 1 on, is \"1\", want \"2\" all.json: line 1, from character 1 on, is \"6b86b273ff34fce19d6b804eff5a3f5747ada4ea\", want \"d4735e3a265e16eee03f59718b9b5d03019c07d8\"]" {
		t.Errorf("%v, %v", found, err)
	}
	write("replaced", self, "<nil>")
	if found, err := folder(nil).Compare(); err != nil || len(found) > 0 {
		t.Errorf("%v, %v", found, err)
	}
	if data, err := os.ReadFile(filepath.Join(dir, "a.txt")); string(data) != "2" {
		t.Errorf("holds %q, %v", data, err)
	}
	if left, err := os.ReadDir(filepath.Dir(dir)); len(left) != 1 {
		t.Errorf("left beside it: %v, %v", left, err)
	}
}

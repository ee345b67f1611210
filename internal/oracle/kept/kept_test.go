package kept

import (
	"os"
	"path/filepath"
	"testing"
)

// Every kind of difference is told, once, and what is as it was is not.
func TestDifferences(t *testing.T) {
	was := "rxsplit a\n  exit 0\n  stdout 11\nrxsplit a\n  exit 1\nrxsplit b\n  exit 0\n  a file 22\n"
	if got := differences("s", outputs(was), outputs(was)); got != nil {
		t.Errorf("of the same: %q", got)
	}
	is := "rxsplit a\n  exit 0\n  stdout 12\nrxsplit a\n  exit 0\n  stderr 33\nrxsplit b\n  exit 0\n"
	got := differences("s", outputs(was), outputs(is))
	want := []string{
		"s: rxsplit a: stdout is 12, was 11", "s: rxsplit a: exit is 0, was 1", "s: rxsplit a: stderr is new: 33", "s: rxsplit b: a file is gone",
	}
	for i, w := range want {
		if len(got) != len(want) || got[i] != w {
			t.Fatalf("%q, want %q", got, want)
		}
	}
}

// What is written is what is held afterwards, and sections that didn't run stay.
func TestHoldUpdates(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "kept.txt")
	laid := t.TempDir()
	first := map[string]string{"a": "rxsplit a\n  stdout " + Lay(path, laid, []byte("x")) + "\n", "b": "rxsplit b\n  exit 0\n"}
	Hold(t, path, laid, first, true)
	second := map[string]string{"b": "rxsplit b\n  exit 1\n"}
	Hold(t, path, laid, second, true)
	Hold(t, path, laid, map[string]string{"a": first["a"], "b": second["b"]}, false)
	if text, err := os.ReadFile(path); err != nil || string(text) != "== a\n"+first["a"]+"== b\n"+second["b"] {
		t.Errorf("%v %q", err, text)
	}
	again := t.TempDir()
	t.Setenv(folderName, "")
	Lay(path, again, []byte("x"))
	Lay(path, again, []byte("y"))
	if list, _ := os.ReadDir(again); len(list) != 1 {
		t.Errorf("%d outputs are laid down, want the new one alone", len(list))
	}
}

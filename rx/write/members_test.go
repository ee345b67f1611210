package write

import (
	"math"
	"os"
	"path/filepath"
	"testing"
)

// A manifest that can't be written, since a figure of it is none, is no reason to blame the one that lies there.
func TestManifestThatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, manifestName), []byte(`{"way":"x"}`), 0o666); err != nil {
		t.Fatal(err)
	}
	none := math.NaN()
	m := &Manifest{Layers: []LayerTotals{{Loading: &none}}}
	if wrong, err := m.differences(dir, nil); err == nil || wrong != nil {
		t.Errorf("%v, %v", wrong, err)
	}
	if wrong, err := new(Manifest).differences(t.TempDir(), nil); !os.IsNotExist(err) || wrong != nil {
		t.Errorf("without a manifest: %v, %v", wrong, err)
	}
	os.WriteFile(filepath.Join(dir, manifestName), []byte(`{"way":`), 0o666)
	if wrong, err := new(Manifest).differences(dir, nil); err != nil || wrong != nil {
		t.Errorf("of a torn one: %v, %v", wrong, err)
	}
}

// What one of two manifests alone has is a difference, on whichever side it stands.
func TestMembersOfOneSide(t *testing.T) {
	for _, c := range []struct{ got, want, first string }{
		{`{"a":{"x":1}}`, `{"a":{"x":1}}`, ""},
		{`{"a":{}}`, `{"a":{"x":1}}`, "a.x"},
		{`{"a":{"x":1,"y":2}}`, `{"a":{"x":1}}`, "a.y"},
		{`{"a":{"b":[{}]}}`, `{"a":{"b":[{"z":null,"c":""}]}}`, "a.b[0].c"},
	} {
		what := difference("a", membersOf([]byte(c.got))["a"], membersOf([]byte(c.want))["a"])
		if len(what) < len(c.first) || what[:len(c.first)] != c.first || c.first == "" && what != "" {
			t.Errorf("%s and %s: %q, want %q first", c.got, c.want, what, c.first)
		}
	}
	if all := both(membersOf([]byte(`{"a":1}`)), membersOf([]byte(`{"b":2}`))); len(all) != 2 {
		t.Errorf("both have %v", all)
	}
}

package read

import (
	"os"
	"path/filepath"
	"testing"
)

// The names of a folder are listed once a run where they are remembered, and each time where
// they are not.
func TestFoldersAreListedOnce(t *testing.T) {
	dir := t.TempDir()
	shape, table := filepath.Join(dir, "field.shp"), filepath.Join(dir, "FIELD.Dbf")
	if err := os.WriteFile(table, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	kept := new(Folders)
	seen := func(f *Folders, want string) {
		t.Helper()
		if name, err := f.sibling(shape, "field", ".dbf"); err != nil || name != want {
			t.Errorf("found %q (%v), want %q", name, err, want)
		}
	}
	seen(kept, "FIELD.Dbf")
	seen(nil, "FIELD.Dbf")
	if err := os.Remove(table); err != nil {
		t.Fatal(err)
	}
	seen(kept, "FIELD.Dbf")
	seen(nil, "")
}

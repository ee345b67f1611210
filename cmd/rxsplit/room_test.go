package main

import (
	"os"
	"path/filepath"
	"testing"
)

// What a file may take goes by its size, of an archive by more, of a large folder by what lies in it.
func TestRoom(t *testing.T) {
	dir := t.TempDir()
	for name, size := range map[string]int{"a.shp": 1000, "b.ZIP": 100, "in/c.shp": 10, "in/d.dbf": 20} {
		path := filepath.Join(dir, name)
		os.MkdirAll(filepath.Dir(path), 0o755)
		if err := os.WriteFile(path, make([]byte, size), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for name, size := range map[string]int64{"large.zip": 30 << 20, "many/a.shp": 200 << 20} { // with no bytes on the disk
		os.MkdirAll(filepath.Join(dir, "many"), 0o755)
		if err := os.WriteFile(filepath.Join(dir, name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
		if err := os.Truncate(filepath.Join(dir, name), size); err != nil {
			t.Fatal(err)
		}
	}
	least := (&ui{words: []string{"check", "none.shp"}}).room()
	if split := (&ui{words: []string{"split", "none.shp"}}).room(); least != 0 || split < 16<<20 {
		t.Errorf("a small field gets %d bytes for a check, %d for a plan; want none, tens of MB", least, split)
	}
	for word, want := range map[string]int64{"a.shp": 3000, "b.ZIP": 200_000, "in": 400 << 20, "large.zip": 20 * 30 << 20, "many": 3 * 200 << 20} {
		u := &ui{words: []string{"check", filepath.Join(dir, word), "--full"}}
		if got := u.room() - least; got != want {
			t.Errorf("%s gets %d bytes beyond the least, want %d", word, got, want)
		}
	}
	if got := (&ui{words: []string{"inspect", "-"}}).room() - least; got < 100<<20 {
		t.Errorf("standard input gets %d bytes", got)
	}
}

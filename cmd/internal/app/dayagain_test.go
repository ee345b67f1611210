package app

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"rxsplit/label"
	"rxsplit/rx/write"
)

// treeOf is what all files of a folder hold, by their names in it.
func treeOf(t *testing.T, dir string) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	err := filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		name, _ := filepath.Rel(dir, path)
		files[name], err = os.ReadFile(path)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// What a day keeps of its fields makes the same plans as files that are read anew; and a file that was changed
// since is read anew.
func TestDayKeepsWhatItRead(t *testing.T) {
	dir, folder := t.TempDir(), dayFolder(t, rand.New(rand.NewPCG(4, 2)), 4)
	for name, text := range map[string][]byte{"label.yaml": label.DemoYAML(), "job.yaml": []byte(dayJob)} {
		os.WriteFile(filepath.Join(dir, name), text, 0o666)
	}
	q, err := Resolve(Values{"job": {filepath.Join(dir, "job.yaml")}})
	if err != nil {
		t.Fatal(err)
	}
	written := func(out string, between func(d *Day)) map[string][]byte {
		d, err := Run{}.Day(t.Context(), dayFiles(t, folder), q, DayAsked{})
		if err != nil {
			t.Fatal(err)
		}
		between(d)
		if err := (Run{}).WriteDay(t.Context(), filepath.Join(dir, out), d, false); err != nil {
			t.Fatal(err)
		}
		return treeOf(t, filepath.Join(dir, out))
	}
	kept := written("kept", func(d *Day) {
		for _, f := range d.fields {
			if f.checked == nil || !f.checked.lies() || !f.shares {
				t.Errorf("%s: kept %v, shares a loading: %v", f.shown.Path, f.checked != nil, f.shares)
			}
		}
	})
	anew := written("anew", func(d *Day) {
		for _, f := range d.fields {
			f.checked = nil
		}
	})
	for name, text := range anew {
		if !bytes.Equal(kept[name], text) {
			t.Errorf("%s is not what it is where the file is read anew", name)
		}
	}
	if len(kept) != len(anew) {
		t.Errorf("%d files, %d where they are read anew", len(kept), len(anew))
	}

	changed := written("changed", func(d *Day) {
		path := d.fields[2].shown.Path
		text, _ := os.ReadFile(path)
		os.WriteFile(path, append(text, ' '), 0o666)
	})
	text, _ := os.ReadFile(filepath.Join(folder, "f02.geojson"))
	if plan := changed[filepath.Join("03-f02", "plan.json")]; !bytes.Contains(plan, []byte(write.Digest(text))) {
		t.Error("a plan is of what a file was before it was changed")
	}
}

// A day has room for what some fields hold, and lets go of the others.
func TestDayKeepsSoMuch(t *testing.T) {
	dir := t.TempDir()
	os.WriteFile(filepath.Join(dir, "label.yaml"), label.DemoYAML(), 0o666)
	q, err := Resolve(Values{"label": {filepath.Join(dir, "label.yaml")}, "rate-field": {"RATE"}, "rate-unit": {"lb/ac"}})
	if err != nil {
		t.Fatal(err)
	}
	d, err := Run{}.Day(t.Context(), dayFiles(t, dayFolder(t, rand.New(rand.NewPCG(4, 2)), 2)), q, DayAsked{})
	if err != nil || d.fields[0].checked == nil {
		t.Fatal(err, d.fields[0].checked)
	}
	d.kept.Store(mostKept)
	if f := d.keep(d.fields[0]); f.checked != nil {
		t.Error("more is kept than there is room for")
	}
}

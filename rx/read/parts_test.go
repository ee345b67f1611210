package read_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/geo/invent"
	"rxsplit/geo/taskdata"
	"rxsplit/rx/read"
	"rxsplit/rx/rxtest"
)

// A part that can't be read is told by its name, whichever it is, and nothing is made of the others:
// here a folder lies in its place, or a file that grows too fast to be any.
func TestEveryPartMustBeReadable(t *testing.T) {
	shapefile := func(t *testing.T) string { return rxtest.Shapefile(t, invent.FourZones(), "EPSG:26915") }
	set := func(t *testing.T) string {
		return filepath.Join(stick(t, taskdata.Encode(terminalSet())), taskdata.Main)
	}
	for name, make := range map[string]func(t *testing.T) string{"a shapefile": shapefile, "task data": set} {
		whole, err := read.Open(make(t), read.FileOptions{})
		if err != nil || len(whole.Source.Files) < 2 {
			t.Fatalf("%s: %v, %+v", name, err, whole)
		}
		for _, part := range whole.Source.Files {
			at := make(t)
			gone := filepath.Join(filepath.Dir(at), part.Name)
			if err := errors.Join(os.Remove(gone), os.Mkdir(gone, 0o777)); err != nil {
				t.Fatal(err)
			}
			f, err := read.Open(at, read.FileOptions{})
			var own *read.Error
			if f != nil || !errors.As(err, &own) || own.File != part.Name || own.Hint == "" {
				t.Errorf("%s without %s: %+v, %v", name, part.Name, f, err)
			}
		}
	}
}

func zipped(t *testing.T, files taskdata.Files) []byte {
	t.Helper()
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	for name, data := range files {
		part, err := w.Create(taskdata.Folder + "/" + name)
		if err == nil {
			_, err = part.Write(data)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// An archive that is damaged is refused, whatever is in it.
func TestDamagedArchives(t *testing.T) {
	for name, entries := range map[string]taskdata.Files{"task data": taskdata.Encode(terminalSet())} {
		data := zipped(t, entries)
		for _, cut := range []int{1, 30, len(data) / 2} {
			path := filepath.Join(t.TempDir(), "in.zip")
			if err := os.WriteFile(path, data[:len(data)-cut], 0o666); err != nil {
				t.Fatal(err)
			}
			if f, err := read.Open(path, read.FileOptions{}); f != nil || err == nil || !strings.Contains(err.Error(), "in.zip") {
				t.Errorf("%s, cut by %d: %+v, %v", name, cut, f, err)
			}
		}
		damaged := append([]byte{}, data...)
		for i := 40; i < len(damaged)/2; i += 7 { // inside of what is packed
			damaged[i] ^= 0x55
		}
		path := filepath.Join(t.TempDir(), "in.zip")
		if err := os.WriteFile(path, damaged, 0o666); err != nil {
			t.Fatal(err)
		}
		if f, err := read.Open(path, read.FileOptions{}); f != nil || err == nil {
			t.Errorf("%s, damaged: %+v, %v", name, f, err)
		}
	}
}

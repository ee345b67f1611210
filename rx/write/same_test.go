package write_test

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rxsplit/geo/invent"
	"rxsplit/rx"
	"rxsplit/rx/write"
)

// One byte of any file, at any of many places, is found, and the file is named alone.
func TestSameFindsEveryByte(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.WetBoom)
	dir := written(t, job)
	if wrong, err := write.Same(dir, job); err != nil || len(wrong) > 0 {
		t.Fatalf("got %v, %v", wrong, err)
	}
	for name, data := range files(t, dir) {
		path := filepath.Join(dir, name)
		change := func(what string, changed []byte) {
			t.Helper()
			if err := os.WriteFile(path, changed, 0o666); err != nil {
				t.Fatal(err)
			}
			if wrong, err := write.Same(dir, job); err != nil || len(wrong) == 0 || slices.ContainsFunc(wrong, func(m write.Mismatch) bool { return m.File != name }) {
				t.Errorf("%s, %s: got %v, %v", name, what, wrong, err)
			}
			m, err := write.ReadManifest(dir)
			if err != nil {
				return
			}
			if told := m.CheckFiles(dir); len(told) != 1 || told[0].File != name {
				t.Errorf("%s, %s: digests tell %v", name, what, told)
			}
			known := job
			known.Read = m.Read
			if wrong, err := write.Same(dir, known); err != nil || len(wrong) != 1 || wrong[0].File != name {
				t.Errorf("%s, %s, its digest known: got %v, %v", name, what, wrong, err)
			}
		}
		for _, at := range []int{0, 1, 5, 11, 31, 33, 99, 101, len(data) / 2, len(data) - 2, len(data) - 1} {
			if at >= 0 && at < len(data) {
				changed := bytes.Clone(data)
				changed[at] ^= 1
				change("byte", changed)
			}
		}
		change("cut", data[:len(data)-1])
		change("longer", append(bytes.Clone(data), '\n'))
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// A difference is told where whoever opens the file looks for it.
func TestSameTellsThePlace(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.WetBoom)
	dir := written(t, job)
	whole := files(t, dir)
	dbf := whole["dry.dbf"]
	first, each := int(dbf[8])|int(dbf[9])<<8, int(dbf[10])|int(dbf[11])<<8
	line3 := bytes.Index(whole["dry.geojson"], []byte(`"id":2`)) + 5
	for _, c := range []struct {
		file string
		at   int
		want string
	}{
		{"dry.shp", 3, "^the header is not the one of the plan, from byte 3 of the file on$"},
		{"dry.shp", 100, "^record 1 is not"},
		{"dry.shp", len(whole["dry.shp"]) - 1, "^record 4 is not"},
		{"dry.shx", 99, "^the header is"},
		{"dry.shx", 100, "^record 1 is"},
		{"dry.shx", 108, "^record 2 is"},
		{"dry.dbf", 31, "^the header is"},
		{"dry.dbf", 32, "^the list of columns is"},
		{"dry.dbf", first - 1, "^the list of columns is"},
		{"dry.dbf", first, "^record 1 is"},
		{"dry.dbf", first + each, "^record 2 is"},
		{"dry.geojson", line3, `^line 3, from character 24 on, is .*\\"id\\":3.*, want .*\\"id\\":2`},
		{"zones.csv", 1, `^line 1, from character 2 on, is "znne", want "zone"$`},
	} {
		data := bytes.Clone(whole[c.file])
		data[c.at] ^= 1
		if err := os.WriteFile(filepath.Join(dir, c.file), data, 0o666); err != nil {
			t.Fatal(err)
		}
		wrong, err := write.Same(dir, job)
		if err != nil || len(wrong) != 1 || !regexp.MustCompile(c.want).MatchString(wrong[0].What) {
			t.Errorf("%s, byte %d: got %v, %v; want %s", c.file, c.at, wrong, err, c.want)
		}
		if err := os.WriteFile(filepath.Join(dir, c.file), whole[c.file], 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// What is missing, cut, longer or no file is told as that; a canceled comparison stops.
func TestSameOfWhatIsNotThere(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.WetBoom)
	dir := written(t, job)
	csv := filepath.Join(dir, "zones.csv")
	for _, c := range []struct {
		do   func() error
		want string
	}{
		{func() error { return os.Remove(csv) }, "zones.csv: is missing"},
		{func() error { return os.WriteFile(csv, []byte("zo"), 0o666) }, "zones.csv: ends after 2 bytes, want 5"},
		{func() error { return os.WriteFile(csv, []byte("zone\n12345"), 0o666) }, "zones.csv: goes on for 5 bytes after its end"},
		{func() error { return errors.Join(os.Remove(csv), os.Mkdir(csv, 0o777)) }, "zones.csv: can't be read back: it is no regular file"},
	} {
		if err := c.do(); err != nil {
			t.Fatal(err)
		}
		wrong, err := write.Same(dir, job)
		if err != nil || len(wrong) != 1 || wrong[0].Error() != c.want {
			t.Errorf("got %v, %v; want %s", wrong, err, c.want)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	job.Context = ctx
	if _, err := write.Same(dir, job); !errors.Is(err, context.Canceled) || !strings.Contains(err.Error(), "canceled") {
		t.Errorf("got %v, want it canceled", err)
	}
}

package app

import (
	"errors"
	"testing"
)

// Each line of an error of one of many files begins with that file's path.
func TestErrorOfOneOfMany(t *testing.T) {
	for _, c := range []struct{ path, text, want string }{
		{"a/b/bad.geojson", "bad.geojson: byte 0: no JSON", "a/b/bad.geojson: byte 0: no JSON"},
		{"a/b/bad.shp", "bad.dbf: record 1: x\nbad.shp: record 2: y", "a/b/bad.dbf: record 1: x\na/b/bad.shp: record 2: y"},
		{"a/b/bad.zip", "bad.zip: in.dbf: record 1", "a/b/bad.zip: in.dbf: record 1"},
		{"a/bad", "bad: is no prescription", "a/bad: is no prescription"},
		{"bad.shp", "bad.shp: no", "bad.shp: no"},
		{"a/bad.shp", "a/bad.shp: no such file", "a/bad.shp: no such file"},
		{"a/bad.shp", "--carrier X is none", "a/bad.shp: --carrier X is none"},
	} {
		if got := (&InFolder{c.path, errors.New(c.text)}).Error(); got != c.want {
			t.Errorf("%s: got %q, want %q", c.path, got, c.want)
		}
	}
}

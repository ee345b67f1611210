package geojson

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"rxsplit/geo"
)

// Whatever the bytes are: there is a layer or a list of what is bad; it is the
// same for all blocks; it takes memory in proportion; a layer is what encoding/json
// reads; and it is written and read back unchanged.
func FuzzDecode(f *testing.F) {
	for _, text := range samples(f) {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		var l *geo.Layer
		var err error
		used := allocated(func() { l, err = decode(bytes.NewReader(text), "f", 4096, 1) })
		// As [TestHostileTexts] has it, but that a property's name may cost a map's
		// entry, some 200 bytes for 6 of text; 1 MB is for batches and goroutines.
		if limit := 96*len(text) + 1<<20; used > limit {
			t.Errorf("allocated %d bytes for %d of text, at most %d are meant to be", used, len(text), limit)
		}
		want := describe(l, err)
		for _, block := range []int{1, 33} {
			if got := describe(decode(bytes.NewReader(text), "f", block, 2)); got != want {
				t.Fatalf("blocks of %d: got\n%s\nwant\n%s", block, got, want)
			}
		}
		if err != nil {
			var bad *geo.BadFileError
			if !errors.As(err, &bad) || len(bad.Bad) == 0 {
				t.Fatalf("%T: %v", err, err)
			}
			return
		}
		if json.Valid(text) && bytes.Contains(text, []byte("FeatureCollection")) && exactNames(text) {
			if err := checkPlain(l, text); err != nil && !aliased(text) {
				t.Fatal(err)
			}
		}
		checkSurvives(t, l)
	})
}

// exactNames reports whether encoding/json, which ignores the case of names and
// takes the last of equal ones, sees the names that we see.
func exactNames(text []byte) bool {
	for _, name := range []string{"type", "features", "geometry", "properties", "coordinates", "geometries"} {
		lower := strings.Count(strings.ToLower(string(text)), name)
		if lower != bytes.Count(text, []byte(name)) {
			return false
		}
	}
	return true
}

// aliased reports whether names may be spelled in other ways, or a collection
// stand inside something else.
func aliased(text []byte) bool {
	return bytes.Contains(text, []byte(`\u`)) || !bytes.HasPrefix(bytes.TrimSpace(text), []byte(`{"type":"FeatureCollection"`)) ||
		bytes.ContainsAny(text, "\u017f\u212a")
}

// checkSurvives writes a layer, reads it, and writes it again.
func checkSurvives(t *testing.T, l *geo.Layer) {
	t.Helper()
	first := rewritten(t, l)
	again, err := Decode(bytes.NewReader(first), "f")
	if err != nil {
		t.Fatalf("what was written can't be read: %v\n%s", err, first)
	}
	if second := rewritten(t, again); !bytes.Equal(first, second) {
		t.Fatalf("written\n%s\nread and written\n%s", first, second)
	}
	for _, r := range again.Remarks {
		t.Fatalf("what was written has the oddity %v", r)
	}
	for i := range l.Shapes.Len() {
		for f := range l.Attributes.Fields() {
			a, b := l.Attributes.Cell(i, f), again.Attributes.Cell(i, f)
			if a.Kind != geo.Other && (a.Kind != b.Kind || !bytes.Equal(a.Text, b.Text)) {
				t.Fatalf("record %d: field %d: %v became %v", i, f, a, b)
			}
		}
	}
}

// rewritten writes a layer with all its cells but arrays and objects.
func rewritten(t *testing.T, l *geo.Layer) []byte {
	t.Helper()
	var cols []geo.Column
	for f, field := range l.Attributes.Fields() {
		cols = append(cols, geo.Column{Name: field.Name, JSON: func(dst []byte, row int) []byte {
			switch c := l.Attributes.Cell(row, f); c.Kind {
			case geo.Number, geo.Bool:
				return append(dst, c.Text...)
			case geo.Text:
				return append(dst, quoted(string(c.Text))...)
			}
			return append(dst, "null"...)
		}})
	}
	var b bytes.Buffer
	if err := Write(&b, l.Name, &l.Shapes, nil, cols); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

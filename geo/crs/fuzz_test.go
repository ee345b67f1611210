package crs

import (
	"runtime"
	"testing"

	"github.com/paulmach/orb"
)

// mostAllocated bounds what reading a text takes from the heap, garbage included: a
// node of a text is some 200 bytes for two of text, brackets, and what is read of
// them is copied a few times; half a MB is for the table of systems.
func mostAllocated(text string) uint64 { return 1<<19 + 500*uint64(len(text)) }

// FuzzParse wants memory in proportion, and an error or a system that its own text
// reads back as, and that brings its origin to the plane and back.
func FuzzParse(f *testing.F) {
	for _, row := range table(f, "texts.tsv", 3, 88) {
		f.Add(row[2])
		f.Add("EPSG:" + row[0])
	}
	for _, c := range refusals(f) {
		f.Add(c.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		s, err := Parse(text)
		runtime.ReadMemStats(&after)
		if took := after.TotalAlloc - before.TotalAlloc; took > mostAllocated(text) {
			t.Errorf("took %d bytes for %d, more than %d", took, len(text), mostAllocated(text))
		}
		if err != nil {
			if len(err.Error()) > 600 {
				t.Errorf("an error of %d bytes", len(err.Error()))
			}
			return
		}
		again, err := Parse(s.WKT())
		if err != nil {
			t.Fatalf("%s: %v", s.WKT(), err)
		}
		if a, b := s.def(), again.def(); a.datum != b.datum || a.method != b.method || a.unit != b.unit || !a.params.like(b.params) {
			t.Fatalf("%s became %s", s.WKT(), again.WKT())
		}
		if s.LonLat() {
			return
		}
		p := s.def().params
		place := orb.Point{p.lon0, p.lat0}
		points := []orb.Point{place}
		if s.FromLonLat(points, points) != nil || s.ToLonLat(points, points) != nil {
			return // the origin may lie out of range, as a pole does
		}
		if off := ground(points[0], place); !(off < 1e-3) {
			t.Fatalf("%s: its origin comes back %g m off", s.WKT(), off)
		}
	})
}

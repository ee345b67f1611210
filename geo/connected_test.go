package geo_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/invent"
	"rxsplit/label/unit"
)

// drawn makes cells of 0.001 degrees from letters; the records that a letter stands
// for come back by letter. A digit adds its cell to the record of that digit.
func drawn(rows ...string) (*geo.Shapes, map[rune][]int32) {
	s := &geo.Shapes{}
	records := map[rune][]int32{}
	parts := map[rune]orb.MultiPolygon{}
	for i, row := range rows {
		for col, c := range row {
			x, y := -90+float64(col)/1024, 40+float64(len(rows)-1-i)/1024
			cell := orb.Polygon{rectangle(x, y, x+1.0/1024, y+1.0/1024)}
			switch {
			case c >= '0' && c <= '9':
				parts[c] = append(parts[c], cell)
			case c != '.':
				records[c] = append(records[c], int32(s.Len()))
				s.Append(orb.MultiPolygon{cell})
			}
		}
	}
	for _, c := range "0123456789" {
		if mp := parts[c]; mp != nil {
			records[c] = []int32{int32(s.Len())}
			s.Append(mp)
		}
	}
	return s, records
}

func mesh(t testing.TB, s *geo.Shapes) *geo.Mesh {
	t.Helper()
	m, err := geo.NewMesh(s, geo.MeshOptions{Scale: geo.LonLatScale(s.Extent()), Tolerance: 3 * unit.Millimeter})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestConnected(t *testing.T) {
	for _, c := range []struct {
		name string
		rows []string
		of   rune
		want string // parts of each piece
	}{
		{"neighbors join", []string{"aabba"}, 'a', "[0 1] [4]"},
		{"corners do not join", []string{"ab", "ba"}, 'a', "[0] [3]"},
		{"around a hole, and the island in it", []string{"aaaaa", "abbba", "ababa", "abbba", "aaaaa"}, 'a',
			"[0 1 2 3 4 5 9 10 14 15 19 20 21 22 23 24] [12]"},
		{"the hole", []string{"aaaaa", "abbba", "ababa", "abbba", "aaaaa"}, 'b', "[6 7 8 11 13 16 17 18]"},
		{"parts of one record", []string{"1a11"}, '1', "[1] [2 3]"},
		{"one cell", []string{"bab"}, 'a', "[1]"},
	} {
		s, records := drawn(c.rows...)
		pieces, err := mesh(t, s).Connected(records[c.of])
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		got := ""
		for i, g := range pieces {
			if i > 0 {
				got += " "
			}
			got += fmt.Sprint(g.Parts)
		}
		if got != c.want {
			t.Errorf("%s: got %s, want %s", c.name, got, c.want)
		}
	}
}

// On invented grids, rows shifted or not: each part is in one piece, and the acres
// of a piece are those of its parts.
func TestConnectedHoldTheirParts(t *testing.T) {
	for _, shift := range []bool{false, true} {
		l, err := invent.Grid(invent.GridOptions{Cells: 3000, Seed: 5, Shift: shift, Angle: 20})
		if err != nil {
			t.Fatal(err)
		}
		m := mesh(t, &l.Shapes)
		areas, err := l.Shapes.Areas()
		if err != nil {
			t.Fatal(err)
		}
		r := rand.New(rand.NewPCG(2, 2))
		groups := make([][]int32, 3)
		for i := range l.Shapes.Len() {
			n := r.IntN(len(groups))
			groups[n] = append(groups[n], int32(i))
		}
		for n, group := range groups {
			pieces, err := m.Connected(group)
			if err != nil {
				t.Fatal(err)
			}
			var all []int32
			for _, s := range pieces {
				var sum unit.Area
				for _, part := range s.Parts {
					sum += areas[part]
				}
				all = append(all, s.Parts...)
				area, err := geo.AreaOf(orb.MultiPolygon{s.Polygon})
				if err != nil {
					t.Fatal(err)
				}
				if math.Abs(float64(area-sum)) > 1e-6*float64(sum) {
					t.Errorf("shift %v, group %d: the piece has %v, its parts have %v", shift, n, area, sum)
				}
			}
			slices.Sort(all)
			if !slices.Equal(all, group) { // each record of the grid is one part
				t.Errorf("shift %v, group %d: %d parts are in %d places", shift, n, len(group), len(all))
			}
		}
	}
}

// A ring that crosses itself has no connected ground; the record named is that of the layer.
func TestConnectedNameTheRecord(t *testing.T) {
	s, _ := drawn("aa")
	s.Append(orb.MultiPolygon{{closed(-90, 41, -89.99, 41.01, -89.99, 41, -90, 41.01)}})
	_, err := mesh(t, s).Connected([]int32{1, 2})
	if err == nil || !strings.HasPrefix(err.Error(), "record 3: ") { // from 1
		t.Errorf("got %v, want an error about record 2", err)
	}
}

func BenchmarkConnected(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		l, err := invent.Grid(invent.GridOptions{Cells: n, Seed: 7})
		if err != nil {
			b.Fatal(err)
		}
		groups := map[float64][]int32{}
		for i, rate := range l.Rates {
			groups[rate] = append(groups[rate], int32(i))
		}
		b.Run(fmt.Sprintf("%d cells, %d rates", n, len(groups)), func(b *testing.B) {
			m := mesh(b, &l.Shapes)
			for b.Loop() {
				for _, group := range groups {
					if _, err := m.Connected(group); err != nil {
						b.Fatal(err)
					}
				}
			}
		})
	}
}

package coverage

import (
	"math"
	"testing"

	"rxsplit/geo"
)

// Bars that cross bars come to a quarter of a million crosses, which nobody looks at: fewer are
// drawn, and areas stay near the exact ones. 500 bars of 0.5 m every meter cover half of the
// ground each way: a quarter twice, half once.
func TestTooMuchIsDrawnCoarsely(t *testing.T) {
	const bars = 500
	g := &Ground{Products: 1, Patches: &geo.Shapes{}}
	for i := range bars {
		at := float64(i)
		g.Patches.Append(box(at, 0, at+0.5, bars))
		g.Patches.Append(box(0, at, bars, at+0.5))
		g.Laid = append(g.Laid, Patch{Density: 1}, Patch{Density: 1})
	}
	regions, err := Regions(g, Options{Spacing: 0.25}, func(s *State) (int32, [2]float64) { return s.Covers[0], [2]float64{} })
	if err != nil {
		t.Fatal(err)
	}
	if most := freeRuns + eachRuns*4*len(g.Laid); len(regions) > most || len(regions) < 1000 {
		t.Errorf("%d regions, at most %d are worth drawing", len(regions), most)
	}
	tables, err := Sweep(g, Options{Marks: 1, Judge: func(s *State) Marks { return Marks(s.Covers[0] / 2) }})
	if err != nil {
		t.Fatal(err)
	}
	if !tables.Widened {
		t.Error("lines as dense as ever")
	}
	if got := tables.Marks[0]; math.Abs(got.Area-bars*bars/4) > got.Error+0.02*bars*bars/4 {
		t.Errorf("twice: %.0f, off by %.0f at most; want %d", got.Area, got.Error, bars*bars/4)
	}
}

// Few long sides, or many short ones, are swept as finely as asked for.
func TestFieldsAreSweptFinely(t *testing.T) {
	g := &Ground{Products: 1, Zones: shapes(box(0, 0, 3000, 3000))}
	for i := range 150 {
		for k := range 100 {
			x, y := float64(20*i), float64(30*k)
			g.Pieces = append(g.Pieces, strip(x, y, x+20, y+30, 1))
		}
	}
	tables, err := Sweep(g, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if tables.Widened {
		t.Errorf("lines %v m apart", tables.Spacing)
	}
}

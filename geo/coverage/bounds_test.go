package coverage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"sync/atomic"
	"testing"

	"github.com/paulmach/orb"

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
	drawn, err := Regions(g, Options{Spacing: 0.25}, func(s *State) (int32, [2]float64) { return s.Covers[0], [2]float64{} })
	if err != nil {
		t.Fatal(err)
	}
	regions := drawn[0]
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

// Where there are too many runs to draw, that shows on the first lines: no more than those of two
// bands are kept, and hardly more are looked at.
func TestTooMuchIsSoonSeen(t *testing.T) {
	const bars, long = 400, 8000
	g := &Ground{Products: 1, Patches: &geo.Shapes{}}
	for i := range bars {
		g.Patches.Append(box(float64(i), 0, float64(i)+0.5, long))
		g.Laid = append(g.Laid, Patch{Density: 1})
	}
	var looked atomic.Int64
	look := func(s *State) (int32, [2]float64) {
		looked.Add(1)
		return 1, [2]float64{}
	}
	s, err := newSweeper(g, Options{Spacing: 1})
	if err != nil {
		t.Fatal(err)
	}
	const few = 4 * bars // lines of them end a band
	if all, err := s.draw([]Classed{look}, few); err != nil || !all[0].over() || looked.Load() > int64(runtime.GOMAXPROCS(0)*(few+2*bars)) {
		t.Errorf("%v: %d stretches are looked at to see that they are more than %d", err, looked.Load(), few)
	}
	looked.Store(0)
	all, err := Regions(g, Options{Spacing: 1}, look)
	if err != nil || len(all[0]) < bars {
		t.Fatalf("%v, %v", all, err)
	}
	most := int64(freeRuns + eachRuns*2*bars)
	if n := looked.Load(); n > int64(runtime.GOMAXPROCS(0)+2)*(most+bars) {
		t.Errorf("%d stretches are looked at to draw %d at most", n, most)
	}
}

// Drawn in many ways at once, ground is as drawn in each alone, whether one of them has too many runs
// or not.
func TestManyWaysAreDrawnAsEach(t *testing.T) {
	const bars, long = 400, 800
	g := &Ground{Products: 1, Zones: &geo.Shapes{}}
	for i := range bars {
		g.Zones.Append(box(float64(i), 0, float64(i)+1, long))
	}
	fine := func(s *State) (int32, [2]float64) { return int32(s.Zone%2) + 1, [2]float64{float64(s.Zone), 1} }
	coarse := func(s *State) (int32, [2]float64) { return int32(s.Zone/100) + 1, [2]float64{1, float64(s.Zone)} }
	for _, ways := range [][]Classed{{coarse, fine, coarse}, {coarse, fine}, {fine, coarse}} {
		all, err := Regions(g, Options{Spacing: 1}, ways...)
		if err != nil {
			t.Fatal(err)
		}
		for i, by := range ways {
			alone, err := Regions(g, Options{Spacing: 1}, by)
			if err != nil || len(alone[0]) < 4 || !reflect.DeepEqual(all[i], alone[0]) {
				t.Errorf("way %d of %d: %d regions, %d where it is drawn alone: %v", i, len(ways), len(all[i]), len(alone[0]), err)
			}
		}
	}
	s, err := newSweeper(g, Options{Spacing: 1})
	if err != nil {
		t.Fatal(err)
	}
	if all, err := s.draw([]Classed{coarse, fine}, freeRuns); err != nil || all[0].over() || !all[1].over() {
		t.Error("one of two ways is to have too many runs", err)
	}
}

// Lines that are asked for at a meter are spread out where those of a quarter of a meter would be
// twice over, and lie no closer than these; what a large field has is none of that.
func TestWideLinesMeetLess(t *testing.T) {
	for _, c := range []struct{ long, fine, wide float64 }{{500, 0.25, 1}, {1000, 0.25, 1}, {2500, 0.5, 1}, {3000, 1, 2}, {6000, 2, 4}, {100_000, 32, 64}} {
		edges := make([]edge, 400)
		for i := range edges {
			edges[i] = edge{low: orb.Point{float64(i), 0}, high: orb.Point{float64(i), c.long}}
		}
		for spacing, want := range map[float64]float64{DefaultSpacing: c.fine, 1: c.wide} {
			f, meets := frame{cos: 1, spacing: spacing}.fit(nil, edges, 1)
			if f.spacing != want || meets > freeCrossings+eachCrossings*400 {
				t.Errorf("edges of %v m, lines of %v m: they lie %v m apart and meet %v, want %v", c.long, spacing, f.spacing, meets, want)
			}
		}
	}
}

// Swaths that lie on each other two thousand times are looked at with an eighth of the work, and
// what is found holds within what it says of its error.
func TestThickGroundIsSweptCoarsely(t *testing.T) {
	g := &Ground{Products: 1}
	random := rand.New(rand.NewPCG(8, 1))
	for range 2000 {
		x, y := 40*random.Float64(), 40*random.Float64()
		g.Pieces = append(g.Pieces, strip(x, y, x+300, y+300, 1))
	}
	s, err := newSweeper(g, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if s.share != leastShare {
		t.Errorf("a share of %v, want %v", s.share, leastShare)
	}
	tables, err := Sweep(g, Options{Marks: 1, Judge: func(s *State) Marks { return min(Marks(s.Covers[0]), 1) }})
	if err != nil {
		t.Fatal(err)
	}
	if got := tables.Marks[0]; !tables.Widened || math.Abs(got.Area-340*340) > 0.01*340*340 {
		t.Errorf("%.0f m² of %d covered, lines widened: %v", got.Area, 340*340, tables.Widened)
	}
}

// Events are sorted whether they are nearly in order or not at all.
func TestEventsAreSorted(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 2))
	for _, shaken := range []float64{0, 0.01, 10} {
		list := make([]event, 500)
		for i := range list {
			list[i] = event{math.Round(100*(float64(i)/500+shaken*random.Float64())) / 100, int32(random.IntN(3)), int32(1 - 2*random.IntN(2))}
		}
		sortEvents(list)
		for i := 1; i < len(list); i++ {
			if list[i].before(&list[i-1]) {
				t.Fatalf("shaken by %v: %v after %v", shaken, list[i], list[i-1])
			}
		}
	}
}

// What lines meet is told in the order of where: to a tenth of a millimeter within a kilometer.
func TestMetIsSorted(t *testing.T) {
	ups := []float64{-farthest, -1000, -0.0002, -0.0001, 0, 0.0001, 0.0002, 1, 999.9999, 1000, farthest}
	for i, u := range ups {
		for k, v := range ups {
			if a, b := metAt(u, int32(-i)), metAt(v, int32(k)); a < b != (u < v) && u != v {
				t.Errorf("%v before %v: %v", u, v, a < b)
			}
		}
		for _, what := range []int32{0, 7, -1, math.MaxInt32, math.MinInt32} {
			if got := metAt(u, what).what(); got != what {
				t.Errorf("%d at %v comes back as %d", what, u, got)
			}
		}
	}
}

// Nothing is kept of zones where it is not asked what fell on each; all else is the same.
func TestZonesAreLeftOut(t *testing.T) {
	g := &Ground{Products: 1, Zones: shapes(box(0, 0, 30, 30), box(30, 0, 60, 30))}
	g.Pieces = append(g.Pieces, strip(0, 0, 40, 30, 1))
	o := Options{Marks: 1, Judge: func(s *State) Marks { return Marks(s.Zone & 1) }}
	with, err := Sweep(g, o)
	if err != nil {
		t.Fatal(err)
	}
	o.NoZones = true
	without, err := Sweep(g, o)
	if err != nil {
		t.Fatal(err)
	}
	if len(with.Zones) != 2 || without.Zones != nil {
		t.Errorf("%d zones where they are asked for, %d where not", len(with.Zones), len(without.Zones))
	}
	with.Zones = nil
	if !reflect.DeepEqual(with, without) {
		t.Errorf("%+v with zones, %+v without", with, without)
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

// Nine cells, the middle one drawn twice: a side that neighbors share is crossed once for both, and
// lines are spread out as if it were crossed twice. Of the middle one the first owns all ground.
func TestNeighborsShareTheirSides(t *testing.T) {
	var cells []orb.MultiPolygon
	for i := range 9 {
		x, y := float64((i+1)%3*10), float64(i/3*10) // the first of each row is in its middle
		cells = append(cells, box(x, y, x+10, y+10))
	}
	g := &Ground{Products: 1, Zones: shapes(append(cells, cells[3])...), Pieces: []Piece{strip(5, 5, 25, 25, 2)}}
	s, err := newSweeper(g, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(s.edges) != 24+4 || s.sides != 9*4+4 {
		t.Errorf("%d edges of %d sides, want the 24 of a lattice and the 4 of the cell that lies on one", len(s.edges), s.sides)
	}
	high := (math.Abs(s.frame.cos) + math.Abs(s.frame.sin)) * (10*20 + 20) // of half of the sides, and of the piece
	if _, meets := s.frame.fit(g.Pieces, s.edges, 1); math.Abs(meets-high/0.25) > 1e-6 {
		t.Errorf("lines meet %.2f, want %.2f", meets, high/0.25)
	}
	tables, err := Sweep(g, Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := [10]float64{50, 25, 25, 100, 50, 50, 50, 25, 25, 0}
	for z, on := range tables.Zones {
		near(t, fmt.Sprint("zone ", z+1), on.Area, []float64{100, 0}[z/9], 0.5)
		near(t, fmt.Sprint("covered of zone ", z+1), on.Products[0].Covered, want[z], 0.5)
	}
}

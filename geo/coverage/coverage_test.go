package coverage

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

func box(x0, y0, x1, y1 float64) orb.MultiPolygon {
	return orb.MultiPolygon{{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}}
}

func shapes(list ...orb.MultiPolygon) *geo.Shapes {
	s := &geo.Shapes{}
	for _, mp := range list {
		s.Append(mp)
	}
	return s
}

// strip is a piece that is driven north over a box.
func strip(x0, y0, x1, y1, density float64) Piece {
	return Piece{Ring: [4]orb.Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}, Density: density}
}

func near(t *testing.T, what string, got, want, most float64) {
	t.Helper()
	if math.Abs(got-want) > most {
		t.Errorf("%s is %.6f, want %.6f", what, got, want)
	}
}

// Each table of a ground whose parts are boxes: a strip of 20 m over two zones that overlap, a
// keep-out and a patch.
func TestTablesOfBoxes(t *testing.T) {
	g := &Ground{
		Products: 2,
		Pieces:   []Piece{strip(0, -10, 20, 100, 3)},
		Patches:  shapes(box(0, 0, 100, 10)), Laid: []Patch{{Density: 5, Product: 1}},
		Zones:    shapes(box(0, 0, 100, 60), box(0, 50, 100, 90)), // the first owns what both cover
		KeepOuts: shapes(box(10, 20, 30, 30)),
		Targets:  [][]float64{{3, 4}, nil},
	}
	both := func(s *State) Marks {
		if s.Covers[0] > 0 && s.Covers[1] > 0 {
			return 1
		}
		return 0
	}
	got, err := Sweep(g, Options{Marks: 1, Judge: both, Spots: 1})
	if err != nil {
		t.Fatal(err)
	}
	narrow, err := Sweep(g, Options{Marks: 1, Judge: both, Spots: 1, Narrow: 30}) // than the 20 m by 10 m of both
	if err != nil || len(narrow.Spots) != 0 {
		t.Fatalf("narrow spots %+v, %v", narrow.Spots, err)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"both products", got.Marks[0].Area, 200}, {"none of it narrow", got.Marks[0].Narrow, 0},
		{"both, though narrow", narrow.Marks[0].Area, 200}, {"all of it narrow", narrow.Marks[0].Narrow, 200},
		{"in the field", got.Products[0].Field, 3 * 20 * 90}, {"outside", got.Products[0].Outside, 3 * 20 * 20},
		{"in the keep-out", got.Products[0].KeepOut, 3 * 10 * 10}, {"the patch", got.Products[1].Field, 5 * 1000},
		{"first zone", got.Zones[0].Area, 6000}, {"second zone", got.Zones[1].Area, 3000},
		{"covered of the first", got.Zones[0].Products[0].Covered, 1200}, {"on target", got.Zones[0].Products[0].OnTarget, 1200},
		{"off the second's target", got.Zones[1].Products[0].Off, 1*600 + 4*2400}, {"on the second's", got.Zones[1].Products[0].OnTarget, 0},
	} {
		near(t, c.what, c.got, c.want, 2e-3*c.want+1e-9)
	}
	if len(got.Spots) != 1 || !box(0, 0, 20, 10).Bound().Contains(got.Spots[0].Place) {
		t.Errorf("spots %+v, want one in the south-west corner", got.Spots)
	}
}

// Ground that can't be is refused, and work that is called off ends.
func TestRefusedGround(t *testing.T) {
	for name, c := range map[string]struct {
		ground *Ground
		want   string
	}{
		"far":     {&Ground{Products: 1, Pieces: []Piece{strip(0, 0, 1, 1e8, 1)}}, "piece 0 reaches to 1 1e+08"},
		"NaN":     {&Ground{Products: 1, Pieces: []Piece{strip(0, math.NaN(), 1, 1, 1)}}, "piece 0 reaches to 0 NaN"},
		"product": {&Ground{Pieces: []Piece{strip(0, 0, 1, 1, 1)}}, "piece 0 is of product 0, of 0"},
		"patches": {&Ground{Patches: shapes(box(0, 0, 1, 1))}, "1 patches, and 0 are laid"},
	} {
		for what, do := range allWork {
			if err := do(c.ground, Options{}); fmt.Sprint(err) != c.want {
				t.Errorf("%s of %s: %v, want %q", what, name, err, c.want)
			}
		}
	}
}

var allWork = map[string]func(*Ground, Options) error{
	"tables":  func(g *Ground, o Options) error { _, err := Sweep(g, o); return err },
	"levels":  func(g *Ground, o Options) error { _, err := Levels(g, o); return err },
	"regions": func(g *Ground, o Options) error { _, err := Regions(g, o, onCovers); return err },
}

func onCovers(s *State) (int32, [2]float64) { return s.Covers[0], [2]float64{} }

// calledOff is canceled once, when it is asked for the at-th time.
type calledOff struct {
	context.Context
	at int
	n  *int
}

func (c calledOff) Err() error {
	if *c.n++; *c.n == c.at {
		return context.Canceled
	}
	return nil
}

// Work that is called off in any part ends with that error, also where it is done again on wider lines.
func TestCalledOffInAnyPart(t *testing.T) {
	needles := &Ground{Products: 1, Zones: shapes(box(0, 0, 300, 300))}
	for i := range 150 {
		needles.Pieces = append(needles.Pieces, strip(float64(2*i), 0, float64(2*i)+1, 300, 1))
	}
	for what, do := range allWork {
		try := func(at int) (asked int, err error) {
			err = do(needles, Options{Context: calledOff{t.Context(), at, &asked}})
			return asked, err
		}
		all, err := try(0)
		if err != nil || all == 0 {
			t.Fatalf("%s: asked %d times, %v", what, all, err)
		}
		for at := 1; at <= all; at++ {
			if _, err := try(at); err != context.Canceled {
				t.Errorf("%s, called off at %d of %d: %v", what, at, all, err)
			}
		}
	}
}

// What lies on a zone, the highest first; layers that overlap add up.
func TestLevels(t *testing.T) {
	got, err := Levels(&Ground{
		Products: 1, Zones: shapes(box(0, 0, 100, 100)), Pieces: []Piece{strip(40, 0, 50, 100, 5)},
		Patches: shapes(box(-10, 0, 50, 100)), Laid: []Patch{{Density: 10}},
	}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	got[0] = slices.DeleteFunc(got[0], func(l Level) bool { return l.Area < 1e-6 }) // edges that coincide to the last bit but one
	want := []Level{{15, 1000}, {10, 4000}, {0, 5000}}
	if len(got[0]) != len(want) {
		t.Fatalf("levels %v", got[0])
	}
	for i, l := range want {
		near(t, "density", got[0][i].Density, l.Density, 0)
		near(t, "its ground", got[0][i].Area, l.Area, 5)
	}
}

// Of the four runs around a corner, sides leave with their ground to the left; where two of a
// class touch in the corner, all four do, and it is a node.
func TestWaysAtACorner(t *testing.T) {
	for _, c := range []struct {
		around [4]int32 // above left and right, below left and right
		want   ways
	}{
		{[4]int32{1, 0, 0, 0}, up}, {[4]int32{0, 1, 0, 0}, ahead}, {[4]int32{0, 0, 1, 0}, back}, {[4]int32{0, 0, 0, 1}, down},
		{[4]int32{1, 1, 0, 0}, ahead}, {[4]int32{1, 0, 1, 0}, up}, {[4]int32{1, 2, 1, 2}, up | down}, {[4]int32{1, 1, 1, 1}, 0},
		{[4]int32{1, 0, 0, 1}, up | down | node}, {[4]int32{1, 2, 2, 1}, ahead | up | back | down | node}, {[4]int32{1, 1, 2, 3}, ahead | back | down | node},
	} {
		if got := waysAt(c.around[0], c.around[1], c.around[2], c.around[3]); got != c.want {
			t.Errorf("%v: %06b, want %06b", c.around, got, c.want)
		}
	}
	if down.turned(1) != ahead || ahead.turned(3) != down || back.turned(0) != back {
		t.Error("a quarter turn is none")
	}
}

// Ground with a hole, a like of its class that touches in one corner, and another class in
// the hole: each is one region, with its own rings, and all have their ground.
func TestRegionsOfBoxes(t *testing.T) {
	g := &Ground{Products: 1, Zones: shapes(box(40, 40, 60, 60), box(0, 0, 100, 100), box(100, 100, 130, 130))}
	all, err := Regions(g, Options{Spacing: 0.5}, func(s *State) (int32, [2]float64) {
		return []int32{2, 1, 1}[s.Zone], [2]float64{float64(s.Zone), 7}
	})
	if err != nil {
		t.Fatal(err)
	}
	sums := map[int32]float64{}
	rings := map[int32]int{}
	for _, r := range all[0] {
		drawn := 0.0
		for i, ring := range r.Polygon {
			if area := geo.TwiceArea(ring) / 2; (area > 0) != (i == 0) {
				t.Errorf("ring %d of class %d has %.2f", i, r.Class, area)
			} else {
				drawn += area
			}
		}
		near(t, "what is drawn", drawn, r.Area, 1)
		near(t, "the second mean", r.Mean[1], 7, 1e-9)
		sums[r.Class] += r.Area
		rings[r.Class] += len(r.Polygon)
	}
	near(t, "the first class", sums[1], 100*100-20*20+30*30, 5)
	near(t, "the second class", sums[2], 400, 1)
	if rings[1] != 3 || rings[2] != 1 {
		t.Errorf("rings %v", rings)
	}
}

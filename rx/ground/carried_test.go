package ground

import (
	"reflect"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/coverage"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// What a unit of a layer brings of each liquid, by hand: 320 fl oz/ton is 0.16 fl oz on each pound of dry that
// is impregnated, 640 twice that; of a mix of 40 fl oz/ac, 10 are a quarter.
func TestCarried(t *testing.T) {
	f := planned([]orb.Polygon{rectangle(0, 0, 100, 100), rectangle(100, 0, 400, 100)}, 100, 200)
	f.Assessment.Terms.Further = []rx.JobLiquid{{Name: "dye"}, {Name: "oil"}}
	side := func(treated bool, rates ...unit.DryRate) rx.RateColumn {
		return rx.RateColumn{Rates: rates, Spread: &rx.Spread{Treated: treated}}
	}
	f.Plan.Layers = []rx.Layer{
		{Product: rx.Dry, Treated: true, Loading: 320, Further: []rx.LayerLiquid{{Name: "dye", Loading: 640}}, Columns: []rx.RateColumn{{}}},
		{Product: rx.Dry, Columns: []rx.RateColumn{{}}},
		{Product: rx.Liquid, Rate: 40, Further: []rx.LayerLiquid{{Name: "dye", Rate: 10}}},
		{Product: rx.Liquid},
		{Product: rx.Dry, Treated: true, Loading: 320, Columns: []rx.RateColumn{side(true, 50, 0), side(false, 150, 0)}},
		{Product: rx.Dry, Treated: true, Loading: 320, Columns: []rx.RateColumn{side(true, 10, 30), side(false, 30, 10)}},
		{Product: rx.Dry, Treated: true, Loading: 320, Columns: []rx.RateColumn{side(true, 0, 0), side(false, 0, 0)}},
	}
	for _, c := range []struct {
		layer, liquid, zone int
		want                float64
	}{
		{0, 0, 0, 0.16}, {0, 0, -1, 0.16}, {0, 1, 1, 0.32}, {0, 2, 0, 0},
		{1, 0, 0, 0}, {1, 1, 0, 0},
		{2, 0, 0, 1}, {2, 1, 0, 0.25}, {2, 2, 0, 0},
		{3, 0, 0, 0}, {3, 1, 0, 0},
		{4, 0, 0, 0.04}, {4, 0, 1, 0.04}, {4, 0, -1, 0.04}, // where nothing is asked, the field's mean
		{5, 0, 0, 0.04}, {5, 0, 1, 0.12}, {5, 0, -1, 0.1}, // by area: (10+90)/(40+120) of it
		{6, 0, 0, 0},
	} {
		if got := f.carried(c.layer, c.liquid, c.zone); got < c.want-1e-12 || got > c.want+1e-12 {
			t.Errorf("layer %d, liquid %d, zone %d: got %v, want %v", c.layer, c.liquid, c.zone, got, c.want)
		}
	}
	// Ground is judged by the same, of the layers that are looked at, the zones first and then what lies outside.
	f.Plan.Stabilizer = []unit.LiquidRate{40, 0}
	j := f.judgeOf([]int{2, 0})
	if want := [][]float64{{40, 0}, {100, 200}}; !reflect.DeepEqual(j.targets, want) || !slices.Equal(j.liquid, []bool{true, false}) {
		t.Errorf("targets %v of liquid layers %v", j.targets, j.liquid)
	}
	if len(j.graded) != 2 {
		t.Fatalf("%d liquids are graded, want those that a layer brings", len(j.graded))
	}
	for k, want := range [][][]float64{{{1, 1, 1}, {0.16, 0.16, 0.16}}, {{0.25, 0.25, 0.25}, {0.32, 0.32, 0.32}}} {
		if got := j.graded[k]; got.number != k || !reflect.DeepEqual(got.carried, want) {
			t.Errorf("liquid %d: %+v, want %v", k, got, want)
		}
	}
}

// Sections of one rate side by side are one piece, whichever comes first; others stay.
func TestMergedBeside(t *testing.T) {
	piece := func(x0, x1, y1, rate float64) coverage.Piece {
		return coverage.Piece{Ring: [4]orb.Point{{x0, 0}, {x1, 0}, {x1, y1}, {x0, y1}}, Density: rate}
	}
	a, b := piece(0, 10, 5, 2), piece(10, 20, 5, 2)
	for name, c := range map[string]struct{ from, want []coverage.Piece }{
		"right":        {[]coverage.Piece{a, b}, []coverage.Piece{piece(0, 20, 5, 2)}},
		"left":         {[]coverage.Piece{b, a}, []coverage.Piece{piece(0, 20, 5, 2)}},
		"another rate": {[]coverage.Piece{a, piece(10, 20, 5, 3)}, []coverage.Piece{a, piece(10, 20, 5, 3)}},
		"longer":       {[]coverage.Piece{a, piece(10, 20, 6, 2)}, []coverage.Piece{a, piece(10, 20, 6, 2)}},
		"shorter left": {[]coverage.Piece{b, piece(0, 10, 4, 2)}, []coverage.Piece{b, piece(0, 10, 4, 2)}},
		"apart":        {[]coverage.Piece{a, piece(11, 20, 5, 2)}, []coverage.Piece{a, piece(11, 20, 5, 2)}},
	} {
		got := merged(c.from, beside)
		if len(got) != len(c.want) {
			t.Errorf("%s: got %d pieces, want %d", name, len(got), len(c.want))
			continue
		}
		for i := range got {
			if got[i].Ring != c.want[i].Ring {
				t.Errorf("%s: got %v, want %v", name, got[i].Ring, c.want[i].Ring)
			}
		}
	}
}

// How ground is covered: by two layers, of which the second is wanted in zone 1 alone.
func TestHowGroundIsCovered(t *testing.T) {
	j := &judge{targets: [][]float64{{100, 100}, {0, 50}}}
	for _, c := range []struct {
		zone   int32
		covers []int32
		want   Kind
	}{
		{0, []int32{1, 0}, Once}, {0, []int32{0, 1}, Bare}, {0, []int32{0, 0}, Bare}, {0, []int32{1, 1}, Once}, {0, []int32{2, 0}, Twice}, {0, []int32{1, 2}, Twice},
		{1, []int32{1, 0}, Bare}, {1, []int32{1, 1}, Once}, {1, []int32{2, 0}, Twice}, {1, []int32{0, 2}, Twice},
		{-1, []int32{0, 0}, 0}, {-1, []int32{1, 0}, Outside}, {-1, []int32{0, 3}, Outside},
	} {
		if got := j.covers(&coverage.State{Zone: int(c.zone), Covers: c.covers}); got != c.want {
			t.Errorf("zone %d, %v: got %d, want %d", c.zone, c.covers, got, c.want)
		}
	}
}

// A tenth off the target, either way, is on it; one layer that is under its target is told before another that is over.
func TestOnTarget(t *testing.T) {
	j := &judge{targets: [][]float64{{100}, {50}}}
	for _, c := range []struct {
		zone  int
		rates []float64
		want  Kind
	}{
		{0, []float64{90, 55}, OnTarget}, {0, []float64{110, 45}, OnTarget}, {0, []float64{89.9, 50}, Under}, {0, []float64{100, 44.9}, Under},
		{0, []float64{110.1, 50}, Over}, {0, []float64{100, 55.1}, Over}, {0, []float64{110.1, 44.9}, Under}, {-1, []float64{0, 0}, 0},
	} {
		if got := j.onTarget(&coverage.State{Zone: c.zone, Density: c.rates}); got != c.want {
			t.Errorf("zone %d, %v: got %d, want %d", c.zone, c.rates, got, c.want)
		}
	}
}

// What a stretch gets of a liquid is that of all products, each by what it carries in that zone; the last
// share is that of ground outside.
func TestRateOfAStretch(t *testing.T) {
	g := &graded{carried: [][]float64{{1, 2, 4}, {0.5, 0, 0.25}}}
	for zone, want := range map[int]float64{0: 10 + 0.5*20, 1: 20, -1: 40 + 0.25*20} {
		if got := g.rate(&coverage.State{Zone: zone, Density: []float64{10, 20}}); got != want {
			t.Errorf("zone %d: got %v, want %v", zone, got, want)
		}
	}
}

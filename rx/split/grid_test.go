package split_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/invent"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/read"
	"rxsplit/rx/rxtest"
)

// The liquid layer of 100 000 cells with a winding edge, ponds and a waterway at
// rate 0 is a valid outline without slivers, whose acres are those of the treated
// cells: within 1e-8 where neighbors share vertices, and inside the stated bound
// where noise or T-junctions make them differ from the rings as drawn.
func TestLiquidLayerOfAHundredThousandCells(t *testing.T) {
	for _, c := range []struct {
		name   string
		opt    invent.GridOptions
		code   string
		pieces int // 0: many
		splits bool
	}{
		{"clean", invent.GridOptions{EPSG: 4326}, "EPSG:4326", 2, false},
		{"clean, UTM", invent.GridOptions{EPSG: 32615}, "EPSG:32615", 2, false},
		{"noise of 1e-9°", invent.GridOptions{EPSG: 4326, Noise: 1e-9}, "EPSG:4326", 2, false},
		{"rows shifted", invent.GridOptions{EPSG: 4326, Shift: true}, "EPSG:4326", 2, true},
		{"rows shifted, UTM", invent.GridOptions{EPSG: 32615, Shift: true}, "EPSG:32615", 2, true},
		{"corners only", invent.GridOptions{EPSG: 4326, CornersOnly: true}, "EPSG:4326", 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			c.opt.Cells, c.opt.Seed = 100_000, 11
			if testing.Short() {
				c.opt.Cells = 20_000
			}
			l, err := invent.Grid(c.opt)
			if err != nil {
				t.Fatal(err)
			}
			p := rxtest.Open(t, rxtest.Shapefile(t, l, c.code), read.Options{RateFields: []string{invent.RateField}, RateUnit: "lb/ac"})
			for _, f := range p.Findings {
				if f.Severity == rx.Error || f.Rule() == "gap" && !c.splits { // shifted rows are cut with notches at the edge
					t.Errorf("%s: %s", f.Rule(), said(f).Text)
				}
			}
			a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
			got := plan(t, p, a, rx.WetBoom)
			liquid := got.Layers[1]
			var whole orb.MultiPolygon
			holes := 0
			for i := range liquid.Pieces.Len() {
				for _, polygon := range liquid.Pieces.Shape(i) {
					whole = append(whole, polygon)
					holes += len(polygon) - 1
				}
			}
			if c.pieces > 0 {
				if len(whole) != c.pieces || holes != 2 { // the waterway cuts the field in two; two ponds
					t.Errorf("%d pieces with %d holes, want %d with 2", len(whole), holes, c.pieces)
				}
				if err := geo.Valid(whole); err != nil {
					t.Error(err)
				}
			}
			noSlivers(t, whole)
			bound := 1e-8 * float64(p.TreatedArea())
			for _, f := range got.Findings {
				if f.Rule() == "outline" {
					bound = math.Max(bound, float64(f.Area))
				}
			}
			if off := math.Abs(float64(liquid.Area - p.TreatedArea())); off > bound {
				t.Errorf("%v acres off, the bound is %v", off, bound)
			}
			if !c.splits && c.opt.Noise == 0 && bound > 1e-8*float64(p.TreatedArea()) {
				t.Errorf("a bound of %v ac on shared vertices", bound)
			}
		})
	}
}

// noSlivers fails where a ring is narrower on average than any drawn thing.
func noSlivers(t *testing.T, mp orb.MultiPolygon) {
	t.Helper()
	for _, polygon := range mp {
		for i, ring := range polygon {
			area, err := geo.AreaOf(orb.MultiPolygon{{ring}})
			if err != nil {
				t.Fatal(err)
			}
			if m2 := math.Abs(float64(area / unit.SquareMeter)); m2 < 0.05 {
				t.Errorf("ring %d at %v has %.3g m²", i, ring[0], m2)
			}
		}
	}
}

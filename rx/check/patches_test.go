package check_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"rxsplit/geo/invent"
	"rxsplit/rx"
	"rxsplit/rx/check"
	"rxsplit/rx/rxtest"
)

// Six strips side by side at 320 fl oz/ton, where 125 to 250 lb/ac are on label: the first
// two and the last two are neighbors of one verdict, whatever their rates.
func TestPatchesOfStrips(t *testing.T) {
	p := rxtest.Read(t, rxtest.Strip(rxtest.Ground{Acres: 4, Rate: 100}, rxtest.Ground{Acres: 5, Rate: 110}, rxtest.Ground{Acres: 9, Rate: 180},
		rxtest.Ground{Acres: 3, Rate: 120}, rxtest.Ground{Acres: 1, Rate: 300}, rxtest.Ground{Acres: 2, Rate: 260}))
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 320
	got := check.Patches(p, rxtest.Grade(t, p, terms))
	want := []string{"below [1 2] 9.00 ac, 100 to 110", "below [4] 3.00 ac, 120 to 120", "above [5 6] 3.00 ac, 260 to 300"}
	if len(got) != len(want) {
		t.Fatalf("got %v", got)
	}
	for i, one := range got {
		if text := fmt.Sprintf("%s %v %.2f ac, %.4g to %.4g", one.Verdict, one.Zones, float64(one.Area), float64(one.Dry.Min), float64(one.Dry.Max)); text != want[i] {
			t.Errorf("patch %d: got %s, want %s", i, text, want[i])
		}
		inside := false
		for _, number := range one.Zones {
			inside = inside || planar.MultiPolygonContains(orb.MultiPolygon(p.LonLat.Shape(number-1)), one.Place)
		}
		if !inside {
			t.Errorf("patch %d: %v lies in none of its zones", i, one.Place)
		}
	}
}

// A zone in two parts is in two patches, with the acres of each; ground without polygons
// is not joined.
func TestPatchesOfParts(t *testing.T) {
	l := rxtest.Strip(rxtest.Ground{Acres: 4, Rate: 100}, rxtest.Ground{Acres: 9, Rate: 180}, rxtest.Ground{Acres: 2, Rate: 100})
	two := &invent.Layer{Name: "parts", EPSG: 4326, Rates: []float64{100, 180}}
	two.Shapes.Append(orb.MultiPolygon{l.Shapes.Shape(0)[0], l.Shapes.Shape(2)[0]})
	two.Shapes.Append(l.Shapes.Shape(1))
	p := rxtest.Read(t, two)
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 320
	got := check.Patches(p, rxtest.Grade(t, p, terms))
	if len(got) != 2 || math.Abs(float64(got[0].Area-4)) > 1e-3 || math.Abs(float64(got[1].Area-2)) > 1e-3 || got[0].Zones[0] != 1 || got[1].Zones[0] != 1 {
		t.Errorf("got %+v", got)
	}
	plain := rxtest.Plain(rxtest.Ground{Acres: 4, Rate: 100}, rxtest.Ground{Acres: 5, Rate: 100})
	if got := check.Patches(plain, rxtest.Grade(t, plain, terms)); len(got) != 2 || got[0].Area != 5 || got[1].Zones[0] != 1 {
		t.Errorf("without polygons: got %+v", got)
	}
}

// Parts of a millimeter are smaller than what a mesh tells apart. A zone of such a part
// alone is a patch of its own, of one part or two, and beside a larger part it costs nothing: no zone is lost.
func TestPatchesOfTinyParts(t *testing.T) {
	l := rxtest.Strip(rxtest.Ground{Acres: 4, Rate: 100}, rxtest.Ground{Acres: 9, Rate: 180}, rxtest.Ground{Acres: 2, Rate: 100})
	tiny := func(east float64) orb.Polygon {
		const mm = 1e-8
		at := orb.Point{l.Shapes.Shape(2)[0][0][2][0] + east, 40}
		return orb.Polygon{{at, {at[0] + mm, 40}, {at[0] + mm, 40 + mm}, {at[0], 40 + mm}, at}}
	}
	parts := &invent.Layer{Name: "parts", EPSG: 4326, Rates: []float64{100, 180, 100, 100, 100}}
	parts.Shapes.Append(orb.MultiPolygon{l.Shapes.Shape(0)[0], tiny(0.001)})
	parts.Shapes.Append(l.Shapes.Shape(1))
	parts.Shapes.Append(l.Shapes.Shape(2))
	parts.Shapes.Append(orb.MultiPolygon{tiny(0.002), tiny(0.003)})
	parts.Shapes.Append(orb.MultiPolygon{tiny(0.004)})
	p := rxtest.Read(t, parts)
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 320
	got := check.Patches(p, rxtest.Grade(t, p, terms))
	for i, want := range []struct {
		zone int
		area float64
	}{{1, 4}, {3, 2}, {4, 0}, {5, 0}} {
		if len(got) != 4 || len(got[i].Zones) != 1 || got[i].Zones[0] != want.zone || math.Abs(float64(got[i].Area)-want.area) > 1e-3 {
			t.Fatalf("got %+v", got)
		}
	}
}

// On a grid every off-label acre and zone is in a patch, once, and patches of one verdict
// do not touch along an edge: as many as a flood over the cells finds.
func TestPatchesOfAGrid(t *testing.T) {
	l, err := invent.Grid(invent.GridOptions{Cells: 3000, Seed: 5})
	if err != nil {
		t.Fatal(err)
	}
	p := rxtest.Read(t, l)
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	list := check.Patches(p, a)
	var sum float64
	seen := map[int]bool{}
	for i, one := range list {
		sum += float64(one.Area)
		if i > 0 && one.Area > list[i-1].Area {
			t.Errorf("patch %d is larger than the one before", i)
		}
		for _, number := range one.Zones {
			if seen[number] {
				t.Errorf("zone %d is in two patches", number)
			}
			seen[number] = true
		}
	}
	off := a.Shares[rx.Below].Zones + a.Shares[rx.Above].Zones
	if want := float64(a.OffLabel()); math.Abs(sum-want) > 1e-9*want || len(seen) != off {
		t.Errorf("patches of %.9f ac in %d zones, want %.9f in %d", sum, len(seen), want, off)
	}
	if len(list) >= off/2 {
		t.Errorf("%d patches of %d zones: not joined", len(list), off)
	}
}

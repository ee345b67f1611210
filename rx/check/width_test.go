package check_test

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/invent"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/check"
	"rxsplit/rx/rxtest"
)

// plot is a zone drawn in meters.
type plot struct {
	rate  float64 // lb/ac; NaN for none
	parts []orb.Polygon
}

func at(rate float64, rings ...orb.Ring) plot { return plot{rate, []orb.Polygon{rings}} }

// and adds a part.
func (p plot) and(rings ...orb.Ring) plot { return plot{p.rate, append(p.parts, rings)} }

func block(x0, y0, x1, y1 float64) orb.Ring {
	return orb.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
}

// field lays plots out around a place and reads them the way a file is read.
func field(t *testing.T, plots []plot) *rx.Prescription {
	t.Helper()
	place := orb.Point{-90.4, 47.35}
	scale := geo.LonLatScale(orb.Bound{Min: place, Max: place})
	l := &invent.Layer{Name: "plots", EPSG: 4326}
	for _, p := range plots {
		var mp orb.MultiPolygon
		for _, part := range p.parts {
			var polygon orb.Polygon
			for _, r := range part {
				var ring orb.Ring
				for _, q := range r {
					ring = append(ring, orb.Point{place[0] + q[0]/scale.X, place[1] + q[1]/scale.Y})
				}
				polygon = append(polygon, ring)
			}
			mp = append(mp, polygon)
		}
		l.Shapes.Append(mp)
		l.Rates = append(l.Rates, p.rate)
	}
	return rxtest.Read(t, l)
}

const (
	swath  = 21.336  // meters, 70 ft
	change = 26.8224 // meters, 88 ft: 15 mph for 4 s
	acre   = 4046.8564224
)

// misfit is what a case of narrow or short ground is to find.
type misfit struct {
	name  string
	plots []plot
	zones []int // nil: nothing is found
	m2    float64
}

func (c misfit) check(t *testing.T, rule string) {
	p := field(t, c.plots)
	a := rxtest.Grade(t, p, with(t, spreader()))
	if why := ran(t, a, rule); why != "" {
		t.Fatalf("skipped: %s", why)
	}
	f, ok := found(a, rule)
	if ok != (c.zones != nil) {
		t.Fatalf("found: %v %+v", ok, f)
	}
	if !ok {
		return
	}
	numbers(t, "zones", f.Zones, c.zones...)
	near(t, "acres", float64(f.Area), c.m2/acre, 1e-3*c.m2/acre)
	if f.Severity != rx.Warning || f.About() != rx.AboutEquipment || f.Place == nil {
		t.Errorf("%+v", f)
	}
	n := 0
	for _, f := range a.Findings {
		if f.Rule() == rule {
			n++
		}
	}
	if n != 1 {
		t.Errorf("%d findings of one rule", n)
	}
}

// Ground of 70 ft is delivered with a swath of 70 ft.
func TestNarrowZone(t *testing.T) {
	wide := at(150, block(0, 0, 200, 200))
	for _, c := range []misfit{
		{"wide", []plot{wide}, nil, 0},
		{"one swath wide", []plot{wide, at(200, block(200, 0, 200+swath, 200)), at(180, block(200+swath, 0, 300, 200))}, nil, 0},
		{"one swath wide, slanted", []plot{at(200, orb.Ring{{0, 0}, {120, 160}, {120 - 0.8*swath, 160 + 0.6*swath}, {-0.8 * swath, 0.6 * swath}, {0, 0}})}, nil, 0},
		{"a bit narrower", []plot{wide, at(200, block(200, 0, 220.7, 200))}, []int{2}, 20.7 * 200},
		{"equal neighbors are wide enough together", []plot{wide, at(200, block(200, 0, 211, 200)), at(200, block(211, 0, 222, 200))}, nil, 0},
		{"other neighbors are not", []plot{wide, at(200, block(200, 0, 211, 200)), at(210, block(211, 0, 222, 200))}, []int{2, 3}, 22 * 200},
		{"equal cells in shifted rows", []plot{at(200, block(0, 0, 15, 15)), at(200, block(15, 0, 30, 15)), at(200, block(7, 15, 22, 30)), at(200, block(22, 15, 37, 30))}, nil, 0},
		// The circle touches the lower edge and two inner corners: 7.5² + (15−r)² = r².
		{"three cells are not: r = 9.375", []plot{at(200, block(0, 0, 15, 15)), at(200, block(15, 0, 30, 15)), at(200, block(7.5, 15, 22.5, 30))}, []int{1, 2, 3}, 3 * 15 * 15},
		{"equal cells that touch at a corner", []plot{at(200, block(0, 0, 15, 15)), at(200, block(15, 15, 30, 30))}, []int{1, 2}, 2 * 15 * 15},
		{"a narrow arm of wide ground", []plot{wide, at(150, block(200, 90, 400, 100))}, nil, 0},
		{"a hole makes a ring", []plot{at(200, block(0, 0, 100, 100), block(10, 10, 90, 90)), at(150, block(10, 10, 90, 90))}, []int{1}, 100*100 - 80*80},
		{"one part of a zone", []plot{at(200, block(0, 0, 100, 100)).and(block(300, 0, 310, 200)), at(150, block(100, 0, 300, 200))}, []int{1}, 10 * 200},
		{"one part beside another zone of its rate", []plot{at(200, block(0, 0, 100, 100)).and(block(300, 0, 310, 200)), at(200, block(310, 0, 340, 200))}, nil, 0},
		{"rate 0 counts", []plot{wide, at(0, block(200, 0, 210, 200))}, []int{2}, 10 * 200},
		{"no rate does not", []plot{wide, at(math.NaN(), block(200, 0, 210, 200))}, nil, 0},
	} {
		t.Run(c.name, func(t *testing.T) { c.check(t, "narrow-zone") })
	}
}

// 88 ft are 26.82 m; the diagonal of a square of 18 m is 25.46, of 19 m 26.87.
func TestShortZone(t *testing.T) {
	wide := at(150, block(0, 0, 200, 200))
	for _, c := range []misfit{
		{"long", []plot{wide}, nil, 0},
		{"long and narrow", []plot{wide, at(200, block(200, 0, 205, 40))}, nil, 0},
		{"the distance itself", []plot{wide, at(200, block(200, 0, 200.001, change))}, nil, 0},
		{"longer across", []plot{wide, at(200, block(200, 0, 219, 19))}, nil, 0},
		{"shorter across", []plot{wide, at(200, block(200, 0, 218, 18))}, []int{2}, 18 * 18},
		{"equal neighbors", []plot{wide, at(200, block(200, 0, 218, 18)), at(200, block(200, 18, 218, 36))}, nil, 0},
		{"one part of a zone", []plot{wide.and(block(300, 0, 310, 10))}, []int{1}, 100},
	} {
		t.Run(c.name, func(t *testing.T) { c.check(t, "short-zone") })
	}
}

// With an unknown time, the longest usual one counts: 5 s, 110 ft, 33.53 m.
func TestShortZoneWithoutRateChange(t *testing.T) {
	s := spreader()
	s.RateChange = label.Known[unit.Time]{}
	p := field(t, []plot{at(150, block(0, 0, 200, 200)), at(200, block(200, 0, 223, 23)), at(200, block(0, 300, 24, 324))}) // 32.53, 33.94
	f, ok := found(rxtest.Grade(t, p, with(t, s)), "short-zone")
	if !ok {
		t.Fatal("nothing is found")
	}
	numbers(t, "zones", f.Zones, 2)
	checkWords(t, said(f).Text, "106.7 ft long", "110 ft", "5 s, the longest usual time", "15 mph") // 32.527 m
}

func TestMisfitsInWords(t *testing.T) {
	plots := []plot{at(150, block(0, 0, 200, 200))}
	for n := range 9 {
		i := float64(n)
		plots = append(plots, at(200+i, block(200, 10*i, 210, 10*i+10)))
	}
	p := field(t, plots)
	a := rxtest.Grade(t, p, with(t, spreader()))
	f, _ := found(a, "narrow-zone")
	checkWords(t, said(f).Text, "0.22 ac in zones 2, 3, 4, 5, 6, 7 and 3 more cannot", "it is 32.8 ft wide", "swath, 70 ft") // 900 m², 10 m

	terms := with(t, spreader())
	terms.Units = unit.Metric
	a = rxtest.Grade(t, p, terms)
	f, _ = found(a, "narrow-zone")
	checkWords(t, inMetric(f).Text, "0.09 ha", "10 m wide", "21.34 m")
	checkNoUS(t, f)
	f, _ = found(a, "short-zone")
	checkWords(t, inMetric(f).Text, "14.1 m long", "26.82 m", "24.14 km/h")
	checkNoUS(t, f)
}

// A comb of very many corners is narrow, which a look at each of them shows; how wide it is
// where it is widest is not worth a search.
func TestCombOfManyCornersIsNarrow(t *testing.T) {
	comb := orb.Ring{{0, -5}}
	for i := range 150 {
		x := 10 * float64(i)
		for k := range 350 {
			comb = append(comb, orb.Point{x, 5 * float64(k)})
		}
		for k := range 350 {
			comb = append(comb, orb.Point{x + 5, 5 * float64(349-k)})
		}
	}
	comb = append(comb, orb.Point{1495, -5}, comb[0])
	a := rxtest.Grade(t, field(t, []plot{at(150, comb)}), with(t, spreader()))
	f, ok := found(a, "narrow-zone")
	if !ok {
		t.Fatal("nothing is found")
	}
	numbers(t, "zones", f.Zones, 1)
	checkWords(t, said(f).Text, "nowhere as wide", "70 ft")
	if strings.Contains(said(f).Text, "widest") {
		t.Errorf("its width is measured: %s", said(f).Text)
	}
}

// Where zones can't be joined, the rules say that they did not look, and where.
func TestMisfitsOfBrokenRings(t *testing.T) {
	bow := orb.Ring{{200, 0}, {300, 100}, {300, 0}, {200, 100}, {200, 0}}
	p := field(t, []plot{at(150, block(0, 0, 200, 200)), at(150, bow)})
	a := rxtest.Grade(t, p, with(t, spreader()))
	for _, rule := range []string{"narrow-zone", "short-zone"} {
		checkWords(t, ran(t, a, rule), "can't be joined", "record 2")
	}
}

// Graded again at another loading, a prescription is what it is graded at once; the ground is not
// measured anew, unless by another spreader.
func TestGradedAgain(t *testing.T) {
	p := field(t, []plot{at(150, block(0, 0, 200, 200)), at(200, block(200, 0, 210, 10))})
	terms := with(t, spreader())
	was := rxtest.Grade(t, p, terms)
	fixed, other := terms, with(t, spreader())
	fixed.Loading = 200 * unit.FluidOuncePerTon
	other.Loading, other.Job.Spreader.Swath = fixed.Loading, 5*unit.Meter
	for _, then := range []rx.Terms{fixed, other} {
		again, err := check.Again(p, then, was)
		at := rxtest.Grade(t, p, then)
		if err != nil || !reflect.DeepEqual(again, at) || reflect.DeepEqual(again, was) {
			t.Errorf("%v: graded again %+v, at once %+v", err, again, at)
		}
	}
	was.Findings = nil
	if again, _ := check.Again(p, fixed, was); len(again.Findings) >= len(rxtest.Grade(t, p, fixed).Findings) {
		t.Error("the ground is measured anew")
	}
}

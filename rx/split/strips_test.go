package split_test

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"rxsplit/geo"
	"rxsplit/geo/invent"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
	"rxsplit/rx/tell"
)

const stripBoom = "boom: {width: 70 ft, spacing: 20 in, volume: 10 gal/ac, tank: 500 gal, nozzles: [\"05\"], pressure: {min: 20 psi, max: 70 psi}, speed: {low: 11 mph, usual: 15 mph, high: 18 mph}}\n"

// stripped is an invented field of some 166 ac, 400 m high, in columns of the given rates.
func stripped(t *testing.T, asked rx.StripsAsked, rates ...unit.DryRate) (*rx.Prescription, *rx.Assessment) {
	t.Helper()
	l := &invent.Layer{Name: "columns", EPSG: 4326}
	side := func(i int) float64 { return -90.4 + 0.022*float64(i)/float64(len(rates)) }
	for i, r := range rates {
		l.Shapes.Append(orb.MultiPolygon{orb.Bound{Min: orb.Point{side(i), 47.35}, Max: orb.Point{side(i + 1), 47.3536}}.ToPolygon()})
		l.Rates = append(l.Rates, float64(r))
	}
	p := rxtest.Read(t, l)
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Job = job(t, stripBoom)
	asked.Seed = 1
	terms.Strips = asked
	return p, rxtest.Grade(t, p, terms)
}

// Of the ground that gets dry, strips of known size lack in the liquid layer, its amount and its
// fills, and stand in it as polygons of rate 0; the zones say how much of them is left out. By
// hand: six strips of 70 ft by 600 ft and twice 110 ft, which is 15 mph for 5 s.
func TestStripsAreLeftOut(t *testing.T) {
	p, a := stripped(t, rx.StripsAsked{Count: 6}, 150, 152, 154, 150)
	plan, err := split.For(p, a, nil).Plan(rx.WetBoom)
	if err != nil {
		t.Fatal(err)
	}
	s, dry := plan.Strips, float64(p.DryArea())
	if len(s.List) != 6 || s.Width != 70*unit.Foot || s.Length != 600*unit.Foot || s.Headland != 2*70*unit.Foot {
		t.Fatalf("got %+v", s)
	}
	near(t, "end", float64(s.Ends), 110, 1e-12)
	left := 6.0 * 70 * 820 / 43560
	near(t, "untreated", float64(s.Area), left, 1e-5)
	near(t, "read", float64(s.Read), 6.0*70*600/43560, 1e-5)
	near(t, "sprayed", float64(plan.Way.Sprayed), dry-left, 1e-6)
	liquid := plan.Layers[len(plan.Layers)-1]
	near(t, "layer", float64(liquid.Area), dry-left, 1e-6)
	near(t, "amount", float64(liquid.Volume/unit.FluidOunce), 30*(dry-left), 1e-6)
	kept := 0.0
	for _, area := range plan.KeptOut {
		kept += float64(area)
	}
	near(t, "left out of zones", kept, left, 1e-5)
	if n := liquid.Pieces.Len(); liquid.Untreated != 6 || !reflect.DeepEqual(liquid.Pieces.Shape(n - 6)[0], s.List[0].Ground) {
		t.Errorf("the layer has %d pieces, %d of rate 0", n, liquid.Untreated)
	}
	all := orb.MultiPolygon{}
	for i := range liquid.Pieces.Len() {
		all = append(all, liquid.Pieces.Shape(i)...)
	}
	sum, err := geo.AreaOf(all)
	if err != nil || math.Abs(float64(sum)-dry) > 1e-6*dry {
		t.Errorf("all pieces have %v of %v, %v", sum, dry, err)
	}
	for _, one := range s.List {
		for _, side := range one.Beside {
			common, err := geo.Intersect(orb.MultiPolygon{side}, s.Grounds())
			if area, _ := geo.AreaOf(common); err != nil || area > 1e-4 { // a side that is straight in the plane leaves its chord by under a millimeter
				t.Errorf("strip %d: the treated ground beside it has %v untreated, %v", one.Rep, area, err)
			}
		}
	}
}

// Shorter strips are planned to be noisier, and to see less: by the third root of two at half the
// usual length. By hand: 1.434 times 3.3 % is 4.7 %, and 4.2 % makes it 6.0 %.
func TestShortStripsSeeLess(t *testing.T) {
	for _, c := range []struct {
		length unit.Length
		want   string
	}{{600 * unit.Foot, "difference of 4.7 %"}, {300 * unit.Foot, "difference of 6 %"}} {
		p, a := stripped(t, rx.StripsAsked{Count: 6, Length: label.Know(c.length)}, 150)
		plan, err := split.For(p, a, nil).Plan(rx.WetBoom)
		if err != nil {
			t.Fatal(err)
		}
		if text := tell.Text(plan.Strips.Power, unit.US); !strings.Contains(text, c.want) {
			t.Errorf("%v: want %q in %q", c.length, c.want, text)
		}
	}
}

// The same seed draws the same strips, another one others.
func TestStripsBySeed(t *testing.T) {
	draw := func(seed uint64) []rx.Strip {
		p, a := stripped(t, rx.StripsAsked{Count: 5}, 150)
		a.Terms.Strips.Seed = seed
		plan, err := split.For(p, a, nil).Plan(rx.WetBoom)
		if err != nil {
			t.Fatal(err)
		}
		return plan.Strips.List
	}
	if !reflect.DeepEqual(draw(7), draw(7)) {
		t.Error("the same seed draws other strips")
	}
	if reflect.DeepEqual(draw(7), draw(8)) {
		t.Error("another seed draws the same strips")
	}
}

// Strips need a boom, ground as long as they are with a header's pass in them, and a liquid layer:
// what is missing is named.
func TestStripsRefused(t *testing.T) {
	for _, c := range []struct {
		name  string
		way   rx.WayName
		asked rx.StripsAsked
		boom  bool
		want  string
	}{
		{"impregnated", rx.OneLoad, rx.StripsAsked{Count: 4}, true, "the stabilizer rides on the dry"},
		{"base", rx.Base, rx.StripsAsked{Count: 4}, true, "the stabilizer rides on the dry"},
		{"no boom", rx.WetBoom, rx.StripsAsked{Count: 4}, false, "give the boom"},
		{"too many", rx.WetBoom, rx.StripsAsked{Count: 90}, true, "of 90 strips fit"},
		{"too long", rx.WetBoom, rx.StripsAsked{Count: 4, Length: label.Know(9000 * unit.Foot)}, true, "0 of 4 strips fit"},
		{"wide header", rx.WetBoom, rx.StripsAsked{Count: 4, Header: 66 * unit.Foot}, true, "no pass of the 66 ft header lies in it"},
	} {
		p, a := stripped(t, c.asked, 150, 152)
		if !c.boom {
			a.Terms.Job = nil
		}
		_, err := split.For(p, a, nil).Plan(c.way)
		var refused *split.Refusal
		if !errors.As(err, &refused) || !strings.Contains(refused.Why, c.want) {
			t.Errorf("%s: got %v, want %q", c.name, err, c.want)
			continue
		}
		hint := "correct that, or leave out --strips"
		if strings.Contains(c.want, "strips fit") {
			hint = "take fewer strips or shorter ones (--strip-length), less of --strip-headland, another --azimuth, or leave out --strips"
		}
		if c.way != rx.WetBoom {
			hint = "take the way wet-boom for strips, or leave out --strips"
		}
		if refused.Hint != hint {
			t.Errorf("%s: %q, want %q", c.name, refused.Hint, hint)
		}
	}
}

// Passes of the header that are an odd number, or leave more than a quarter of one over, are a
// warning. By hand: a strip of 70 ft has 63.4 ft with a meter to spare on both its sides.
func TestHeaderInStrips(t *testing.T) {
	for header, want := range map[unit.Length]string{
		30: "note: 2 passes of the 30 ft header lie wholly in a strip 70 ft wide, with 10 ft over.",
		15: "note: 4 passes of the 15 ft header lie wholly in a strip 70 ft wide, with 10 ft over.",
		20: "warning: 3 passes of the 20 ft header lie wholly in a strip 70 ft wide, with 10 ft over: an odd number, so that up and down passes don't cancel.",
		25: "warning: 2 passes of the 25 ft header lie wholly in a strip 70 ft wide, with 20 ft over.",
		0:  "note: Nobody says how wide the combine's header is: whether its passes lie wholly in strips 70 ft wide is not known.",
	} {
		p, a := stripped(t, rx.StripsAsked{Count: 4, Header: header * unit.Foot}, 150, 152)
		plan, err := split.For(p, a, nil).Plan(rx.WetBoom)
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, f := range plan.Findings {
			if f.Rule() == "strips-header" {
				got = fmt.Sprintf("%v: %s", f.Severity, tell.Finding(f, unit.US).Text)
			}
		}
		if got != want {
			t.Errorf("%v ft: %s\nwant %s", header, got, want)
		}
	}
}

// Where the dry rate changes faster than strips may differ from their neighbors, none fit.
func TestStripsNeedAlikeGround(t *testing.T) {
	var rates []unit.DryRate
	for i := range 64 { // columns narrower than a pass, each second one higher by half
		rates = append(rates, unit.DryRate(100+50*(i%2)))
	}
	p, a := stripped(t, rx.StripsAsked{Count: 4, Azimuth: label.Know(0.0)}, rates...)
	plan, err := split.For(p, a, nil).Plan(rx.WetBoom)
	if err == nil {
		for _, s := range plan.Strips.List {
			if off := math.Abs(float64(s.Dry/s.DrySide) - 1); off > 0.05 {
				t.Errorf("strip %d gets %.3f of its neighbors' dry rate more or less", s.Rep, off)
			}
		}
	} else if !strings.Contains(err.Error(), "strips fit") {
		t.Error(err)
	}
}

// On ground of one dry rate the strips' is that beside them, and no rounding is told as a difference.
func TestStripsOnGroundOfOneRate(t *testing.T) {
	p, a := stripped(t, rx.StripsAsked{Count: 4, Azimuth: label.Know(0.0)}, 153.7, 153.7, 153.7)
	plan, err := split.For(p, a, nil).Plan(rx.WetBoom)
	if err != nil {
		t.Fatal(err)
	}
	var said string
	for _, f := range plan.Findings {
		said += tell.Text(f, unit.US) + "\n"
	}
	if !strings.Contains(said, "the treated ground beside them.") {
		t.Errorf("got %s", said)
	}
}

// The demo field as a prototype of the design had it: 70-ft passes along north, 600 ft read, 110 ft
// more at each end, 140 ft of headland; 4, 6 and 8 strips have 5.27, 7.91 and 10.54 ac, of which
// 3.86, 5.79 and 7.71 are read.
func TestStripsOfDemoField(t *testing.T) {
	layer, err := invent.Demo(4326)
	if err != nil {
		t.Fatal(err)
	}
	p := rxtest.Read(t, layer)
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Job = job(t, stripBoom)
	for _, c := range []struct {
		strips     int
		left, read float64
	}{{4, 5.27, 3.86}, {6, 7.91, 5.79}, {8, 10.54, 7.71}} {
		terms.Strips = rx.StripsAsked{Count: c.strips, Azimuth: label.Know(0.0), Seed: 1}
		plan, err := split.For(p, rxtest.Grade(t, p, terms), nil).Plan(rx.WetBoom)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(plan.Strips.Area)-c.left) > 0.006 || math.Abs(float64(plan.Strips.Read)-c.read) > 0.006 {
			t.Errorf("%d strips: %v left out, %v read", c.strips, plan.Strips.Area, plan.Strips.Read)
		}
	}
}

// On the terminal a strip is off: of the liquid, cells whose center lies in one have nothing and
// others their rate; the dry goes on in them. Polygons have each strip with nothing.
func TestStripsOnTerminals(t *testing.T) {
	p, a := stripped(t, rx.StripsAsked{Count: 6, Azimuth: label.Know(20.0)}, 150, 152)
	plan, err := split.For(p, a, nil).Plan(rx.WetBoom)
	if err != nil {
		t.Fatal(err)
	}
	data, err := split.For(p, a, nil).TaskData(plan, rx.TaskRequest{Wanted: true, OneTask: true, Form: rx.CodeGrid})
	if err != nil {
		t.Fatal(err)
	}
	dry, mix := &data.Tasks[0].Products[0], &data.Tasks[0].Products[1]
	off := 0
	for cell := range data.Grid.Cells() {
		center := data.Grid.Center(cell/data.Grid.Columns, cell%data.Grid.Columns)
		inside := planar.MultiPolygonContains(plan.Strips.Grounds(), center)
		if inside {
			off++
		}
		if in := data.Owner[cell] >= 0; (data.Count(mix, cell) > 0) != (in && !inside) || (data.Count(dry, cell) > 0) != in {
			t.Fatalf("cell %d, in a strip: %v, has %d of the mix and %d of the dry", cell, inside, data.Count(mix, cell), data.Count(dry, cell))
		}
		counts := []int32{data.Count(dry, cell), data.Count(mix, cell)}
		if !slices.ContainsFunc(data.Tasks[0].Codes(true), func(c []int32) bool { return slices.Equal(c, counts) }) {
			t.Fatalf("no code stands for %v", counts)
		}
	}
	cellArea := float64(data.Grid.CellArea(data.Grid.Rows / 2))
	near(t, "ground of those cells", float64(off)*cellArea, float64(plan.Strips.Area), 0.02)
	near(t, "mix of the cells", float64(mix.Cells.Area), float64(plan.Way.Sprayed), 0.005)

	data, err = split.For(p, a, nil).TaskData(plan, rx.TaskRequest{Wanted: true, Form: rx.TaskPolygons})
	if err != nil {
		t.Fatal(err)
	}
	none := 0
	for _, part := range data.Tasks[1].Products[0].Parts(p, plan) {
		if part.Count == 0 {
			none++
		}
	}
	if none != 6 {
		t.Errorf("%d polygons have nothing, want 6", none)
	}
}

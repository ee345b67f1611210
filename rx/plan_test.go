package rx

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/raster"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Stabilizer lands on all of a zone that gets some, but for what keep-outs and strips leave out;
// a liquid layer's own ground counts where there is one.
func TestGroundThatGetsStabilizer(t *testing.T) {
	plan := Plan{Stabilizer: []unit.LiquidRate{20, 0, 30, 10}}
	zones := []Zone{{Area: 10}, {Area: 20}, {Area: 40}, {Area: 80}}
	with := func() (all []unit.Area) {
		for i, z := range zones {
			all = append(all, plan.WithStabilizer(i, z.Area))
		}
		return all
	}
	if got := fmt.Sprint(with(), plan.StabilizerGround(zones)); got != "[10 ac 0 ac 40 ac 80 ac] 130 ac" {
		t.Error(got)
	}
	plan.KeptOut = []unit.Area{1, 2, 50, 0}
	plan.Layers = []Layer{{Product: Dry, Area: 150}, {Product: Liquid, Area: 97}}
	if got := fmt.Sprint(with(), plan.StabilizerGround(zones)); got != "[9 ac 0 ac 0 ac 80 ac] 97 ac" {
		t.Error(got)
	}
}

// The batches of a run: those of all its lots, where all are known, without left-over blend that
// goes on as it is. What lands of a lot follows from what is metered: 1000 lb that came back at 270
// fl oz/ton hold 135 fl oz; with 15 more on as much dry it is 300, and with 500 lb untreated beside
// them 150/0.75 = 200.
func TestRunsAndLots(t *testing.T) {
	blended := func(count int, batched bool) Lot {
		return Lot{Portion: Portion{Count: count, Dry: 1000, Liquid: 150}, Batched: batched, Load: Load{Loading: 300}}
	}
	left := Lot{Left: &LotLeft{Loading: 270, Dry: 1000}, Portion: Portion{Count: 9}, Load: Load{Loading: 270}}
	topped, thinned := left, left
	topped.Portion.Liquid = 15
	thinned.Portion.Liquid, thinned.Portion.Dry = 15, 500
	for _, c := range []struct {
		lots    []Lot
		batches int
		loading unit.Loading
	}{
		{[]Lot{blended(3, true)}, 3, 300}, {[]Lot{left, blended(3, true), blended(4, true)}, 7, 300}, {[]Lot{blended(3, true), blended(4, false)}, 0, 300}, {[]Lot{blended(3, true), left}, 3, 270},
	} {
		r := Run{Lots: c.lots}
		if r.Batches() != c.batches || r.Loading() != c.loading {
			t.Errorf("%d batches at %v, want %d at %v", r.Batches(), r.Loading(), c.batches, c.loading)
		}
	}
	for _, c := range []struct {
		lot   Lot
		asIs  bool
		lands unit.Loading
	}{{blended(1, true), false, 300}, {left, true, 270}, {topped, false, 300}, {thinned, false, 200}} {
		if got := c.lot.Lands(); c.lot.AsIs() != c.asIs || math.Abs(float64(got-c.lands)) > 1e-9 {
			t.Errorf("as it is %v, lands %v, want %v %v", c.lot.AsIs(), got, c.asIs, c.lands)
		}
	}
	parts := Lot{Parts: []LotPart{{0, 4, 10}, {0, 2, 20}, {1, 4, 40}}}
	if parts.Weighed() != 70 || parts.Gets(4) != 50 || parts.Gets(2) != 20 || parts.Gets(3) != 0 {
		t.Errorf("%v: %v %v", parts.Weighed(), parts.Gets(4), parts.Gets(2))
	}
}

// Left-over blend that came back too strong is thinned with untreated dry, A' = A·u/(u + t), and
// where it is too weak gets liquid, (A″ − A)·u: of 1000 lb at 330 fl oz/ton 100 lb more make 300,
// and at 270 they lack 15 fl oz. Half a step of a meter is let be where the label holds without it.
func TestRedosed(t *testing.T) {
	terms := Terms{Label: &label.Profile{Rate: label.Range[unit.LiquidRate]{Min: 20, Max: 40}, DryingAgent: label.Know(1 * unit.PoundPerPint)}}
	all := Range[unit.Loading]{Min: 200, Max: 400}
	load := Load{Loading: 300, Rates: Range[unit.DryRate]{Min: 200, Max: 200}}
	for _, c := range []struct {
		had    unit.Loading
		window Range[unit.Loading]
		least  unit.Mass
		dry    unit.Mass
		liquid unit.Volume
	}{
		{330, all, 0, 100, 0}, {331, all, 0, 103, 0}, {270, all, 0, 0, 15}, {300, all, 0, 0, 0},
		{330, Range[unit.Loading]{Min: 200, Max: 300}, 0, 100, 0}, {331, Range[unit.Loading]{Min: 200, Max: 300}, 0, 104, 0}, // 103 lb leave 300.09
		{330, all, 120, 120, 3}, // 165 fl oz on 1120 lb, which are to have 168
		{299.2, all, 0, 0, 0}, {298.8, all, 0, 0, 1},
		{299.2, Range[unit.Loading]{Min: 299.5, Max: 400}, 0, 0, 1}, // it is not let be where that is off label
	} {
		left := Load{Loading: c.had}
		got := terms.Redosed(load, left, 1000, 7, c.window, c.least)
		if got.Count != 7 || got.Dry != c.dry || math.Abs(float64(got.Liquid-c.liquid)) > 1e-9 || len(got.Further) != 0 || got.Materials != nil {
			t.Errorf("%v inside %v, at least %v: %+v, want %v and %v", c.had, c.window, c.least, got, c.dry, c.liquid)
		}
		if want := float64(c.liquid) / 16; math.Abs(float64(got.Agent)-want) > 0.005+1e-9 { // a pound a pint of 16 fl oz, weighed to a hundredth
			t.Errorf("%v of agent, want %v", got.Agent, want)
		}
	}
	metric := terms
	metric.Units = unit.Metric
	if got := metric.Redosed(load, Load{Loading: 330}, 1000*unit.Kilogram, 1, all, 0); math.Abs(float64(got.Dry/unit.Kilogram)-100) > 1e-9 {
		t.Errorf("%v kg", got.Dry/unit.Kilogram)
	}
	load.Materials = equip.Blend{{Name: "urea", Share: 0.6}, {Name: "potash", Share: 0.4}}
	if got := terms.Redosed(load, Load{Loading: 330}, 1000, 1, all, 0); fmt.Sprint(got.Materials) != "[60 lb 40 lb]" {
		t.Errorf("%v", got.Materials)
	}
}

// Blend waits no longer than the shortest time that a label of a liquid on it gives.
func TestHold(t *testing.T) {
	profile := func(days float64) *label.Profile {
		if days == 0 {
			return &label.Profile{}
		}
		return &label.Profile{Hold: label.Know(unit.Time(days) * unit.Day)}
	}
	on := func(days ...float64) (list []JobLiquid) {
		for _, d := range days {
			list = append(list, JobLiquid{On: equip.OnBlend, Label: profile(d)})
		}
		return list
	}
	for _, c := range []struct {
		terms Terms
		want  unit.Time
		known bool
	}{
		{Terms{Label: profile(0)}, 0, false}, {Terms{Label: profile(3)}, 3 * unit.Day, true},
		{Terms{Label: profile(3), Further: on(2, 5)}, 2 * unit.Day, true}, {Terms{Label: profile(3), Further: on(5, 0)}, 3 * unit.Day, true},
		{Terms{Label: profile(0), Further: append(on(5), JobLiquid{On: equip.OnBlend})}, 5 * unit.Day, true},
		{Terms{Label: profile(3), Further: []JobLiquid{{On: equip.OnBoom, Label: profile(1)}}}, 3 * unit.Day, true},
	} {
		if got, known := c.terms.Hold(); got != c.want || known != c.known {
			t.Errorf("%v %v, want %v %v", got, known, c.want, c.known)
		}
	}
}

// Ways can be compared by cost where each that can be taken has one and lacks no price.
func TestUnpriced(t *testing.T) {
	way := func(s State, cost *Cost) Way { return Way{State: s, Cost: cost} }
	for _, c := range []struct {
		ways   []Way
		want   string
		priced bool
	}{
		{nil, "[]", true}, {[]Way{way(Ready, &Cost{})}, "[]", true}, {[]Way{way(Impossible, nil), way(Conditional, &Cost{})}, "[]", true},
		{[]Way{way(Ready, nil), way(Ready, &Cost{Missing: []string{"a"}})}, "[a]", false},
		{[]Way{way(Ready, &Cost{Missing: []string{"a", "b"}}), way(Ready, &Cost{Missing: []string{"b", "c"}}), way(Impossible, &Cost{Missing: []string{"d"}})}, "[a b c]", false},
	} {
		if got, priced := Unpriced(c.ways); fmt.Sprint(got) != c.want || priced != c.priced {
			t.Errorf("%v %v, want %s %v", got, priced, c.want, c.priced)
		}
	}
	if got := (Driving{Driven: 12, Spread: 10}).Beyond(); got != 2 || (Driving{Driven: 9, Spread: 10}).Beyond() != 0 {
		t.Error(got)
	}
	for _, c := range []struct {
		way  Way
		keep bool
	}{{Way{}, true}, {Way{DryAdded: 1}, false}, {Way{DryRemoved: 1}, false}} {
		if c.way.KeepsRates() != c.keep {
			t.Errorf("%+v", c.way)
		}
	}
	if got, want := (Way{Name: Refit, NewRates: true}).Title(), (Way{Name: OneLoad}).Title(); got != want {
		t.Errorf("a refit that changes nothing is %q, want %q", got, want)
	}
	if got, other := (Way{Name: Refit, NewRates: true, DryAdded: 1}).Title(), (Way{Name: OneLoad}).Title(); got == other {
		t.Errorf("a refit is %q", got)
	}
}

// A field's product is the job's material of the same place, where there are as many; all of the
// blend is told by its materials, and N by its grades: of 100 lb/ac at 46 % and 50 at 21 % it is
// 56.5 lb/ac.
func TestMaterialsAndNitrogen(t *testing.T) {
	urea := equip.Material{Name: "urea", Grade: label.Know(equip.Grade{N: 0.46}), Share: 0.5}
	ams := equip.Material{Name: "ams", Grade: label.Know(equip.Grade{N: 0.21}), Share: 0.5}
	bare := equip.Material{Name: "bare", Share: 0.5}
	job := func(m ...equip.Material) *equip.Job { return &equip.Job{Blend: m} }
	two := &Prescription{Fields: []RateField{{Name: "A"}, {Name: "B"}}}
	if got := (Terms{Job: job(urea, ams)}).MaterialsOf(two, 1); len(got) != 1 || got[0].Name != "ams" || got[0].Share != 1 {
		t.Errorf("%+v", got)
	}
	for name, got := range map[string]equip.Blend{
		"no job": Terms{}.MaterialsOf(two, 0), "no blend": Terms{Job: job()}.MaterialsOf(two, 0), "one material": Terms{Job: job(urea)}.MaterialsOf(two, 0), "three": Terms{Job: job(urea, ams, bare)}.MaterialsOf(two, 0),
	} {
		if got != nil {
			t.Errorf("%s: %+v", name, got)
		}
	}
	if got := (Terms{Job: job(urea)}).MaterialsOf(two, -1); len(got) != 1 || got[0].Share != 0.5 {
		t.Errorf("%+v", got)
	}
	if ams.Share != 0.5 {
		t.Error("the job is changed")
	}
	if _, known := (Terms{Job: job(urea, bare)}).Nitrogen(two); known {
		t.Error("the N of a product without a grade is known")
	}
	if _, known := (Terms{}).Nitrogen(two); known {
		t.Error("N is known of nothing")
	}
}

// What a person says of an approval fits on a card: 400 bytes, in letters that print.
func TestApprovalsChecked(t *testing.T) {
	long := strings.Repeat("x", longestSaid)
	for _, c := range []struct {
		by, license, note, want string
	}{
		{long, long, long, ""}, {"A", "", "", ""}, {"Ä Ö", "", "seen, on label", ""},
		{" ", "", "", "nobody is named"}, {long + "x", "", "", "the name has 401 bytes, the most is 400"}, {"A", long + "x", "", "the license has 401"}, {"A", "", long + "x", "the note has 401"},
		{"A\nB", "", "", "the name has a line break"}, {"A", "\t", "", "the license has a line break"}, {"A", "", "\xff", "the note has a line break"},
	} {
		err := Approval{By: c.by, License: c.license, Note: c.note}.Check()
		if got := fmt.Sprint(err); (c.want == "") != (err == nil) || !strings.Contains(got, c.want) {
			t.Errorf("%.20q: %v, want %s", c.by+c.license+c.note, err, c.want)
		}
	}
}

// Polygons of a product, each by itself: those of zones that get some, and those of a liquid layer, with its strips of rate 0 last.
func TestPartsOfAProduct(t *testing.T) {
	square := func(x float64) orb.Polygon { return orb.Polygon{{{x, 0}, {x + 1, 0}, {x + 1, 1}, {x, 0}}} }
	shapes := func(list ...orb.MultiPolygon) *geo.Shapes {
		s := &geo.Shapes{}
		for _, mp := range list {
			s.Append(mp)
		}
		return s
	}
	p := &Prescription{Zones: []Zone{{Record: 2}, {Record: 0}, {Record: 1}}, LonLat: shapes(orb.MultiPolygon{square(0)}, orb.MultiPolygon{square(2), square(4)}, orb.MultiPolygon{square(6)})}
	plan := &Plan{Layers: []Layer{{}, {Pieces: shapes(orb.MultiPolygon{square(8), square(10)}, orb.MultiPolygon{square(12)}), Untreated: 1}}}
	for _, c := range []struct {
		product TaskProduct
		want    []part
	}{
		{TaskProduct{Counts: []int32{7, 0, 9}}, []part{{7, square(6)}, {9, square(2)}, {9, square(4)}}},
		{TaskProduct{Counts: []int32{0, 0, 0}}, nil},
		{TaskProduct{Counts: []int32{0, 5, 5}, Liquid: true, Layer: 1}, []part{{5, square(8)}, {5, square(10)}, {0, square(12)}}},
	} {
		if got := c.product.Parts(p, plan); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%+v: got %v, want %v", c.product, got, c.want)
		}
	}
}

// What a cell gets of a product: nothing outside of all zones, of what avoids keep-outs beside one, and of a
// liquid in a strip. The codes of a task are all that cells may get then, each once, nothing first.
func TestWhatCellsGet(t *testing.T) {
	boom, dry := TaskProduct{Liquid: true, Avoids: true, Counts: []int32{300, 300, 0}}, TaskProduct{Counts: []int32{70000, 5, 5}}
	set := func(cells ...int) raster.Set {
		s := raster.Set{0}
		for _, c := range cells {
			s[0] |= 1 << c
		}
		return s
	}
	task := TaskData{Owner: []int32{-1, 0, 1, 2, 0, 1}, Kept: set(0, 4, 5), Strips: set(2, 5)}
	bare := TaskData{Owner: task.Owner}
	counts := func(task *TaskData, p TaskProduct) (list []int32) {
		for cell := range task.Owner {
			list = append(list, task.Count(&p, cell))
		}
		return list
	}
	avoiding := dry
	avoiding.Avoids = true
	layers := func(products ...TaskProduct) *TaskLayers { return &TaskLayers{Products: products} }
	for _, c := range []struct {
		what      string
		got, want any
	}{
		{"liquid of cells", counts(&task, boom), []int32{0, 300, 0, 0, 0, 0}}, {"dry", counts(&task, dry), []int32{0, 70000, 5, 5, 70000, 5}},
		{"dry that avoids", counts(&task, avoiding), []int32{0, 70000, 5, 5, 0, 0}}, {"liquid without keep-outs and strips", counts(&bare, boom), []int32{0, 300, 300, 0, 300, 300}},
		{"codes of dry", layers(dry).Codes(true), [][]int32{{0}, {5}, {70000}}},
		{"codes of a boom", layers(boom).Codes(false), [][]int32{{0}, {300}}},
		{"codes of both", layers(boom, dry).Codes(false), [][]int32{{0, 0}, {0, 5}, {0, 70000}, {300, 5}, {300, 70000}}},
		{"codes of both with strips", layers(boom, avoiding).Codes(true), [][]int32{{0, 0}, {0, 5}, {0, 70000}, {300, 5}, {300, 70000}}},
		{"codes of both without", layers(boom, avoiding).Codes(false), [][]int32{{0, 0}, {0, 5}, {300, 5}, {300, 70000}}},
	} {
		if !reflect.DeepEqual(c.got, c.want) {
			t.Errorf("%s: %v, want %v", c.what, c.got, c.want)
		}
	}
}

// The worst of findings that are asked for, whether any is worse than a note, and the zones that one is given.
func TestWorstOfFindings(t *testing.T) {
	rule := Rule[Nothing]{&Kind{}}
	note, warning, bad := rule.Find(Note, Nothing{}), rule.Find(Warning, Nothing{}), rule.Find(Error, Nothing{})
	all := func(Finding) bool { return true }
	for _, c := range []struct {
		list    []Finding
		keep    func(Finding) bool
		worst   Severity
		flagged bool
	}{
		{nil, all, Note, false}, {[]Finding{note, note}, all, Note, false}, {[]Finding{note, warning, note}, all, Warning, true}, {[]Finding{bad, warning}, all, Error, true},
		{[]Finding{warning, bad}, func(f Finding) bool { return f.Severity < Error }, Warning, true}, {[]Finding{bad}, func(Finding) bool { return false }, Note, true},
	} {
		if got := Worst(c.list, c.keep); got != c.worst || Flagged(c.list) != c.flagged {
			t.Errorf("%v: worst %v, flagged %v", c.list, got, Flagged(c.list))
		}
	}
	p := &Prescription{Zones: []Zone{{Record: 4, Area: 1}, {Record: 5, Area: 20}, {Record: 6, Area: 300}}}
	for keep, want := range map[string]string{"101": "[5 7] 301 true", "000": "[] 0 false", "010": "[6] 20 true"} {
		f := note
		found := f.Where(p, func(i int) bool { return keep[i] == '1' })
		if got := fmt.Sprint(f.Zones, float64(f.Area), found); got != want {
			t.Errorf("%s: %s, want %s", keep, got, want)
		}
	}
}

// Graduations next to the ends of a window, both inside it; a window between two has none.
func TestGraduationsInsideAWindow(t *testing.T) {
	for _, c := range []struct {
		low, high unit.Loading
		want      string // first and last, whether there are any, and whether one can be metered
	}{
		{300.01, 300.39, "300.1 300.3 true true"}, {300.1, 300.3, "300.1 300.3 true true"}, {300.01, 300.19, "300.1 300.1 true true"},
		{300.01, 300.09, "300.1 300 false false"}, {300.1, 300.1, "300.1 300.1 true true"}, {300.15, 300.15, "300.2 300.1 false false"},
	} {
		w := Range[unit.Loading]{Min: c.low, Max: c.high}
		r, ok := (Terms{}).Inward(w)
		if got := fmt.Sprintf("%.6g %.6g %v %v", float64(r.Min), float64(r.Max), ok, (Terms{}).CanMeter(w)); got != c.want {
			t.Errorf("%v to %v: %s, want %s", float64(c.low), float64(c.high), got, c.want)
		}
	}
}

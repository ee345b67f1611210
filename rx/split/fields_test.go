package split_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/read"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
	"rxsplit/rx/tell"
)

// products writes a strip of zones with several rate fields and reads it.
func products(t *testing.T, carrier string, names []string, rates ...[]float64) *rx.Prescription {
	t.Helper()
	var features []string
	for i, own := range rates {
		var props []string
		for j, name := range names {
			value := fmt.Sprint(own[j])
			if math.IsNaN(own[j]) {
				value = "null"
			}
			props = append(props, fmt.Sprintf("%q:%s", name, value))
		}
		west, east := -90.4+0.001*float64(i), -90.4+0.001*float64(i+1)
		features = append(features, fmt.Sprintf(`{"type":"Feature","properties":{%s},"geometry":{"type":"Polygon","coordinates":[[[%g,47],[%g,47],[%g,47.001],[%g,47.001],[%g,47]]]}}`,
			strings.Join(props, ","), west, east, east, west, west))
	}
	path := filepath.Join(t.TempDir(), "products.geojson")
	text := `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return rxtest.Open(t, path, read.Options{RateFields: names, RateUnit: "lb/ac", Carrier: carrier})
}

func job(t *testing.T, text string) *equip.Job {
	t.Helper()
	j, err := equip.ParseJob("job.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// Fields in one proportion are one blend: every way keeps the proportion.
func TestBlendKeepsItsProportion(t *testing.T) {
	p := products(t, "", []string{"UREA", "AMS"}, []float64{80, 20}, []float64{160, 40}, []float64{240, 60})
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	for _, way := range []rx.WayName{rx.Loads, rx.Base, rx.Refit} {
		got := plan(t, p, a, way)
		for _, l := range got.Layers {
			for z := range p.Zones {
				urea, ams := l.Columns[0].Rates[z], l.Columns[1].Rates[z]
				near(t, string(way)+": proportion", float64(urea), 4*float64(ams), 1e-12)
			}
		}
		onLabel(t, p, a, got)
	}
	conserves(t, p, plan(t, p, a, rx.Base))
}

// Products side by side: the stabilizer follows the carrier, and the others keep
// their rates.
func TestCarrierSideBySide(t *testing.T) {
	p := products(t, "UREA", []string{"UREA", "POTASH"}, []float64{100, 90}, []float64{180, 10}, []float64{300, 50})
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	got := plan(t, p, a, rx.Base)
	for z := range p.Zones {
		near(t, "treated urea", float64(got.Layers[0].Columns[0].Rates[z]), 100, 0)
		near(t, "treated potash", float64(got.Layers[0].Columns[1].Rates[z]), 0, 0)
		near(t, "potash", float64(got.Layers[1].Columns[1].Rates[z]), float64(p.FieldRate(z, 1)), 0)
		near(t, "stabilizer", float64(got.Stabilizer[z]), 30, 1e-12)
	}
	conserves(t, p, got)
	onLabel(t, p, a, got)
}

// A treated layer's stabilizer is its loading times the weight of the one product that
// is impregnated, and the products make up the layer.
func TestStabilizerIsOnOneProduct(t *testing.T) {
	p := products(t, "UREA", []string{"UREA", "POTASH"}, []float64{100, 90}, []float64{180, 10}, []float64{300, 0})
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	for _, way := range []rx.WayName{rx.WetBoom, rx.Base, rx.Loads, rx.Refit} {
		for _, l := range plan(t, p, a, way).Layers {
			if l.Product == rx.Liquid {
				continue
			}
			urea, potash := l.Columns[0].Spread, l.Columns[1].Spread
			near(t, l.Name+": products", float64(urea.Mass+potash.Mass), float64(l.Mass), 1e-12)
			if urea.Treated != l.Treated || potash.Treated {
				t.Errorf("%s, %s: treated %v, but of urea %v and of potash %v", way, l.Name, l.Treated, urea.Treated, potash.Treated)
			}
			if l.Treated {
				near(t, l.Name+": stabilizer", float64(unit.Uptake(l.Loading, urea.Mass)), float64(l.Volume), 1e-12)
			}
			if potash.Zones > 0 && (potash.Zones != 2 && potash.Zones != 1 || potash.Dry.Max > 90) {
				t.Errorf("%s, %s: potash in %d zones, up to %v", way, l.Name, potash.Zones, potash.Dry.Max)
			}
		}
	}
	blend := products(t, "", []string{"UREA", "AMS"}, []float64{80, 20}, []float64{240, 60})
	b := rxtest.Grade(t, blend, rxtest.Terms(rxtest.Label(t, "")))
	if l := plan(t, blend, b, rx.Loads).Layers[0]; l.SideBySide() {
		t.Errorf("one blend counts as products side by side: %+v", l.Columns)
	}
}

// A zone that has no rate of one product has none: no layer spreads the others there, which
// nobody orders, and of which the treated one would be graded by nobody.
func TestNoRateOfOneProduct(t *testing.T) {
	p := products(t, "UREA", []string{"UREA", "POTASH"}, []float64{100, 90}, []float64{150, math.NaN()}, []float64{math.NaN(), 50}, []float64{180, 10})
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	for _, way := range []rx.WayName{rx.WetBoom, rx.OneLoad, rx.Base, rx.Loads, rx.Refit} {
		for _, l := range plan(t, p, a, way).Layers {
			if l.Product == rx.Liquid {
				continue
			}
			sum := unit.Mass(0)
			for i, c := range l.Columns {
				sum += c.Spread.Mass
				for _, z := range []int{1, 2} {
					if r := c.Rate(p, z); !math.IsNaN(float64(r)) {
						t.Errorf("%s, %s: %v of %s in zone %d", way, l.Name, r, p.Fields[i].Name, p.Zones[z].Number())
					}
				}
			}
			near(t, l.Name+": products", float64(sum), float64(l.Mass), 1e-12)
		}
	}
}

// Ground that gets another product and no carrier is spread in a pass that there is anyhow:
// that of the first load or, where zones are left off, that of these.
func TestLoadsBesideGroundWithoutCarrier(t *testing.T) {
	p := products(t, "UREA", []string{"UREA", "POTASH"}, []float64{100, 90}, []float64{0, 40}, []float64{300, 50})
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Job = job(t, "spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 20 mph}}\n")
	for _, c := range []struct {
		label, layers string
		off           bool
	}{
		{"", "dry-1 2 zones, dry-2 1 zones", false},
		{"min-dry-rate: 110 lb/ac\n", "dry-1 1 zones, dry-untreated 2 zones", true},
	} {
		terms.Label, terms.LeaveOff = rxtest.Label(t, c.label), c.off
		a := rxtest.Grade(t, p, terms)
		got := plan(t, p, a, rx.Loads)
		var names []string
		for _, l := range got.Layers {
			names = append(names, fmt.Sprintf("%s %d zones", l.Name, l.Zones))
		}
		if layers := strings.Join(names, ", "); layers != c.layers || got.Way.Passes != 2 || got.Way.Driving == nil {
			t.Errorf("%s in %d passes, driving %v; want %s", layers, got.Way.Passes, got.Way.Driving, c.layers)
		}
		near(t, "stabilizer without carrier", float64(got.Stabilizer[1]), 0, 0)
		conserves(t, p, got)
	}
}

// Narrow ground is a condition of a way where its treated product goes, and not where another
// goes alone, untreated as it is prescribed. The zones are 76 m wide.
func TestNarrowGroundWithoutCarrier(t *testing.T) {
	p := products(t, "UREA", []string{"UREA", "POTASH"}, []float64{100, 90}, []float64{0, 40}, []float64{180, 50})
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Job = job(t, "spreader: {swath: 300 ft, speed: {low: 10 mph, usual: 15 mph, high: 20 mph}}\n")
	for _, name := range []rx.WayName{rx.OneLoad, rx.Loads} {
		way := wayOf(split.For(p, rxtest.Grade(t, p, terms), nil).Ways(), name)
		var zones []int
		for _, c := range way.Conditions {
			if c.Rule() == "undeliverable" {
				zones = c.Zones
			}
		}
		if fmt.Sprint(zones) != "[1 3]" {
			t.Errorf("%s: only if the spreader can do zones %v", name, zones)
		}
		near(t, "can't be delivered", float64(way.Undeliverable), float64(p.Area()), 1e-9)
	}
}

// Refit changes the carrier alone, so that what it adds is the carrier's N and not that of
// the products together. By hand, at 20 to 40 fl oz/ac: 100 and 300 lb/ac of urea on equal
// acres come to 150 and 300, 46 % of it N.
func TestNOfTheCarrier(t *testing.T) {
	p := products(t, "UREA", []string{"UREA", "POTASH"}, []float64{100, 90}, []float64{300, 0}, []float64{300, 0})
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Job = job(t, "blend: [{name: urea, grade: 46-0-0, share: 90 %}, {name: potash, grade: 0-0-60, share: 10 %}]\n")
	w := wayOf(split.For(p, rxtest.Grade(t, p, terms), nil).Ways(), rx.Refit)
	near(t, "dry added", float64(w.DryAdded), 50*float64(p.Zones[0].Area), 1e-9)
	near(t, "N added", float64(w.NAdded), 0.46*float64(w.DryAdded), 1e-9)
	terms.Job = nil
	if w = wayOf(split.For(p, rxtest.Grade(t, p, terms), nil).Ways(), rx.Refit); w.NKnown {
		t.Errorf("N %v of a product that nobody named", float64(w.NAdded))
	}
}

// Ground that gets the other product alone is no treated ground, and still every way
// spreads there what is prescribed. The wet boom sprays every acre that gets dry.
func TestGroundOfTheOtherProductAlone(t *testing.T) {
	p := products(t, "UREA", []string{"UREA", "POTASH"}, []float64{100, 90}, []float64{0, 60}, []float64{300, 50}, []float64{0, 0}, []float64{180, 0})
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	for _, way := range []rx.WayName{rx.WetBoom, rx.Base, rx.Loads} {
		got := plan(t, p, a, way)
		conserves(t, p, got)
		onLabel(t, p, a, got)
		if sprayed := way == rx.WetBoom; (got.Stabilizer[1] > 0) != sprayed || got.Stabilizer[3] != 0 {
			t.Errorf("way %s: without urea %v, without dry %v", way, got.Stabilizer[1], got.Stabilizer[3])
		}
	}
	liquid := plan(t, p, a, rx.WetBoom).Layers[1]
	near(t, "sprayed acres", float64(liquid.Area), float64(p.Area()-p.Zones[3].Area), 1e-9)
	if base := plan(t, p, a, rx.Base).Layers[0]; base.Zones != 3 || base.Columns[1].Rates[1] != 0 {
		t.Errorf("the base serves %d zones, and %v of potash", base.Zones, base.Columns[1].Rates[1])
	}
	terms := a.Terms
	terms.LeaveOff = true
	a = rxtest.Grade(t, p, terms)
	got := plan(t, p, a, rx.OneLoad) // 100 to 180, the lowest of equals
	conserves(t, p, got)
	if !slices.Equal(got.Way.LeftZones, []int{3}) {
		t.Errorf("one load leaves off %v, want 3: there is nothing to treat in 2 and 4", got.Way.LeftZones)
	}
}

// A product at one flat rate that the label allows is a base that costs nothing.
func TestFlatProductIsTheBase(t *testing.T) {
	p := products(t, "UREA", []string{"UREA", "MAP"}, []float64{100, 120}, []float64{180, 120}, []float64{300, 120})
	for _, c := range []struct {
		name, more string
		flat       bool
	}{
		{"allowed", "carriers: {allowed: [urea, map], forbidden: []}\n", true},
		{"forbidden", "carriers: {allowed: [urea], forbidden: [map]}\n", false},
		{"unsaid", "carriers: {allowed: [urea], forbidden: []}\n", false},
	} {
		terms := rxtest.Terms(rxtest.Label(t, c.more))
		terms.Job = job(t, "blend:\n  - {name: urea, share: 60 %}\n  - {name: MAP, share: 40 %}\n")
		a := rxtest.Grade(t, p, terms)
		got := plan(t, p, a, rx.Base)
		flat := got.Layers[0].Columns[1].Rates[0] == 120 && got.Layers[0].Columns[0].Rates[0] == 0
		if flat != c.flat {
			t.Errorf("%s: MAP is the base: %v, want %v (%s)", c.name, flat, c.flat, got.Way.Why)
		}
		onLabel(t, p, a, got)
		conserves(t, p, got)
	}
	// which material a field holds is not known without the job's blend
	terms := rxtest.Terms(rxtest.Label(t, "carriers: {allowed: [urea, map], forbidden: []}\n"))
	if got := plan(t, p, rxtest.Grade(t, p, terms), rx.Base); got.Layers[0].Columns[1].Rates[0] == 120 && got.Layers[0].Columns[0].Rates[0] == 0 {
		t.Error("MAP is the base of a job without a blend")
	}
}

// A product that is not spread on all ground that gets dry is no base, wherever the
// ground without it stands in the file.
func TestProductWithoutAllGroundIsNoBase(t *testing.T) {
	for _, rates := range [][]float64{{0, 120, 120}, {120, 0, 120}, {120, 120, 0}, {120, 120, 119}} {
		p := products(t, "UREA", []string{"UREA", "MAP"}, []float64{100, rates[0]}, []float64{180, rates[1]}, []float64{300, rates[2]})
		terms := rxtest.Terms(rxtest.Label(t, "carriers: {allowed: [urea, map], forbidden: []}\n"))
		terms.Job = job(t, "blend:\n  - {name: urea, share: 60 %}\n  - {name: MAP, share: 40 %}\n")
		a := rxtest.Grade(t, p, terms)
		got := plan(t, p, a, rx.Base)
		if base := got.Layers[0]; base.Dry.Max != 100 || base.Columns[1].Rates[1] != 0 {
			t.Errorf("MAP at %v: the base is %v of urea and %v of MAP, want 100 and 0", rates, base.Columns[0].Rates[1], base.Columns[1].Rates[1])
		}
		onLabel(t, p, a, got)
		conserves(t, p, got)
	}
}

// Products side by side have bins of their own: a spreader is held against the rate of each,
// and the stabilizer that lands is that on the one impregnated. By hand: of 250 lb/ac of urea
// at 300 fl oz/ton 200 can be spread; 150 of potash can, and 400 in all need not be.
func TestUndeliveredBesideAnotherProduct(t *testing.T) {
	p := products(t, "UREA", []string{"UREA", "POTASH"}, []float64{160, 0}, []float64{250, 150})
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 300
	for _, c := range []struct{ rates, condition, off string }{
		{"{min: 60 lb/ac, max: 200 lb/ac}", "there would land 200 lb/ac with 30 fl oz/ac of stabilizer", "layer dry asks for 150 to 250 lb/ac; on 2.09 ac"},
		{"{min: 60 lb/ac, max: 300 lb/ac}", "", ""},
		{"{min: 160 lb/ac, max: 300 lb/ac}", "", "layer dry asks for 150 to 250 lb/ac; on 2.09 ac"}, // no way mends what is prescribed so
	} {
		terms.Job = job(t, "spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 20 mph}, rates: "+c.rates+"}\n")
		task := split.For(p, rxtest.Grade(t, p, terms), nil)
		way := wayOf(task.Ways(), rx.OneLoad)
		if got := condition(way, "undeliverable"); !strings.HasSuffix(got, c.condition) || c.condition == "" && got != "" {
			t.Errorf("%s: only if %q, want %q", c.rates, got, c.condition)
		}
		if want := c.off != ""; (way.Undeliverable > 2.08) != want {
			t.Errorf("%s: %v can't be delivered", c.rates, way.Undeliverable)
		}
		plan, err := task.Plan(rx.OneLoad)
		if err != nil {
			t.Fatal(err)
		}
		var told string
		for _, f := range plan.Findings {
			if f.Rule() == "layer-spreader-limits" {
				told = tell.Finding(f, unit.US).Text
			}
		}
		if !strings.HasPrefix(told, c.off) || c.off == "" && told != "" {
			t.Errorf("%s: told %q, want %q", c.rates, told, c.off)
		}
	}
}

// The spreader has to meter the smallest top-up, 180 − 100 lb/ac here; ground at the
// base's own rate gets none.
func TestTopUpNeedsASpreaderThatMetersIt(t *testing.T) {
	for _, c := range []struct {
		least int
		need  string // empty: none
	}{
		{80, ""}, {81, "what dry-topup asks for on 60.00 ac, 80 lb/ac, where it spreads 81 to 500 lb/ac: there would land 81 lb/ac"},
	} {
		p := rxtest.Plain(rxtest.FourGrounds()...)
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Job = job(t, fmt.Sprintf("spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 20 mph}, rates: {min: %d lb/ac, max: 500 lb/ac}}\n", c.least))
		w := wayOf(split.For(p, rxtest.Grade(t, p, terms), nil).Ways(), rx.Base)
		if got := condition(w, "undeliverable"); !strings.HasSuffix(got, c.need) || (got == "") != (c.need == "") || (w.Undeliverable == 60) != (c.need != "") {
			t.Errorf("least rate %d: %v ac, only if %q, want %q", c.least, w.Undeliverable, got, c.need)
		}
	}
}

// What must not be impregnated is refused in every way that impregnates, and the
// wet boom is left.
func TestMaterialsThatMustNotBeImpregnated(t *testing.T) {
	p := products(t, "", []string{"RATE"}, []float64{150}, []float64{200})
	for _, c := range []struct{ name, more, blend, why string }{
		{"forbidden carrier", "carriers: {allowed: [urea], forbidden: [ammonium sulfate]}\n", "blend: [{name: AMS, share: 100 %}]\n", "label forbids"},
		{"oxidizer", "", "blend: [{name: ammonium nitrate, share: 100 %}]\n", "oxidizer"},
		{"solvent on nitrate", "base: solvent\n", "blend: [{name: CAN, share: 100 %}]\n", "solvent-based liquid"},
		{"urea with ammonium nitrate", "", "blend: [{name: urea, share: 50 %}, {name: ammonium nitrate, share: 50 %}]\n", "ammonium nitrate"},
		{"urea with superphosphate", "", "blend: [{name: urea, share: 50 %}, {name: triple superphosphate, share: 50 %}]\n", "blend-tested"},
	} {
		terms := rxtest.Terms(rxtest.Label(t, c.more))
		terms.Job = job(t, c.blend)
		a := rxtest.Grade(t, p, terms)
		for _, w := range split.For(p, a, nil).Ways() {
			if w.Possible() != (w.Name == rx.WetBoom) || w.Name != rx.WetBoom && !strings.Contains(w.Why, c.why) {
				t.Errorf("%s: way %s: possible %v, %s", c.name, w.Name, w.Possible(), w.Why)
			}
		}
	}
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Job = job(t, "blend-tested: yes\nblend: [{name: urea, share: 50 %}, {name: triple superphosphate, share: 50 %}]\n")
	onLabel(t, p, rxtest.Grade(t, p, terms), plan(t, p, rxtest.Grade(t, p, terms), rx.OneLoad))
}

// A solvent of any liquid on the blend counts: on a nitrate it is refused, as it is for the
// stabilizer, and asked about where a liquid has no label. The dry of a wet boom carries
// the further liquids alone.
func TestSolventOfAFurtherLiquid(t *testing.T) {
	p := products(t, "", []string{"RATE"}, []float64{150}, []float64{200})
	for _, c := range []struct {
		first, second string // what the labels say; "" for no label of the second
		severity      rx.Severity
		boom, others  bool // possible
	}{
		{"base: water\n", "base: water\n", rx.Note, true, true},
		{"base: water\n", "base: solvent\n", rx.Error, false, false},
		{"base: solvent\n", "base: water\n", rx.Error, true, false},
		{"base: water\n", "mix-minutes: {min: 3, max: 5}\n", rx.Warning, true, true},
		{"base: water\n", "", rx.Warning, true, true},
	} {
		terms := rxtest.Terms(rxtest.Label(t, c.first))
		terms.Job = job(t, "blend: [{name: CAN, share: 100 %}]\n")
		terms.Further = []rx.JobLiquid{{Name: "herbicide", Intended: 4, On: equip.OnBlend}}
		if c.second != "" {
			terms.Further[0].Label = rxtest.Profile(t, "name: h\nrate: {min: 2 fl oz/ac, max: 8 fl oz/ac}\n"+c.second)
		}
		a := rxtest.Grade(t, p, terms)
		found := rx.Note
		for _, f := range a.Findings {
			if f.Rule() == "compatible" {
				found = f.Severity
			}
		}
		if found != c.severity {
			t.Errorf("%+v: check finds %v", c, found)
		}
		for _, w := range split.For(p, a, nil).Ways() {
			if want := map[bool]bool{true: c.boom, false: c.others}[w.Name == rx.WetBoom]; w.Possible() != want {
				t.Errorf("%+v: way %s: possible %v, %s", c, w.Name, w.Possible(), w.Why)
			}
		}
	}
}

// A material that a label forbids keeps its liquid off the blend: that of the stabilizer in every
// way that impregnates, that of a further liquid also in the wet boom's dry, which carries it alone.
func TestCarriersOfEachLiquid(t *testing.T) {
	const forbid = "carriers: {allowed: [urea], forbidden: [ammonium sulfate]}\n"
	p := products(t, "", []string{"RATE"}, []float64{150}, []float64{200})
	for _, c := range []struct {
		first, second string
		boom, others  bool // possible
		why           string
	}{
		{"", "", true, true, ""}, {forbid, "", true, false, "the label forbids AMS as a carrier"}, {"", forbid, false, false, "the label of herbicide forbids AMS as a carrier"},
	} {
		terms := rxtest.Terms(rxtest.Label(t, c.first))
		terms.Job = job(t, "blend: [{name: AMS, share: 100 %}]\n")
		terms.Further = []rx.JobLiquid{{Name: "herbicide", Intended: 4, On: equip.OnBlend, Label: rxtest.Profile(t, "name: h\nrate: {min: 2 fl oz/ac, max: 8 fl oz/ac}\nbase: water\n"+c.second)}}
		for _, w := range split.For(p, rxtest.Grade(t, p, terms), nil).Ways() {
			want := map[bool]bool{true: c.boom, false: c.others}[w.Name == rx.WetBoom]
			if w.Possible() != want || !want && !strings.Contains(w.Why, c.why) {
				t.Errorf("%q %q: way %s: possible %v, %s", c.first, c.second, w.Name, w.Possible(), w.Why)
			}
		}
	}
}

// A keep-out is cut out of the liquid layer, and refuses every way whose treated
// dry would land in it.
func TestKeepOut(t *testing.T) {
	p := products(t, "", []string{"RATE"}, []float64{150}, []float64{200})
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	keepOut := rxtest.NorthHalf(p, 1)
	got, err := split.For(p, a, keepOut).Plan(rx.WetBoom)
	if err != nil {
		t.Fatal(err)
	}
	kept, err := geo.AreaOf(keepOut)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "sprayed", float64(got.Layers[1].Area), float64(p.Area()-kept), 1e-9)
	near(t, "stabilizer", float64(got.Way.Stabilizer), 30*float64(p.Area()-kept), 1e-8)
	near(t, "zone 1 with stabilizer", float64(got.WithStabilizer(0, p.Zones[0].Area)), float64(p.Zones[0].Area), 0)
	near(t, "zone 2 with stabilizer", float64(got.WithStabilizer(1, p.Zones[1].Area)), float64(p.Zones[1].Area-kept), 1e-8)
	all, err := split.For(p, a, append(keepOut, p.LonLat.Shape(0)...)).Plan(rx.WetBoom) // zone 1 as a whole, too
	if err != nil {
		t.Fatal(err)
	}
	if all.Stabilizer[0] != 0 || all.WithStabilizer(0, p.Zones[0].Area) != 0 || all.Stabilizer[1] != got.Stabilizer[1] {
		t.Errorf("with zone 1 kept out: %v on the ground", all.Stabilizer)
	}
	none, err := split.For(p, a, nil).Plan(rx.WetBoom)
	if err != nil || none.KeptOut != nil || none.WithStabilizer(1, p.Zones[1].Area) != p.Zones[1].Area {
		t.Errorf("without keep-outs: %v, %v", none.KeptOut, err)
	}
	outline := slices.IndexFunc(got.Findings, func(f rx.Finding) bool { return f.Rule() == "outline" })
	if !strings.HasSuffix(said(got.Findings[outline]).Text, "less the ground in the keep-outs") {
		t.Errorf("the outline: %q", said(got.Findings[outline]).Text)
	}
	ground, found := split.For(p, a, keepOut).KeepOut()
	inside, err := geo.AreaOf(ground)
	if err != nil || found == nil {
		t.Fatal(err, found)
	}
	near(t, "ground inside", float64(inside), float64(kept), 1e-9)
	near(t, "acres found", float64(found.Area), float64(kept), 1e-9)
	elsewhere := orb.MultiPolygon{orb.Bound{Max: orb.Point{1, 1}}.ToPolygon()}
	if ground, found := split.For(p, a, elsewhere).KeepOut(); len(ground) != 0 || found == nil || found.Area != 0 {
		t.Errorf("a keep-out elsewhere: %v %v", ground, found)
	}
	for _, way := range []rx.WayName{rx.OneLoad, rx.Base, rx.Loads, rx.Refit} {
		if _, err := split.For(p, a, keepOut).Plan(way); err == nil || !strings.Contains(err.Error(), "keep-out") {
			t.Errorf("way %s: got %v", way, err)
		}
	}
}

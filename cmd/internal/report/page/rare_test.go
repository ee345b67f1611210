package page

import (
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/geo/invent"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/ground"
	"rxsplit/rx/rxtest"
)

// The row of a field whose best way has several loads names each loading; one without a way has none.
func TestBestWayOfAField(t *testing.T) {
	q := figures.In(unit.US)
	for _, c := range []struct {
		way           rx.Way
		loading, cost string
	}{
		{rx.Way{Name: "wet-boom", State: rx.Ready}, "–", "–"},
		{rx.Way{Name: "loads", State: rx.Ready, Loads: []rx.Load{{Loading: 200}, {Loading: 300}}, Cost: &rx.Cost{High: 1234.5}}, "200 fl oz/ton; 300 fl oz/ton", "$1,234.50"},
	} {
		var f Field
		f.best(report.Result{Ways: []rx.Way{c.way}, Assessment: &rx.Assessment{}}, q)
		if f.Loading != c.loading || f.Cost.Text != c.cost || f.Way != c.way.Name.Words() || f.sums.ways != 1 {
			t.Errorf("%s: loading %q, cost %q, way %q", c.way.Name, f.Loading, f.Cost.Text, f.Way)
		}
	}
	var none Field
	if none.best(report.Result{}, q); none.Way != "none" || none.sums.ways != 0 {
		t.Errorf("no way is %q", none.Way)
	}
}

// A sum of costs says of how many fields it is where some are not priced; so many fields have small
// maps and no more.
func TestSeasonAddsUp(t *testing.T) {
	priced, way, none := seasonSums{fields: 1, ways: 1, priced: 1, cost: 10.005}, seasonSums{fields: 1, ways: 1}, seasonSums{fields: 1}
	for want, sums := range map[string][]seasonSums{
		"<td>$20.01</td>": {priced, priced, none}, "<td>$10.01 of 1 field</td>": {priced, way}, "<td>–</td>": {way, none},
		"1 field has no way that is possible.": {none, way}, "1 file could not be checked": {{}, priced},
	} {
		var v seasonView
		v.Fields = make([]Field, len(sums))
		var sum seasonSums
		for _, s := range sums {
			sum.fields, sum.ways, sum.priced, sum.cost = sum.fields+s.fields, sum.ways+s.ways, sum.priced+s.priced, sum.cost+s.cost
		}
		v.total(sum, unit.US)
		if got := v.Said + "<td>" + v.Total[4] + "</td>"; !strings.Contains(got, want) {
			t.Errorf("%v: got %q, want %q", sums, got, want)
		}
	}
	fields := make([]Field, mostSmall+1)
	for i := range fields {
		fields[i].Small = "<i>small</i>"
	}
	var b strings.Builder
	if err := WriteSeason(&b, "x", "0", fields); err != nil || strings.Count(b.String(), "<i>small</i>") != mostSmall {
		t.Errorf("%d small maps, want %d: %v", strings.Count(b.String(), "<i>small</i>"), mostSmall, err)
	}
}

// What a machine stood and laid is not known where the log does not show it.
func TestWhatIsLaidStanding(t *testing.T) {
	layer := &rx.Layer{Name: "dry"}
	for unshown, standing := range map[int][2]string{0: {"0 lb", "5 lb"}, 1: {"not known", "over 5 lb"}} {
		for k, amount := range []float64{0, 5} {
			g := report.Ground{}
			p := ground.Product{Layer: layer}
			p.Total, p.Standing, p.Unshown = 100, amount, unshown
			g.Result = &ground.Result{Products: []ground.Product{p}}
			if got := groundAmounts(g).Rows[0][3].Text; got != standing[k] {
				t.Errorf("%v standing, %v unshown: got %q, want %q", amount, unshown, got, standing[k])
			}
		}
	}
}

// Zones that are drawn as one say how many of them a plan puts off label.
func TestJoinedTipTellsWhatIsOff(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "")) // 20 to 40 fl oz/ac
	r := report.Result{Units: unit.US, Prescription: &rx.Prescription{Zones: make([]rx.Zone, 3), Fields: make([]rx.RateField, 1)}, Assessment: &rx.Assessment{Terms: terms, Graded: rx.Graded{Verdicts: make([]rx.Verdict, 3)}}, Plan: &rx.Plan{Stabilizer: []unit.LiquidRate{30, 50, 0}}}
	for want, zones := range map[string][]int{" by the plan, 1 of them off label": {0, 1, 2}, " by the plan, within the label": {0, 2}, " by the plan": {2}} {
		if got := joinedPlanTip(r, figures.In(unit.US), zones, "here"); !strings.HasSuffix(got, want) {
			t.Errorf("zones %v: got %q, want %q at the end", zones, got, want)
		}
	}
}

// A text of a style sheet can't end it: all but letters, digits and plain marks go in by number, and what is longer than
// a head's room is cut.
func TestTextsOfAStyleSheet(t *testing.T) {
	for text, want := range map[string]string{
		"": `""`, "North 40, (söuth) 5 %": `"North 40, (söuth) 5 %"`, "a\"b": `"a\22 b"`, "</style>": `"\3c /style\3e "`, "a\nb\x00c": `"abc"`, `\`: `"\5c "`,
		strings.Repeat("n", mostHead): `"` + strings.Repeat("n", mostHead) + `"`, strings.Repeat("n", mostHead+1): `"` + strings.Repeat("n", mostHead-1) + `\2026 "`,
	} {
		if got := cssString(text); got != want {
			t.Errorf("%q is %s, want %s", text, got, want)
		}
	}
}

// What was asked for stands in its order, each by its kind; a text of several lines is a file; what is cut short ends it.
func TestParametersAreTold(t *testing.T) {
	var o pageOrigin
	o.parameters([]byte(`{"rate_field":["A","B"],"seed":12345678901234567890,"label":"name: x\nrate: 1\n","leave_off":true,"archive":{"ratio":1},"way":"loads","none":null,"cut":[`))
	got := ""
	for _, f := range o.Facts {
		got += f.What + "=" + f.Value[0].Text + ";"
	}
	if want := "Rate field=A, B;Seed=12345678901234567890;Leave off=true;Way=loads;None=<nil>;"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if len(o.Files) != 1 || o.Files[0].Name != "label" || o.Files[0].Text != "name: x\nrate: 1\n" {
		t.Errorf("files: %+v", o.Files)
	}
	for _, text := range []string{"", "{", `{"a"`, `{"a":`, `{"a":1`} {
		var o pageOrigin
		if o.parameters([]byte(text)); len(o.Files) > 0 || len(o.Facts) != strings.Count(text, "1") {
			t.Errorf("%s: %+v", text, o.Facts)
		}
	}
}

// A day of many fields has so many small maps and no more, in their places.
func TestSmallMapsOfADay(t *testing.T) {
	d, small := report.Day{Fields: make([]report.DayField, mostSmall+2)}, map[int]Small{}
	for i := range d.Fields {
		d.Fields[i] = report.DayField{Path: "f.shp", Shared: -1, Blend: -1, Why: []string{"x"}}
		if i > 0 {
			small[i] = Small{1, 1, "<i>small</i>"}
		}
	}
	var b strings.Builder
	if err := Day(&b, d, "0", small); err != nil || strings.Count(b.String(), "<i>small</i>") != mostSmall-1 {
		t.Errorf("%d small maps, want %d: %v", strings.Count(b.String(), "<i>small</i>"), mostSmall-1, err)
	}
}

// Each layer has a map that says what it takes and at what loading, or that it stays untreated; blank is what it leaves bare.
func TestNotesOfLayers(t *testing.T) {
	q := figures.In(unit.US)
	treated, untreated, liquid := 0, 0, 0
	for _, way := range []rx.WayName{"wet-boom", "base", "loads", "refit"} {
		r := reporttest.Plan(t, invent.FourZones(), way)
		list := themes(r, q)
		for i, l := range r.Plan.Layers {
			at := slices.IndexFunc(list, func(m mapTheme) bool { return m.ID == "map-layer-"+l.Name })
			if at < 0 {
				t.Errorf("%s: layer %s has no map", way, l.Name)
				continue
			}
			m, want := list[at], ""
			switch {
			case l.Product == rx.Liquid:
				liquid++
				want = q.Tank(l.Volume) + " of stabilizer in water, 1 connected piece."
			case l.Treated:
				treated++
				want = q.Mass(l.Mass) + ", impregnated at " + q.Loading(l.Loading) + "."
			default:
				untreated++
				want = q.Mass(l.Mass) + ", untreated."
			}
			if m.Note != want || m.Button != "Layer "+l.Name || !strings.HasPrefix(m.Title, "Layer "+l.Name+", ") {
				t.Errorf("%s, layer %d: %q, %q, %q, want %q", way, i, m.Note, m.Button, m.Title, want)
			}
			if tip := m.Tip(0); l.Product == rx.Dry && !strings.HasSuffix(tip, ", this layer "+q.Dry(l.DryRate(r.Prescription, 0))+" lb/ac") {
				t.Errorf("%s, layer %d: the tip is %q", way, i, tip)
			}
		}
		if changes := slices.ContainsFunc(list, func(m mapTheme) bool { return strings.HasPrefix(m.ID, "map-change") }); changes == r.Plan.Way.KeepsRates() {
			t.Errorf("%s: a map of changed rates: %t", way, changes)
		}
	}
	if treated == 0 || untreated == 0 || liquid == 0 {
		t.Errorf("%d treated, %d untreated, %d liquid", treated, untreated, liquid)
	}
}

// Where nothing gets dry there is no loading to check, and the page tells of none.
func TestNoLoadingIsTold(t *testing.T) {
	r := reporttest.PlanFor(t, rxtest.Read(t, rxtest.Strip(rxtest.Ground{Acres: 10}, rxtest.Ground{Acres: 5})), rxtest.Terms(rxtest.Label(t, "")), "")
	var told []string
	for _, f := range facts(r, figures.In(unit.US)) {
		told = append(told, f.What)
	}
	if want := []string{"File", "Zones", "Rates", "Label"}; !slices.Equal(told[:min(len(told), 4)], want) || slices.Contains(told, "Loading checked") || slices.Contains(told, "Stabilizer then") {
		t.Errorf("told of %q", told)
	}
}

// What the season allows, and has had, is told where the label has a season maximum.
func TestSeasonIsToldWhereTheLabelHasOne(t *testing.T) {
	for want, most := range map[string]label.Known[unit.LiquidRate]{"": {}, "at most 80 fl oz/ac, already applied 20 fl oz/ac": label.Know(unit.LiquidRate(80))} {
		r := reporttest.Plan(t, invent.FourZones(), "")
		a := *r.Assessment
		profile := *a.Terms.Label
		profile.SeasonMax, a.Terms.Label, a.Terms.AlreadyApplied = most, &profile, 20
		r.Assessment = &a
		told := ""
		for _, f := range facts(r, figures.In(unit.US)) {
			if f.What == "Season" {
				told += f.Value[0].Text
			}
		}
		if told != want {
			t.Errorf("the season is %q, want %q", told, want)
		}
		a.Terms.Already = []unit.LiquidRate{0, 20, 5, 0}
		for _, f := range facts(r, figures.In(unit.US)) {
			if f.What == "Season" && f.Value[0].Text != "at most 80 fl oz/ac, already applied up to 20 fl oz/ac where it is treated" {
				t.Errorf("the season where a layer says it: %q", f.Value[0].Text)
			}
		}
	}
}

// Against the blend as one stands what speaks against it and is nothing to the chosen way: not
// what is found about the boom or the spreader.
func TestWhatStandsAgainstTheBlend(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "carriers: {forbidden: [urea]}\n"))
	terms.Job = &equip.Job{Blend: equip.Blend{{Name: "urea", Share: 1}}}
	terms.OddJob = []label.Problem{{Severity: label.Warning, Key: "boom.nozzles", Text: "is odd"}, {Severity: label.Warning, Key: "spreader.swath", Text: "is odd"}}
	p := rxtest.Read(t, rxtest.Strip(rxtest.Ground{Acres: 10, Rate: 100}, rxtest.Ground{Acres: 10, Rate: 300}))
	r := reporttest.PlanFor(t, p, terms, rx.WetBoom)
	wet := against(r)
	r.Plan = &rx.Plan{Layers: []rx.Layer{{Product: rx.Dry}}}
	for way, list := range map[string][]string{"a wet boom": wet, "dry alone": against(r)} {
		if len(list) != 3 || !strings.Contains(list[0], "would get 45 fl oz/ac as one blend") || !strings.Contains(list[1], "would get 15 fl oz/ac as one blend") || list[2] != "Error: urea is a carrier that the label forbids." {
			t.Errorf("%s: %q", way, list)
		}
	}
}

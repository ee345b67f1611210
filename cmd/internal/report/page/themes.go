package page

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// themes lists the maps of a result: the dry rate, the verdicts, and the layers of
// the way that was chosen.
func themes(r report.Result, q figures.Quantities) []mapTheme {
	zones, s := r.Prescription.Zones, drySteps(r, q)
	dry := rateTheme(r, q, s, report.VerdictText(rx.NoDry), func(z int) unit.DryRate { return zones[z].Dry })
	dry.ID, dry.Title, dry.Note = "map-dry", "Dry rate, "+unit.Symbol[unit.DryRate](q.System), "As prescribed, all products together."
	dry.Button, dry.kept.how = "Prescribed", outlined
	list := []mapTheme{dry}
	if i := r.Prescription.CarrierField(); i >= 0 {
		list = append(list, carrierTheme(r, q, s, r.Prescription.Fields[i].Name))
	}
	list = append(list, verdictTheme(r, q))
	if r.Plan != nil {
		list = append(list, planThemes(r, q, s)...)
	}
	if t := reachTheme(r, q); t != nil {
		list = append(list, *t)
	}
	keepOuts(r, q, list)
	untreatedStrips(r, q, list)
	return list
}

// carrierTheme draws the dry rate of the product that carries the stabilizer, where it
// lies beside others.
func carrierTheme(r report.Result, q figures.Quantities, s svg.Steps, name string) mapTheme {
	t := rateTheme(r, q, s, "none of it", func(z int) unit.DryRate { return r.Prescription.Zones[z].Carrier })
	t.ID, t.Title, t.Note = "map-carrier", "Dry rate of "+name+", "+unit.Symbol[unit.DryRate](q.System), "The product that carries the stabilizer, as prescribed."
	t.Button, t.kept.how = name+" alone", outlined
	return t
}

// drySteps are the classes of all maps of dry rates, so that one color means one rate on
// all of them: those of the prescription and of every layer.
func drySteps(r report.Result, q figures.Quantities) svg.Steps {
	low, high := math.Inf(1), 0.0
	widen := func(v float64) {
		if v > 0 {
			low, high = min(low, v), max(high, v)
		}
	}
	for _, z := range r.Prescription.Zones {
		widen(z.Dry.In(q.System))
	}
	if r.Plan != nil {
		for _, l := range r.Plan.Layers {
			widen(l.Dry.Min.In(q.System))
			widen(l.Dry.Max.In(q.System))
		}
	}
	return svg.NewSteps(low, high)
}

// planThemes lists the maps of what a plan applies: the stabilizer, what it changes, and
// each layer.
func planThemes(r report.Result, q figures.Quantities, s svg.Steps) []mapTheme {
	list := []mapTheme{groundTheme(r, q)}
	if !r.Plan.Way.KeepsRates() {
		list = append(list, changeTheme(r, q))
	}
	for _, l := range r.Plan.Layers {
		if l.Product == rx.Liquid {
			list = append(list, liquidTheme(r, q, l))
		} else {
			list = append(list, layerTheme(r, q, s, l))
		}
	}
	return list
}

func layerTheme(r report.Result, q figures.Quantities, rates svg.Steps, l rx.Layer) mapTheme {
	t := rateTheme(r, q, rates, "nothing from this layer (rate 0)", func(z int) unit.DryRate { return l.DryRate(r.Prescription, z) })
	t.ID, t.Title, t.Button = "map-layer-"+l.Name, "Layer "+l.Name+", "+unit.Symbol[unit.DryRate](q.System), "Layer "+l.Name
	t.Note = layerNote(r, l, q)
	t.Tip = func(z int) string {
		return planTip(r, q, z) + fmt.Sprintf(", this layer %s %s", q.Dry(l.DryRate(r.Prescription, z)), unit.Symbol[unit.DryRate](q.System))
	}
	t.Tips = func(zones []int, how string) string { return joinedLayerTip(r, q, &l, zones, how) }
	return t
}

func layerNote(r report.Result, l rx.Layer, q figures.Quantities) string {
	if products := report.ProductsOf(r.Prescription, &l); products != nil {
		texts := make([]string, len(products))
		for i, one := range products {
			texts[i] = q.Mass(one.Mass) + " of " + one.Name + ", untreated"
			if one.Treated {
				texts[i] = fmt.Sprintf("%s of %s, impregnated at %s", q.Mass(one.Mass), one.Name, r.Carries(&l))
			}
		}
		return strings.Join(texts, "; ") + "; the rates drawn are of all together."
	}
	if l.Treated {
		return fmt.Sprintf("%s, impregnated at %s.", q.Mass(l.Mass), r.Carries(&l))
	}
	return q.Mass(l.Mass) + ", untreated."
}

// liquidTheme draws the zones that the liquid layer covers; its acres are the
// layer's own.
func liquidTheme(r report.Result, q figures.Quantities, l rx.Layer) mapTheme {
	t := mapTheme{ID: "map-layer-" + l.Name, Title: "Layer " + l.Name + ", " + unit.Symbol[unit.LiquidRate](q.System) + " of stabilizer", Button: "Layer " + l.Name}
	t.Blank = 1
	t.pieces, t.bare = l.Pieces, l.Untreated
	t.kept.how = leftOff
	rate := q.RateRange(l.Liquid.Min, l.Liquid.Max)
	t.classes = []mapClass{
		{Text: rate, Fill: svg.LiquidColors(1)[0], key: "layers." + l.Name + ".area"},
		{Text: "no liquid", Fill: verdictFill(rx.NoDry)},
	}
	t.classify(r.Prescription, func(z int) int {
		if r.Plan.Stabilizer[z] > 0 || keptOutOf(r.Plan, z) > 0 && r.Prescription.Zones[z].Dry > 0 {
			return 0 // the keep-outs are drawn over it
		}
		return 1
	})
	t.classes[0].Area, t.classes[0].Zones = l.Area, treatedZones(r.Plan)
	t.Note = fmt.Sprintf("%s of stabilizer in water, %s.", q.Tank(l.Volume), figures.Plural(l.Zones, "connected piece", "connected pieces"))
	if f := r.Plan.KeepOut; f != nil {
		t.Note += " " + tell.Capital(tell.Text(*f, q.System)) + "."
	}
	t.Tip = func(z int) string { return planTip(r, q, z) }
	t.Tips = func(zones []int, how string) string { return joinedPlanTip(r, q, zones, how) }
	return t
}

func keptOutOf(plan *rx.Plan, zone int) unit.Area {
	if plan.KeptOut == nil {
		return 0
	}
	return plan.KeptOut[zone]
}

func treatedZones(plan *rx.Plan) (n int) {
	for _, s := range plan.Stabilizer {
		if s > 0 {
			n++
		}
	}
	return n
}

// groundTheme draws the stabilizer that the plan puts on the ground.
func groundTheme(r report.Result, q figures.Quantities) mapTheme {
	s := stepsFor(len(r.Plan.Stabilizer), func(z int) float64 { return r.Plan.Stabilizer[z].In(q.System) })
	t := mapTheme{ID: "map-ground", Title: "Stabilizer on the ground by the plan, " + unit.Symbol[unit.LiquidRate](q.System), Button: "Put down"}
	t.kept.how = leftOff
	t.Blank = 1
	for i, color := range svg.LiquidColors(s.N) {
		t.classes = append(t.classes, mapClass{Text: s.Text(i), Fill: color})
	}
	if s.N == 1 {
		rate := slices.Max(r.Plan.Stabilizer)
		t.classes[0].Text = q.Plain(rate)
	}
	t.classes = append(t.classes, mapClass{Text: "no stabilizer", Fill: verdictFill(rx.NoDry)})
	t.classify(r.Prescription, func(z int) int {
		if v := r.Plan.Stabilizer[z]; v > 0 {
			return s.Of(v.In(q.System))
		}
		return s.N
	})
	for z, one := range r.Prescription.Zones {
		if one.Dry > 0 { // keep-outs and strips have lines of their own
			t.classes[t.Class[z]].Area -= keptOutOf(r.Plan, z)
		}
	}
	t.Note = "What the layers give together."
	t.Tip = func(z int) string { return planTip(r, q, z) }
	t.Tips = func(zones []int, how string) string { return joinedPlanTip(r, q, zones, how) }
	return t
}

// verdictTheme is the map of verdicts if the whole blend is impregnated.
func verdictTheme(r report.Result, q figures.Quantities) mapTheme {
	t := mapTheme{ID: "map-verdict", Title: "Verdict if impregnated", Button: "As one blend", numbered: true}
	t.Blank, t.Focus = 2, true
	a := r.Assessment
	t.classes = []mapClass{{Text: report.SeasonText, Fill: svg.Season.Fill(), key: seasonKey}} // none in most fields
	var place [len(rx.Assessment{}.Shares)]int
	for i, v := range []rx.Verdict{rx.Within, rx.Below, rx.Above, rx.NoDry, rx.NoRate} {
		_, key := verdictGround(a, v)
		t.classes = append(t.classes, mapClass{Text: report.VerdictText(v), Fill: verdictFill(v), key: key})
		place[v] = i + 1
	}
	t.classify(r.Prescription, func(z int) int {
		if a.OffBySeason(z) {
			return 0
		}
		return place[a.Verdicts[z]]
	})
	if a.Loading > 0 {
		t.Note = fmt.Sprintf("As one impregnated blend at %s.", q.Loading(a.Loading))
		if i := r.Prescription.CarrierField(); i >= 0 {
			t.Note = fmt.Sprintf("With %s alone impregnated at %s.", r.Prescription.Fields[i].Name, q.Loading(a.Loading))
		}
	}
	t.Tip = func(z int) string { return verdictTip(r, q, z) }
	t.Tips = func(zones []int, how string) string { return joinedTip(r, q, zones, how) }
	return t
}

// rateTheme is a map of dry rates; unserved names the ground at rate 0.
func rateTheme(r report.Result, q figures.Quantities, s svg.Steps, unserved string, rate func(zone int) unit.DryRate) mapTheme {
	t := mapTheme{Map: svg.Map{Blank: 2}}
	for i, color := range svg.DryColors(s.N) {
		t.classes = append(t.classes, mapClass{Text: s.Text(i), Fill: color})
	}
	t.classes = append(t.classes,
		mapClass{Text: unserved, Fill: verdictFill(rx.NoDry)},
		mapClass{Text: report.VerdictText(rx.NoRate), Fill: verdictFill(rx.NoRate)})
	t.classify(r.Prescription, func(z int) int {
		switch v := rate(z); {
		case math.IsNaN(float64(v)):
			return s.N + 1
		case !(v > 0):
			return s.N
		default:
			return s.Of(v.In(q.System))
		}
	})
	t.Tip = func(z int) string { return zoneTip(r, q, z) }
	t.Tips = func(zones []int, how string) string { return joinedTip(r, q, zones, how) }
	return t
}

// stepsFor returns the classes of the rates above 0 among those of n zones.
func stepsFor(n int, rate func(zone int) float64) svg.Steps {
	low, high := math.Inf(1), 0.0
	for z := range n {
		if v := rate(z); v > 0 {
			low, high = min(low, v), max(high, v)
		}
	}
	return svg.NewSteps(low, high)
}

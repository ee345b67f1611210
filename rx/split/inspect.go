package split

import (
	"fmt"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// inspect looks at a plan before anybody writes it: what it leaves off, and
// whether the season maximum and the label range hold where it lands.
func (t *task) inspect(plan *rx.Plan) {
	add := func(f rx.Finding) { plan.Findings = append(plan.Findings, f) }
	s := t.terms.Units
	if n := len(plan.Way.LeftZones); n > 0 {
		add(rx.Finding{
			Rule: "left-off", Severity: rx.Warning, About: rx.AboutPlan, Zones: plan.Way.LeftZones, Area: plan.Way.LeftOff,
			Text: fmt.Sprintf("%s left untreated, as --leave-off allows.", rx.ZonesText(n, plan.Way.LeftOff, s)),
		})
	}
	if zones, area := t.offLabel(plan); len(zones) > 0 {
		add(rx.Finding{
			Rule: "plan-off-label", Severity: rx.Error, About: rx.AboutPlan, Zones: zones, Area: area,
			Text: fmt.Sprintf("%s would still be off label.", rx.ZonesText(len(zones), area, s)),
			Hint: "take another way",
		})
	}
	if f, ok := t.ofProduct(plan); ok {
		add(f)
	}
	if f, ok := t.shortened(); ok {
		add(f)
	}
	for _, f := range t.otherLoadings(plan.Way) {
		add(f)
	}
	if f, ok := t.liquidPerTon(plan); ok {
		add(f)
	}
	if f, ok := t.noMargin(plan); ok {
		add(f)
	}
	for _, f := range t.betweenGraduations(plan.Way) {
		add(f)
	}
	for _, l := range plan.Layers {
		if f, ok := t.beyondSpreader(l); ok {
			add(f)
		}
	}
	if most, ok := t.terms.Label.SeasonMax.Get(); ok {
		t.inspectSeason(plan, most)
	}
}

func (t *task) offLabel(plan *rx.Plan) (zones []int, area unit.Area) {
	for i, z := range t.p.Zones {
		if s := plan.Stabilizer[i]; s > 0 && !t.a.Range.Contains(s) {
			zones, area = append(zones, z.Number()), area+z.Area
		}
	}
	return zones, area
}

func (t *task) inspectSeason(plan *rx.Plan, most unit.LiquidRate) {
	season := rx.Range[unit.LiquidRate]{Max: most}
	f := rx.Finding{Rule: "plan-season-max", Severity: rx.Error, About: rx.AboutPlan, Want: "at most " + most.Text(t.terms.Units)}
	for i, z := range t.p.Zones {
		if sum := plan.Stabilizer[i] + t.terms.AlreadyApplied; plan.Stabilizer[i] > 0 && season.Over(sum) {
			f.Zones, f.Area = append(f.Zones, z.Number()), f.Area+z.Area
			f.Got = sum.Text(t.terms.Units)
		}
	}
	if len(f.Zones) == 0 {
		return
	}
	f.Text = rx.ZonesText(len(f.Zones), f.Area, t.terms.Units) + " would pass the label's season maximum"
	if t.terms.AlreadyApplied > 0 {
		f.Text += " with what is already applied"
	}
	f.Text += "."
	f.Hint = "lower the rate of this pass with --stabilizer-rate"
	plan.Findings = append(plan.Findings, f)
}

// shortened tells of rate fields whose names a shapefile can't hold.
func (t *task) shortened() (rx.Finding, bool) {
	var list []string
	for i, short := range t.p.ShortNames() {
		if name := t.p.Fields[i].Name; short != name {
			list = append(list, fmt.Sprintf("%s is %s", name, short))
		}
	}
	return rx.Finding{
		Rule: "short-name", Severity: rx.Note, About: rx.AboutPlan, Got: strings.Join(list, ", "),
		Text: "a shapefile's names hold ten bytes; in the dry layers' shapefiles " + strings.Join(list, ", "),
	}, len(list) > 0
}

// ofProduct tells that the layers hold product where the source counts N.
func (t *task) ofProduct(plan *rx.Plan) (rx.Finding, bool) {
	field := t.p.Fields[0]
	if !field.Nutrient {
		return rx.Finding{}, false
	}
	return rx.Finding{
		Rule: "layer-of-product", Severity: rx.Warning, About: rx.AboutPlan, Field: field.Name, Got: field.Symbol + " of product", Want: field.Counts(),
		Text: fmt.Sprintf("column %s of the dry layers holds %s of product, not of N as in the source; RX_RATE beside it holds what was prescribed, in %s.", field.Name, field.Symbol, field.Counts()),
		Hint: "set the spreader to product, and load " + field.Name + ", never RX_RATE",
	}, true
}

// beyondSpreader finds ground where a dry layer asks for a rate that the spreader
// can't meter at its usual speed.
func (t *task) beyondSpreader(l rx.Layer) (rx.Finding, bool) {
	if l.Product != rx.Dry || t.terms.Job == nil || t.terms.Job.Spreader == nil {
		return rx.Finding{}, false
	}
	limits, ok := t.terms.Job.Spreader.Rates.Get()
	if !ok {
		return rx.Finding{}, false
	}
	can := rx.Range[unit.DryRate](limits)
	s := t.terms.Units
	f := rx.Finding{
		Rule: "layer-spreader-limits", Severity: rx.Warning, About: rx.AboutEquipment,
		Got: dryText(l.Dry, s), Want: dryText(can, s),
	}
	for i, z := range t.p.Zones {
		if r := l.DryRate(t.p, i); r > 0 && !can.Contains(r) {
			f.Zones, f.Area = append(f.Zones, z.Number()), f.Area+z.Area
		}
	}
	f.Text = fmt.Sprintf("layer %s asks for %s; on %s that is outside what the spreader can spread at its usual speed, %s.",
		l.Name, f.Got, rx.GroundText(f.Area, s), f.Want)
	f.Hint = "change the speed or the gate, or take another way"
	return f, len(f.Zones) > 0
}

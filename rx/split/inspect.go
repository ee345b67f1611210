package split

import (
	"fmt"

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
			Text: fmt.Sprintf("%d zones (%.2f %s) stay untreated, as --leave-off allows.", n, plan.Way.LeftOff.In(s), unit.AreaSymbol(s)),
		})
	}
	if zones, area := t.offLabel(plan); len(zones) > 0 {
		add(rx.Finding{
			Rule: "plan-off-label", Severity: rx.Error, About: rx.AboutPlan, Zones: zones, Area: area,
			Text: fmt.Sprintf("%d zones (%.2f %s) would still be off label.", len(zones), area.In(s), unit.AreaSymbol(s)),
			Hint: "take another way",
		})
	}
	if most, ok := t.terms.Label.MostPerSeason(); ok {
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
	f.Text = fmt.Sprintf("%d zones (%.2f %s) would pass the label's season maximum with what is already applied.", len(f.Zones), f.Area.In(t.terms.Units), unit.AreaSymbol(t.terms.Units))
	f.Hint = "lower the rate of this pass with --stabilizer-rate"
	plan.Findings = append(plan.Findings, f)
}

package page

import (
	"fmt"
	"math"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// zoneTip says what a zone is, for a pointer that rests on it.
func zoneTip(r report.Result, q figures.Quantities, i int) string {
	z := r.Prescription.Zones[i]
	text := fmt.Sprintf("Zone %d: %s %s", z.Number(), q.Patch(z.Area), unit.Symbol[unit.Area](q.System))
	if !z.HasRate() {
		return text + ", no rate given"
	}
	text += fmt.Sprintf(", dry %s %s", q.Dry(z.Dry), unit.Symbol[unit.DryRate](q.System)) + carriedText(r.Prescription, q.Dry(z.Carrier))
	return text + fmt.Sprintf(", stabilizer %s %s if impregnated", q.SideRate(unit.StabilizerRate(r.Assessment.Loading, z.Carrier), r.Assessment.Range), unit.Symbol[unit.LiquidRate](q.System))
}

// liveTip says of a zone on the map what the page knows of it: its verdict and, of a plan,
// what it gets.
func liveTip(r report.Result, q figures.Quantities, i int) string {
	text := verdictTip(r, q, i)
	if r.Plan == nil {
		return text
	}
	return text + fmt.Sprintf("; by the plan %s %s", q.Rate(r.Plan.Stabilizer[i]), unit.Symbol[unit.LiquidRate](q.System)) + keptOutTip(r, q, []int{i})
}

// verdictTip says what a zone is, and its verdict.
func verdictTip(r report.Result, q figures.Quantities, i int) string {
	text := zoneTip(r, q, i) + ", " + report.VerdictText(r.Assessment.Verdicts[i])
	if r.Assessment.PassesSeason(i) {
		text += ", " + report.SeasonText
	}
	return text
}

// carriedText says how much of the dry is the product that carries the stabilizer, where
// it lies beside others.
func carriedText(p *rx.Prescription, rates string) string {
	if i := p.CarrierField(); i >= 0 {
		return ", " + rates + " of it " + p.Fields[i].Name
	}
	return ""
}

// planTip says the same, with the stabilizer that the plan gives.
func planTip(r report.Result, q figures.Quantities, i int) string {
	z := r.Prescription.Zones[i]
	text := fmt.Sprintf("Zone %d: %s %s", z.Number(), q.Patch(z.Area), unit.Symbol[unit.Area](q.System))
	if z.HasRate() {
		text += fmt.Sprintf(", dry %s %s", q.Dry(z.Dry), unit.Symbol[unit.DryRate](q.System)) + carriedText(r.Prescription, q.Dry(z.Carrier))
	}
	text += fmt.Sprintf(", stabilizer %s %s by the plan", q.Rate(r.Plan.Stabilizer[i]), unit.Symbol[unit.LiquidRate](q.System))
	return text + keptOutTip(r, q, []int{i})
}

// together is what zones that are drawn as one shape amount to.
type together struct {
	zones    int
	area     unit.Area
	dry      rx.Range[unit.DryRate] // of those that have a rate
	carrier  rx.Range[unit.DryRate] // of the product that carries the stabilizer
	rated    int
	verdicts [len(rx.Assessment{}.Shares)]int
	season   int // that would pass the season maximum
}

func sumUp(r report.Result, zones []int) together {
	s := together{zones: len(zones)}
	for _, i := range zones {
		z := r.Prescription.Zones[i]
		s.area += z.Area
		s.verdicts[r.Assessment.Verdicts[i]]++
		if r.Assessment.PassesSeason(i) {
			s.season++
		}
		if z.HasRate() {
			s.dry.Widen(z.Dry, s.rated == 0)
			s.carrier.Widen(z.Carrier, s.rated == 0)
			s.rated++
		}
	}
	return s
}

// start says how many zones there are, how large together, and their dry rates.
func (s together) start(p *rx.Prescription, q figures.Quantities, how string) string {
	text := fmt.Sprintf("%s %s: %s %s together", figures.Plural(s.zones, "zone", "zones"), how, q.Patch(s.area), unit.Symbol[unit.Area](q.System))
	if s.rated == 0 {
		return text + ", no rate given"
	}
	text += fmt.Sprintf(", dry %s %s", q.DryRange(s.dry.Min, s.dry.Max), unit.Symbol[unit.DryRate](q.System)) + carriedText(p, q.DryRange(s.carrier.Min, s.carrier.Max))
	if n := s.zones - s.rated; n > 0 {
		text += fmt.Sprintf(" (%d without a rate)", n)
	}
	return text
}

// verdictsText counts the verdicts, if there is more than one.
func (s together) verdictsText() string {
	var parts []string
	for _, v := range rx.Verdicts() {
		parts = s.counted(parts, s.verdicts[v], report.VerdictText(v))
	}
	return strings.Join(s.counted(parts, s.season, report.SeasonText), " and ")
}

// counted appends what n of the zones are; all of them without a number.
func (s together) counted(parts []string, n int, what string) []string {
	switch n {
	case 0:
		return parts
	case s.zones:
		return append(parts, what)
	}
	return append(parts, figures.Count(n)+" "+what)
}

// joinedTip says of zones that are drawn as one shape what [zoneTip] says of one,
// and the verdict.
func joinedTip(r report.Result, q figures.Quantities, zones []int, how string) string {
	s := sumUp(r, zones)
	text := s.start(r.Prescription, q, how)
	if s.rated == 0 {
		return text
	}
	var rates rx.Range[unit.LiquidRate]
	first := true
	for _, i := range zones {
		if z := r.Prescription.Zones[i]; z.HasRate() {
			rates.Widen(unit.StabilizerRate(r.Assessment.Loading, z.Carrier), first)
			first = false
		}
	}
	text += fmt.Sprintf(", stabilizer %s %s if impregnated", q.SideRange(rates, r.Assessment.Range), unit.Symbol[unit.LiquidRate](q.System))
	return text + ", " + s.verdictsText()
}

// joinedPlanTip says of them what [planTip] says of one, and how many the plan puts
// off label.
func joinedPlanTip(r report.Result, q figures.Quantities, zones []int, how string) string {
	var rates rx.Range[unit.LiquidRate]
	on, off := 0, 0
	pass, _ := r.Assessment.Terms.PassRange()
	for k, i := range zones {
		s := r.Plan.Stabilizer[i]
		rates.Widen(s, k == 0)
		switch {
		case s > 0 && pass.Contains(s):
			on++
		case s > 0:
			off++
		}
	}
	text := sumUp(r, zones).start(r.Prescription, q, how) + fmt.Sprintf(", stabilizer %s %s by the plan", q.SideRange(rates, r.Assessment.Range), unit.Symbol[unit.LiquidRate](q.System))
	text += keptOutTip(r, q, zones)
	switch {
	case off > 0:
		return text + fmt.Sprintf(", %s of them off label", figures.Count(off))
	case on > 0:
		return text + ", " + report.VerdictText(rx.Within)
	}
	return text
}

// joinedLayerTip adds what one layer spreads.
func joinedLayerTip(r report.Result, q figures.Quantities, l *rx.Layer, zones []int, how string) string {
	var rates rx.Range[unit.DryRate]
	first := true
	for _, i := range zones {
		if v := l.DryRate(r.Prescription, i); !math.IsNaN(float64(v)) {
			rates.Widen(v, first)
			first = false
		}
	}
	text := joinedPlanTip(r, q, zones, how)
	if first {
		return text
	}
	return text + fmt.Sprintf(", this layer %s %s", q.DryRange(rates.Min, rates.Max), unit.Symbol[unit.DryRate](q.System))
}

package check

import (
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// What is found of the spreader. That it can't spread some rates is told of a plan's own
// layers, by what they ask for.
var (
	spreaderLimits    = rx.NewRule[offLimits]("spreader-limits", rx.AboutEquipment, rx.NoPlan)
	patternCV         = rx.NewRule[uneven]("pattern-cv", rx.AboutEquipment, rx.EveryPlan)
	controllerDefault = rx.NewRule[fallsBack]("controller-default", rx.AboutEquipment, rx.TreatedPlans)
)

var (
	spreaderGiven = given(func(t rx.Terms) (*equip.Spreader, bool) {
		if t.Job == nil {
			return nil, false
		}
		return t.Job.Spreader, t.Job.Spreader != nil
	}, "no spreader is given (--job, spreader)")
	ratesGiven   = given(func(t rx.Terms) (label.Range[unit.DryRate], bool) { return t.Job.Spreader.Rates.Get() }, "the dry rates that the spreader can spread are not given (--job, spreader, rates)")
	panTestGiven = given(func(t rx.Terms) ([]equip.PanTest, bool) { return nil, len(t.Job.Spreader.PanTests) > 0 }, "no pan test of the spreader is given (--job, spreader, pan-test)")
)

func spreaderOf(a *rx.Assessment) *equip.Spreader { return a.Terms.Job.Spreader }

// product is what a machine spreads at a rate of its own.
type product struct {
	field string // empty if there is one product only
	rate  func(zone int) unit.DryRate
}

// products lists what is spread: the blend, or the products side by side.
func products(p *rx.Prescription) []product {
	if p.Blend() {
		return []product{{rate: func(zone int) unit.DryRate { return p.Zones[zone].Dry }}}
	}
	var list []product
	for f, field := range p.Fields {
		list = append(list, product{field.Name, func(zone int) unit.DryRate { return p.FieldRate(zone, f) }})
	}
	return list
}

// offLimits is what the spreader can't spread at its usual speed.
type offLimits struct {
	Got         rx.Range[unit.DryRate] // the lowest and the highest rate that it can't, or can
	Limits      rx.Range[unit.DryRate]
	Speed       unit.Speed
	Under, Over *outside       // nil if there is no such ground
	Loading     unit.Loading   // of an impregnated blend; 0 if nothing is treated
	Changes     []changedArea  // of verdicts, if it is impregnated
	Slow, Fast  *limitsAtSpeed // nil if there is one speed
}

// outside is the zones on one side of the limits, of all products.
type outside struct {
	Zones []int
	Area  unit.Area
	Rates rx.Range[unit.DryRate]
	Limit unit.DryRate
	Off   unit.Mass // by how much what is spread misses what is asked for
}

// changedArea is the ground that changes its verdict.
type changedArea struct {
	From, To rx.Verdict
	Area     unit.Area
}

// limitsAtSpeed are the limits at another speed: what a spreader meters per minute stays, so
// its limits per acre go with one over the speed.
type limitsAtSpeed struct {
	Limits rx.Range[unit.DryRate]
	Speed  unit.Speed
}

// findSpreaderLimits finds zones whose dry rate the spreader can't spread at its usual
// speed, what it puts down there instead, and what that does to the verdicts.
func findSpreaderLimits(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	spreader := *spreaderOf(a)
	limits, _ := spreader.Rates.Get()
	r := rx.Range[unit.DryRate](limits)
	in := make([]bool, len(p.Zones))
	d := offLimits{Got: r, Limits: r, Speed: spreader.Speed.Usual, Loading: a.Loading}
	d.Under = outsideOf(p, func(d, lands unit.DryRate) bool { return lands > d }, r.Min, spreader, in)
	d.Over = outsideOf(p, func(d, lands unit.DryRate) bool { return lands < d }, r.Max, spreader, in)
	switch {
	case d.Under == nil && d.Over == nil:
		return nil
	case d.Over == nil:
		d.Got = d.Under.Rates
	case d.Under == nil:
		d.Got = d.Over.Rates
	default:
		d.Got = rx.Range[unit.DryRate]{Min: d.Under.Rates.Min, Max: d.Over.Rates.Max}
	}
	if a.Loading > 0 {
		d.Changes = changedVerdicts(p, a, spreader)
	}
	if speed := spreader.Speed; speed.Low != speed.High {
		d.Slow, d.Fast = limitsAt(r, speed.Usual, speed.Low), limitsAt(r, speed.Usual, speed.High)
	}
	return selected(spreaderLimits.Find(rx.Warning, d), p, func(i int) bool { return in[i] })
}

func limitsAt(r rx.Range[unit.DryRate], usual, speed unit.Speed) *limitsAtSpeed {
	k := unit.DryRate(usual / speed)
	return &limitsAtSpeed{rx.Range[unit.DryRate]{Min: r.Min * k, Max: r.Max * k}, speed}
}

// outsideOf joins the zones with a rate beyond a limit, and marks them; nil if there are
// none.
func outsideOf(p *rx.Prescription, is func(asked, lands unit.DryRate) bool, limit unit.DryRate, spreader equip.Spreader, in []bool) *outside {
	o := &outside{Limit: limit}
	here := make([]bool, len(p.Zones))
	first := true
	for _, product := range products(p) {
		for i, z := range p.Zones {
			rate := product.rate(i)
			lands := spreader.Delivered(rate)
			if !is(rate, lands) { // a null is not
				continue
			}
			here[i], in[i] = true, true
			o.Rates.Widen(rate, first)
			first = false
			off := lands - rate
			o.Off += unit.MassOver(max(off, -off), z.Area)
		}
	}
	for i, z := range p.Zones {
		if here[i] {
			o.Zones, o.Area = append(o.Zones, z.Number()), o.Area+z.Area
		}
	}
	if first {
		return nil
	}
	return o
}

// changedVerdicts lists the ground that changes its verdict if the blend is impregnated
// and the spreader spreads what it can.
func changedVerdicts(p *rx.Prescription, a *rx.Assessment, spreader equip.Spreader) []changedArea {
	var changed [len(a.Shares)][len(a.Shares)]unit.Area
	for i, z := range p.Zones {
		s := unit.StabilizerRate(a.Loading, spreader.Delivered(z.Carrier))
		changed[a.Verdicts[i]][verdict(z, s, a.Range)] += z.Area
	}
	var list []changedArea
	for _, from := range rx.Verdicts() {
		for _, to := range rx.Verdicts() {
			if area := changed[from][to]; from != to && area > 0 {
				list = append(list, changedArea{from, to, area})
			}
		}
	}
	return list
}

// uneven is a pan test that comes out uneven at the spreader's swath.
type uneven struct {
	Test         int // its place in the job file, from 1
	Rate         unit.DryRate
	CV           unit.Ratio
	Pattern      panPattern
	Satisfactory unit.Ratio
	Poor         unit.Ratio
	Source       string // of these two
	Narrower     unit.Length
}

// panPattern tells how even the pattern is.
type panPattern struct {
	Test  equip.PanTest
	Swath unit.Length
}

// Words says it in a system's units.
func (p panPattern) Words(s unit.System) string { return p.Test.Tell(p.Swath, s) }

// findPatternCV finds pan tests of the spreader that come out uneven at its swath: over
// the bound up to which a coefficient of variation is satisfactory. [Fulton, Univ.
// Kentucky, on ASAE S341]
func findPatternCV(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	swath := spreaderOf(a).Swath
	var out []rx.Finding
	for i, test := range spreaderOf(a).PanTests {
		at, known := test.At(swath)
		if !known || at.CV() <= equip.SatisfactoryCV {
			continue
		}
		d := uneven{
			Test: i + 1, Rate: test.Rate.Or(0), CV: at.CV(), Pattern: panPattern{test, swath},
			Satisfactory: equip.SatisfactoryCV, Poor: equip.PoorCV, Source: equip.SourceCV,
		}
		if widest, ok := equip.WidestWithin(test.Patterns(), equip.SatisfactoryCV); ok && widest.Swath < swath {
			d.Narrower = widest.Swath
		}
		out = append(out, patternCV.Find(rx.Warning, d))
	}
	return out
}

// fallsBack are the rates at which the controller falls back.
type fallsBack struct {
	Cases   []fallback
	Range   rx.Range[unit.LiquidRate] // of the label
	Loading unit.Loading
}

// fallback is one of these rates, and what it would carry.
type fallback struct {
	Lost       bool // the position is lost; or the machine is outside every zone
	Rate       unit.DryRate
	Stabilizer unit.LiquidRate
	Verdict    rx.Verdict
}

func defaultRateGiven(_ *rx.Prescription, a *rx.Assessment) string {
	_, outside := spreaderOf(a).DefaultRate.Get()
	_, lost := spreaderOf(a).LostRate.Get()
	switch {
	case !outside && !lost:
		return "the controller's default-rate and lost-rate are not given (--job, spreader)"
	case a.Loading == 0:
		return "no zone is treated"
	}
	return ""
}

// findControllerDefault tells what the rates at which the controller falls back would
// carry if the blend is impregnated: outside every zone, and when the position is
// lost. A rate of 0 spreads nothing and is not told.
func findControllerDefault(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	d := fallsBack{Range: a.Range, Loading: a.Loading}
	severity := rx.Note
	for i, known := range []label.Known[unit.DryRate]{spreaderOf(a).DefaultRate, spreaderOf(a).LostRate} {
		rate := known.Or(0)
		if rate <= 0 {
			continue
		}
		stabilizer := unit.StabilizerRate(a.Loading, rate)
		v := verdict(rx.Zone{Dry: rate, Carrier: rate}, stabilizer, a.Range)
		if v != rx.Within {
			severity = rx.Warning
		}
		d.Cases = append(d.Cases, fallback{i == 1, rate, stabilizer, v})
	}
	if len(d.Cases) == 0 {
		return nil
	}
	return []rx.Finding{controllerDefault.Find(severity, d)}
}

package rx

import (
	"fmt"

	"rxsplit/label/unit"
)

// PassRange returns the rates that one pass may put on the ground: the label's
// range, as far as what is applied already leaves room under the season maximum.
// Where it leaves none, it says so.
func (t Terms) PassRange() (Range[unit.LiquidRate], string) {
	r := Range[unit.LiquidRate](t.Label.Rate)
	if most, ok := t.Label.SeasonMax.Get(); ok && t.AlreadyApplied > 0 {
		room := most - t.AlreadyApplied
		if room < r.Min*(1-leeway) {
			return r, fmt.Sprintf("the season maximum, %s, leaves %s beside the %s already applied, less than the label's least", most.Brief(t.Units), max(room, 0).Brief(t.Units), t.AlreadyApplied.Brief(t.Units))
		}
		r.Max = max(r.Min, min(r.Max, room))
	}
	return r, ""
}

// WhyNotRate says what one pass at a rate would do against [Terms.PassRange], as what
// follows "would"; it is empty where the rate is in it.
func (t Terms) WhyNotRate(s unit.LiquidRate) string {
	pass, _ := t.PassRange()
	switch {
	case pass.Under(s):
		return "leave ground below the label's least, " + pass.Min.Brief(t.Units)
	case !pass.Over(s):
		return ""
	case pass.Max < t.Label.Rate.Max:
		return "put ground above the " + pass.Max.Brief(t.Units) + " that the season maximum leaves"
	}
	return "put ground above the label's most, " + pass.Max.Brief(t.Units)
}

// FurtherLoading returns the loading of the further liquid that is impregnated beside the
// stabilizer; 0 if the job has none.
func (t Terms) FurtherLoading() unit.Loading {
	if t.Job == nil || t.Job.SecondLiquid == nil {
		return 0
	}
	return t.Job.SecondLiquid.Loading
}

// MostLoading returns the most stabilizer that a ton takes up by the label: what the
// further liquid leaves of the most liquid. It is 0 or less where that leaves nothing.
func (t Terms) MostLoading() (unit.Loading, bool) {
	most, ok := t.Label.MaxLiquid.Get()
	return most - t.FurtherLoading(), ok
}

// takesUp says how much a ton takes up.
func (t Terms) takesUp() string {
	most, _ := t.Label.MaxLiquid.Get()
	further := t.FurtherLoading()
	switch {
	case further == 0:
		return fmt.Sprintf("a ton takes up %s at most", most.Brief(t.Units))
	case further >= most:
		return fmt.Sprintf("a ton takes up %s at most, which %s alone, %s, fills", most.Brief(t.Units), t.Job.SecondLiquid.Name, further.Brief(t.Units))
	}
	return fmt.Sprintf("a ton takes up %s at most, %s of it %s", most.Brief(t.Units), further.Brief(t.Units), t.Job.SecondLiquid.Name)
}

// WhyNotLoading says what a loading would do against what the label says on it whatever
// the dry rate, as what follows "would": its own range per ton, and the most liquid that
// a ton takes up, the further liquid counted. It is empty where the loading is allowed.
func (t Terms) WhyNotLoading(l unit.Loading) string {
	if most, ok := t.MostLoading(); ok && (most <= 0 || Range[unit.Loading]{Max: most}.Over(l)) {
		return "load more than the label allows: " + t.takesUp()
	}
	per, ok := t.Label.Loading.Get()
	switch r := Range[unit.Loading](per); {
	case ok && r.Over(l):
		return "load more than the label's most, " + per.Max.Brief(t.Units)
	case ok && r.Under(l):
		return "load less than the label's least, " + per.Min.Brief(t.Units)
	}
	return ""
}

// DryWindow returns the dry rates at which blend with a loading, above 0, may be spread
// in one pass. All that the label says on a pass counts: its range of rates, what the
// season maximum leaves of it beside what is applied already, the smallest impregnated
// dry rate, its own range per ton, and the most liquid a ton takes up with the further
// liquid. What the spreader can spread, and its rate error, do not count. Where no rate
// is left, it says why.
func (t Terms) DryWindow(l unit.Loading) (Range[unit.DryRate], string) {
	none := Range[unit.DryRate]{}
	pass, why := t.PassRange()
	if why != "" {
		return none, why
	}
	if why := t.WhyNotLoading(l); why != "" {
		return none, l.Text(t.Units) + " would " + why
	}
	r := Range[unit.DryRate]{Min: unit.DryRateFor(pass.Min, l), Max: unit.DryRateFor(pass.Max, l)}
	if least, ok := t.Label.MinDryRate.Get(); ok && least > r.Min {
		if r.Over(least) {
			return none, fmt.Sprintf("no more than %s may be spread, and the smallest impregnated dry rate of the label is %s", r.Max.Brief(t.Units), least.Brief(t.Units))
		}
		r.Min = min(least, r.Max)
	}
	return r, ""
}

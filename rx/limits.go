package rx

import (
	"fmt"
	"math"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// PassRange returns the rates of stabilizer that one pass may put on the ground; see
// [Terms.Pass].
func (t Terms) PassRange() (Range[unit.LiquidRate], string) { return t.Pass(t.Stabilizer()) }

// Pass returns the rates of a liquid that one pass may put on the ground: its label's
// range, as far as what is applied already leaves room under the season maximum; any
// rate where no label is given. Where the season leaves none, it says so.
func (t Terms) Pass(l JobLiquid) (Range[unit.LiquidRate], string) {
	r, graded := l.Range()
	if !graded {
		return Range[unit.LiquidRate]{Max: unit.LiquidRate(math.Inf(1))}, ""
	}
	if most, ok := l.Label.SeasonMax.Get(); ok && l.AlreadyApplied > 0 {
		room := most - l.AlreadyApplied
		if !l.HasRoom(l.AlreadyApplied) {
			if room < most/10_000 {
				room = 0 // less than is printed of what is applied
			}
			return r, fmt.Sprintf("the season leaves %s, less than the label's least, %s (season maximum %s, %s already applied)", room.Brief(t.Units), r.Min.Brief(t.Units), most.Brief(t.Units), l.AlreadyApplied.Brief(t.Units))
		}
		r.Max = max(r.Min, min(r.Max, room))
	}
	return r, ""
}

// WhyNotRate says what one pass of the stabilizer at a rate would do against
// [Terms.PassRange], as what follows "would"; it is empty where the rate is in it.
func (t Terms) WhyNotRate(s unit.LiquidRate) string { return t.whyNotRate(t.Stabilizer(), s) }

func (t Terms) whyNotRate(l JobLiquid, s unit.LiquidRate) string {
	pass, _ := t.Pass(l)
	label, _ := l.Range()
	switch {
	case pass.Under(s):
		return "leave ground below the label's least, " + pass.Min.Brief(t.Units)
	case !pass.Over(s):
		return ""
	case pass.Max < label.Max:
		return "put ground above the " + pass.Max.Brief(t.Units) + " that the season maximum leaves"
	}
	return "put ground above the label's most, " + pass.Max.Brief(t.Units)
}

// MostLiquid returns the most liquid that a ton takes up, by all labels of what goes on
// the blend.
func (t Terms) MostLiquid() (most unit.Loading, bounded bool) {
	none := Unbounded().MostLiquid
	most = none
	for k, l := range t.onBlend() {
		if k > 0 || !t.Sprayed {
			most = min(most, l.Bounds().MostLiquid)
		}
	}
	return most, most < none
}

// beside is what a ton takes up of other liquids.
type beside struct {
	names []string
	sum   unit.Loading
}

// besides adds up the loadings of all liquids on the blend but the one at k.
func (t Terms) besides(k int, loadings []unit.Loading) (b beside) {
	for j, l := range t.onBlend() {
		if j != k && j < len(loadings) && loadings[j] > 0 {
			b.names, b.sum = append(b.names, l.Name), b.sum+loadings[j]
		}
	}
	return b
}

// room returns the most that a ton takes up of one liquid beside others; 0 or less where
// these leave nothing, infinite where no label says it.
func (t Terms) room(b beside) unit.Loading {
	most, _ := t.MostLiquid()
	return most - b.sum
}

// takesUp says how much a ton takes up.
func (t Terms) takesUp(b beside) string {
	most, _ := t.MostLiquid()
	names := strings.Join(b.names, " and ")
	switch {
	case b.sum == 0:
		return fmt.Sprintf("a ton takes up %s at most", most.Brief(t.Units))
	case b.sum >= most:
		return fmt.Sprintf("a ton takes up %s at most, which %s alone, %s, fills", most.Brief(t.Units), names, b.sum.Brief(t.Units))
	}
	return fmt.Sprintf("a ton takes up %s at most, %s of it %s", most.Brief(t.Units), b.sum.Brief(t.Units), names)
}

// Fixed returns the loadings of the liquids on the blend that the plant has fixed, 0 for
// the others; that of the stabilizer, which other loads may differ from, is given.
func (t Terms) Fixed(stabilizer unit.Loading) []unit.Loading {
	list := []unit.Loading{stabilizer}
	for _, l := range t.FurtherOn(equip.OnBlend) {
		list = append(list, l.Loading)
	}
	return list
}

// WhyNotLoading says what the stabilizer's loading, the first of the loadings of a load,
// would do against what the label says on it whatever the dry rate, as what follows
// "would": its own range per ton, and the most liquid that a ton takes up, the further
// liquids counted. It is empty where the loading is allowed.
func (t Terms) WhyNotLoading(loadings ...unit.Loading) string {
	return t.whyNotLoading(0, t.Stabilizer(), loadings)
}

func (t Terms) whyNotLoading(k int, liquid JobLiquid, loadings []unit.Loading) string {
	l, others := loadings[k], t.besides(k, loadings)
	if most := t.room(others); most <= 0 || (Range[unit.Loading]{Max: most}).Over(l) {
		return "load more than the label allows: " + t.takesUp(others)
	}
	switch per := liquid.Bounds().Loading; {
	case per.Over(l):
		return "load more than the label's most, " + per.Max.Brief(t.Units)
	case per.Under(l):
		return "load less than the label's least, " + per.Min.Brief(t.Units)
	}
	return ""
}

// DryWindow returns the dry rates at which blend with the loadings of its liquids, in the
// order of [Load.Loadings], may be spread in one pass. All that the labels say on a pass
// counts: the ranges of rates, what season maxima leave of them beside what is applied
// already, the bounds on impregnated dry, the ranges per ton, and the most liquid a ton
// takes up. What the spreader can spread, and its rate error, do not count. Where no
// rate is left, it says why.
func (t Terms) DryWindow(loadings ...unit.Loading) (Range[unit.DryRate], string) {
	all, first := Range[unit.DryRate]{}, true
	for k, l := range t.onBlend() {
		if k >= len(loadings) || loadings[k] == 0 || l.Label == nil && k > 0 {
			continue
		}
		own, why := t.OwnDryWindow(k, loadings)
		switch {
		case why != "":
			return Range[unit.DryRate]{}, l.named(why)
		case first:
			all, first = own, false
		case own.Over(all.Min) || own.Under(all.Max):
			return Range[unit.DryRate]{}, fmt.Sprintf("%s stays on label from %s to %s, the other liquids from %s to %s",
				l.Name, own.Min.Brief(t.Units), own.Max.Brief(t.Units), all.Min.Brief(t.Units), all.Max.Brief(t.Units))
		default:
			all.Min = max(all.Min, own.Min)
			all.Max = max(all.Min, min(all.Max, own.Max))
		}
	}
	return all, ""
}

// OwnDryWindow does the same for one liquid of the blend, at k of the loadings, by its own
// label; the others count in what a ton takes up.
func (t Terms) OwnDryWindow(k int, loadings []unit.Loading) (Range[unit.DryRate], string) {
	none := Range[unit.DryRate]{}
	liquid, l := t.onBlend()[k], loadings[k]
	pass, why := t.Pass(liquid)
	if why != "" {
		return none, why
	}
	if why := t.whyNotLoading(k, liquid, loadings); why != "" {
		return none, l.Text(t.Units) + " would " + why
	}
	r := Range[unit.DryRate]{Min: unit.DryRateFor(pass.Min, l), Max: unit.DryRateFor(pass.Max, l)}
	if why := liquid.insideDry(&r, t.Units); why != "" {
		return none, why
	}
	return r, ""
}

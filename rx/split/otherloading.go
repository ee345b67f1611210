package split

import (
	"rxsplit/label/unit"
	"rxsplit/rx"
)

var loadingChanged = rx.NewRule[otherLoading]("loading-changed", rx.AboutPlan, rx.EveryPlan)

// otherLoading is a load that is dosed otherwise than the plant has fixed, and what speaks
// against that there.
type otherLoading struct {
	Load    int // its number; 0 if there is one
	Loading rx.Dose
	Fixed   unit.Loading
	Would   string          // what the fixed one would do against what the label says on loadings
	Rate    unit.LiquidRate // that it would put where it spreads Dry
	Dry     unit.DryRate
	Limit   unit.LiquidRate // that this is beyond

	OverLabel, OverSeason, UnderLabel bool
	NoRoom                            bool // on label, but not with the rate error
	RateError                         unit.Ratio
}

// otherLoadings finds loads of a way that are dosed otherwise than the plant has fixed.
func (t *Task) otherLoadings(w rx.Way) []rx.Finding {
	fixed := t.terms.Loading
	if fixed == 0 {
		return nil
	}
	var out []rx.Finding
	for i, load := range w.Loads {
		if load.Loading == fixed || load.Loading == 0 {
			continue
		}
		d := otherLoading{Load: loadNumber(w, i), Loading: t.terms.Dose(load.Loading), Fixed: fixed, RateError: t.terms.RateError}
		t.whyNot(&d, load)
		out = append(out, loadingChanged.Find(rx.Warning, d))
	}
	return out
}

// loadNumber is a load's number, from 1; 0 if the way has one load.
func loadNumber(w rx.Way, i int) int {
	if len(w.Loads) == 1 {
		return 0
	}
	return i + 1
}

// whyNot says why blend that is spread at the dry rates is not given the fixed loading.
func (t *Task) whyNot(d *otherLoading, load rx.Load) {
	dry := load.Rates
	pass, _ := t.terms.PassRange()
	low, high := unit.StabilizerRate(d.Fixed, dry.Min), unit.StabilizerRate(d.Fixed, dry.Max)
	d.Rate, d.Dry = high, dry.Max
	d.Would = t.terms.WhyNotLoading(append([]unit.Loading{d.Fixed}, load.Further...)...)
	switch {
	case d.Would != "":
	case t.a.Range.Over(high):
		d.OverLabel, d.Limit = true, t.a.Range.Max
	case pass.Over(high):
		d.OverSeason, d.Limit = true, pass.Max
	case pass.Under(low):
		d.UnderLabel, d.Rate, d.Dry, d.Limit = true, low, dry.Min, pass.Min
	default:
		d.NoRoom = true
	}
}

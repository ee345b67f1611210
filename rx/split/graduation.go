package split

import (
	"fmt"
	"math"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// Loadings and the graduations of a plant's meter.
var (
	noGraduation = rx.NewRule[betweenTwo]("loading-graduation/none on label", rx.AboutPlan, rx.EveryPlan)
	lessRoom     = rx.NewRule[roundedIn]("loading-graduation/less room", rx.AboutPlan, rx.EveryPlan)
)

// betweenTwo is a loading between two graduations, where none is on label.
type betweenTwo struct {
	Name         string // of a further liquid; empty for the stabilizer
	Load         int    // its number; 0 if there is one
	Loading      unit.Loading
	Window       rx.Range[unit.Loading] // that keeps every rate on label; 0 if it is that loading alone
	Graduation   unit.Loading
	Below, Above landing
	OneRate      bool // the label has one rate, which leaves no room
}

// roundedIn is a loading for which the room for the rate error gave way to the meter.
type roundedIn struct {
	Load      int
	Loading   unit.Loading
	Rates     rx.Range[unit.LiquidRate] // on the ground
	Room      unit.Ratio                // the rate error that there is room for
	RateError unit.Ratio
}

// betweenGraduations finds loads of a way whose loading falls between the graduations
// of a plant's meter, and says what the graduations beside it put on the ground. A
// loading is never rounded out of the label's range.
func (t *Task) betweenGraduations(w rx.Way) []rx.Finding {
	var out []rx.Finding
	for i, load := range w.Loads {
		between := t.notMetered(loadNumber(w, i), load)
		for _, d := range between {
			out = append(out, noGraduation.Find(rx.Warning, d))
		}
		if d, less := t.roundedIn(loadNumber(w, i), load); less && len(between) == 0 {
			out = append(out, lessRoom.Find(rx.Note, d))
		}
	}
	return out
}

// between tells of a window of a liquid, at k of the loadings, without a graduation.
func (t *Task) between(number, k int, load rx.Load, window rx.Range[unit.Loading]) betweenTwo {
	l, loading := t.terms.Stabilizer(), load.Loadings()[k]
	if k > 0 {
		l = t.terms.FurtherOn(equip.OnBlend)[k-1]
	}
	below, above := t.terms.Metered(loading)
	label, _ := l.Range()
	d := betweenTwo{
		Name: l.Further(), Load: number, Loading: loading, Graduation: t.terms.Graduation(),
		Below: t.landsAt(l, below, load), Above: t.landsAt(l, above, load), OneRate: label.Min == label.Max,
	}
	if window.Max > window.Min*(1+1e-9) {
		d.Window = window
	}
	return d
}

// landing is what a loading puts on the ground, and by how much that leaves the label.
type landing struct {
	Loading      unit.Loading
	Rates        rx.Range[unit.LiquidRate]
	Below, Above unit.Ratio // the ends of the pass; 0 if it is not
	Season       bool       // the season maximum leaves less than the label's most
}

func (t *Task) landsAt(liquid rx.JobLiquid, l unit.Loading, load rx.Load) landing {
	pass, _ := t.terms.Pass(liquid)
	label, _ := liquid.Range()
	r := rx.Range[unit.LiquidRate]{Min: unit.StabilizerRate(l, load.Rates.Min), Max: unit.StabilizerRate(l, load.Rates.Max)}
	d := landing{Loading: l, Rates: r, Season: pass.Max < label.Max}
	if pass.Under(r.Min) {
		d.Below = unit.Ratio(1 - r.Min/pass.Min)
	}
	if pass.Over(r.Max) {
		d.Above = unit.Ratio(r.Max/pass.Max - 1)
	}
	return d
}

// Words says it.
func (d landing) Words(s unit.System) string {
	rates := unit.Digits(d.Rates.Min.In(s), 5)
	if most := unit.Digits(d.Rates.Max.In(s), 5); most != rates {
		rates += " to " + most
	}
	text := fmt.Sprintf("%s puts %s %s on the ground", unit.Thousands(d.Loading.Text(s)), rates, unit.Symbol[unit.LiquidRate](s))
	if d.Below > 0 {
		text += ", " + unit.Digits(d.Below.In(s), 2) + " % below the label's least"
	}
	if d.Above > 0 {
		most := "its most"
		if d.Season {
			most = "what the season maximum leaves"
		}
		text += ", " + unit.Digits(d.Above.In(s), 2) + " % above " + most
	}
	return text
}

// roundedIn tells of a loading for which the room for the rate error gave way to the
// meter.
func (t *Task) roundedIn(number int, load rx.Load) (d roundedIn, less bool) {
	e := unit.LiquidRate(t.margin())
	r := rx.Range[unit.LiquidRate]{Min: unit.StabilizerRate(load.Loading, load.Rates.Min), Max: unit.StabilizerRate(load.Loading, load.Rates.Max)}
	pass, _ := t.terms.PassRange()
	within := rx.Range[unit.LiquidRate]{Min: pass.Min / (1 - e), Max: pass.Max / (1 + e)}
	if e == 0 || load.Loading == t.terms.Loading || !within.Under(r.Min) && !within.Over(r.Max) || t.terms.CanMeter(t.marginWindow(load.Rates)) {
		return d, false
	}
	room := roomFor(min(1-float64(pass.Min/r.Min), float64(pass.Max/r.Max)-1), t.terms.RateError)
	return roundedIn{number, load.Loading, r, room, t.terms.RateError}, true
}

// roomFor rounds the rate error that there is room for down to a decimal of a percent, as
// the decision does, or to as many as tell it from the whole error, of which it falls short.
func roomFor(room float64, whole unit.Ratio) unit.Ratio {
	for decimals := 1; ; decimals++ {
		step := math.Pow10(decimals)
		if down := math.Floor(float64(100*room*step)+1e-9) / step; decimals == 9 || down > 0 && down < whole.In(unit.US)*(1-1e-12) {
			return unit.Ratio(down) * unit.Percent
		}
	}
}

// marginWindow returns the loadings that leave room for the rate error; an empty range
// at 0 where none does.
func (t *Task) marginWindow(dry rx.Range[unit.DryRate]) rx.Range[unit.Loading] {
	if w, _ := t.terms.WindowFor(dry, t.margin()); w != nil {
		return *w
	}
	return rx.Range[unit.Loading]{}
}

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

package split

import (
	"fmt"
	"math"
	"strconv"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// betweenGraduations finds loads of a way whose loading falls between the graduations
// of a plant's meter, and says what the graduations beside it put on the ground. A
// loading is never rounded out of the label's range.
func (t *task) betweenGraduations(w rx.Way) []rx.Finding {
	var out []rx.Finding
	for i, load := range w.Loads {
		window, _ := t.terms.WindowFor(load.Rates, 0)
		if window == nil || load.Loading == t.terms.Loading {
			continue
		}
		what := "the loading"
		if len(w.Loads) > 1 {
			what = fmt.Sprintf("the loading of load %d", i+1)
		}
		if f, ok := t.cantMeter(what, load, *window); ok {
			out = append(out, f)
		} else if f, ok := t.lessRoom(what, load); ok {
			out = append(out, f)
		}
	}
	return out
}

// cantMeter tells of a window without a graduation.
func (t *task) cantMeter(what string, load rx.Load, window rx.Range[unit.Loading]) (rx.Finding, bool) {
	if t.terms.CanMeter(window) {
		return rx.Finding{}, false
	}
	s := t.terms.Units
	below, above := t.terms.Metered(load.Loading)
	only := load.Loading.Text(s) + " alone keeps"
	if window.Max > window.Min*(1+1e-9) {
		only = window.Min.Text(s) + " to " + window.Max.Text(s) + " keep"
	}
	hint := "leave room for the meter with --rate-error 1%, take another way, or dose each batch as finely as the blender sheet says"
	if t.a.Range.Min == t.a.Range.Max { // which leaves no room
		hint = "dose each batch as finely as the blender sheet says, or take another way"
	}
	return rx.Finding{
		Rule: "loading-graduation", Severity: rx.Warning, About: rx.AboutPlan, Got: load.Loading.Text(s), Want: "a whole number of " + t.terms.Graduation().Text(s),
		Text: fmt.Sprintf("%s falls between the graduations of a meter, %s apart: %s every rate on label. %s; %s.",
			what, t.terms.Graduation().Text(s), only, t.landsAt(below, load), t.landsAt(above, load)),
		Hint: hint,
	}, true
}

// byMeter says, for the list of ways, what the rates become where no graduation is on
// label and the lower one beside the loading is taken; empty where one is.
func (t *task) byMeter(w rx.Way, i int, load rx.Load) string {
	window, _ := t.terms.WindowFor(load.Rates, 0)
	if window == nil || load.Loading == t.terms.Loading || t.terms.CanMeter(*window) {
		return ""
	}
	below, _ := t.terms.Metered(load.Loading)
	text := "; "
	if len(w.Loads) > 1 {
		text += fmt.Sprintf("load %d, ", i+1)
	}
	return text + "as metered, " + t.landsAt(below, load)
}

// landsAt says what a loading puts on the ground of a load, and by how much that leaves
// the label.
func (t *task) landsAt(l unit.Loading, load rx.Load) string {
	s := t.terms.Units
	r, _ := t.terms.PassRange()
	low, high := unit.StabilizerRate(l, load.Rates.Min), unit.StabilizerRate(l, load.Rates.Max)
	rates := fmt.Sprintf("%.5g", low.In(s))
	if most := fmt.Sprintf("%.5g", high.In(s)); most != rates {
		rates += " to " + most
	}
	text := fmt.Sprintf("%s puts %s %s on the ground", l.Text(s), rates, unit.Symbol[unit.LiquidRate](s))
	if r.Under(low) {
		text += fmt.Sprintf(", %.2g %% below the label's least", 100*(1-float64(low/r.Min)))
	}
	if r.Over(high) {
		most := "its most"
		if r.Max < t.a.Range.Max {
			most = "what the season maximum leaves"
		}
		text += fmt.Sprintf(", %.2g %% above %s", 100*(float64(high/r.Max)-1), most)
	}
	return text
}

// lessRoom tells of a loading for which the room for the rate error gave way to the
// meter.
func (t *task) lessRoom(what string, load rx.Load) (rx.Finding, bool) {
	e := unit.LiquidRate(t.margin())
	low, high := unit.StabilizerRate(load.Loading, load.Rates.Min), unit.StabilizerRate(load.Loading, load.Rates.Max)
	pass, _ := t.terms.PassRange()
	within := rx.Range[unit.LiquidRate]{Min: pass.Min / (1 - e), Max: pass.Max / (1 + e)}
	if e == 0 || !within.Under(low) && !within.Over(high) || t.terms.CanMeter(t.marginWindow(load.Rates)) {
		return rx.Finding{}, false
	}
	room := roomText(min(1-float64(pass.Min/low), float64(pass.Max/high)-1), t.terms.RateError)
	s := t.terms.Units
	return rx.Finding{
		Rule: "loading-graduation", Severity: rx.Note, About: rx.AboutPlan, Got: room, Want: t.terms.RateError.String(),
		Text: fmt.Sprintf("%s is rounded to %s, which a meter reads and which puts %.5g to %.5g %s on the ground: that leaves room for a rate error of %s, not of %s.",
			what, load.Loading.Text(s), low.In(s), high.In(s), unit.Symbol[unit.LiquidRate](s), room, t.terms.RateError),
	}, true
}

// roomText prints the rate error that there is room for, rounded down and with two
// decimals or as many as tell it from the whole error, of which it falls short.
func roomText(room float64, whole unit.Ratio) string {
	for decimals := 2; ; decimals++ {
		step := math.Pow10(decimals)
		if down := math.Floor(100*room*step+1e-9) / step; decimals == 9 || down > 0 && down < whole.In(unit.US)*(1-1e-12) {
			return strconv.FormatFloat(down, 'f', -1, 64) + " %"
		}
	}
}

// marginWindow returns the loadings that leave room for the rate error; an empty range
// at 0 where none does.
func (t *task) marginWindow(dry rx.Range[unit.DryRate]) rx.Range[unit.Loading] {
	if w, _ := t.terms.WindowFor(dry, t.margin()); w != nil {
		return *w
	}
	return rx.Range[unit.Loading]{}
}

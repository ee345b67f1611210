package split

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// oneLoad impregnates the whole blend at another loading: the one that the plant has
// fixed if it serves, else the one that puts the intended rate on the field as a whole,
// as far as the label lets it. Where zones may be left off, it serves the run of dry
// rates with the most acres that one loading can serve with room for the rate error.
func oneLoad(t *Task) (solution, string) {
	steps := t.steps()
	dry, _, _ := span(steps)
	if w, why := t.window(dry); w == nil {
		if !t.terms.LeaveOff {
			return solution{}, why
		}
		all := steps
		if steps = t.widestRun(all, t.margin()); len(steps) == 0 {
			steps = t.widestRun(all, 0)
		}
		if len(steps) == 0 {
			return solution{}, "no zone can be served: " + why
		}
	}
	g := grouping{t.serve(steps)}
	load := g[0]
	s := solution{Way: rx.Way{
		Passes: 1, Loads: g,
		Why: fmt.Sprintf("one loading of %s serves every treated zone", t.terms.LoadingText(load.Loading)),
	}, gets: g.gets}
	s.LeftZones, s.LeftOff = t.leftOff(g.serves)
	if len(s.LeftZones) == 0 {
		s.layers = []part{t.carried("dry", nil, load)}
		return s, ""
	}
	s.Passes = 2
	s.Why = fmt.Sprintf("one loading of %s serves %s; the rest stays untreated", t.terms.LoadingText(load.Loading), dryText(load.Rates, t.terms.Units))
	s.layers = []part{
		t.carried("dry-treated", t.onZones(func(z rx.Zone) bool { return z.Treated() && g.serves(z.Carrier) }), load),
		{name: "dry-untreated", rate: t.onZones(func(z rx.Zone) bool { return !z.Treated() || !g.serves(z.Carrier) })},
	}
	return s, ""
}

// widestRun returns the run of steps with the most acres that one loading serves with a
// rate error; of equals the lowest. It is empty where none serves any.
func (t *Task) widestRun(steps []step, e unit.Ratio) (best []step) {
	var most, area unit.Area
	to := 0
	for from := range steps {
		if to < from {
			to, area = from, 0
		}
		for to < len(steps) {
			w, _ := t.terms.WindowFor(rx.Range[unit.DryRate]{Min: steps[from].rate, Max: steps[to].rate}, e)
			if w == nil {
				break
			}
			area += steps[to].area
			to++
		}
		if to > from {
			if area > most {
				most, best = area, steps[from:to]
			}
			area -= steps[from].area
		}
	}
	return best
}

func dryText(r rx.Range[unit.DryRate], s unit.System) string {
	if r.Min == r.Max {
		return r.Min.Brief(s)
	}
	return fmt.Sprintf("%s to %s %s", unit.Digits(r.Min.In(s), 4), unit.Digits(r.Max.In(s), 4), unit.Symbol[unit.DryRate](s))
}

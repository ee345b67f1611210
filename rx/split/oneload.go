package split

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// oneLoad impregnates the whole blend at another loading: the one that the plant has
// fixed if it serves, else the one that puts the intended rate on the field as a whole,
// as far as the label lets it. Where zones may be left off, it serves the run of dry
// rates with the most acres that one loading can serve.
type oneLoad struct{}

// served is a run of dry rates and the loading that serves it.
type served struct {
	dry     rx.Range[unit.DryRate]
	area    unit.Area
	mass    unit.Mass
	loading unit.Loading
}

func (s served) has(r unit.DryRate) bool { return r >= s.dry.Min && r <= s.dry.Max }

func (oneLoad) solve(t *task) (served, string) {
	steps := t.steps()
	dry, area, mass := span(steps)
	window, why := t.window(dry)
	if window == nil {
		if !t.terms.LeaveOff {
			return served{}, why
		}
		if steps, window = t.widestRun(steps); window == nil {
			return served{}, "no zone can be served: " + why
		}
		dry, area, mass = span(steps)
	}
	return served{dry, area, mass, t.loading(unit.DryRate(float64(mass)/float64(area)), dry, *window)}, ""
}

// widestRun returns the run of steps with the most acres that one loading serves;
// of equals the lowest.
func (t *task) widestRun(steps []step) ([]step, *rx.Range[unit.Loading]) {
	var best []step
	var window *rx.Range[unit.Loading]
	var most, area unit.Area
	to := 0
	for from := range steps {
		if to < from {
			to, area = from, 0
		}
		for to < len(steps) {
			w, _ := t.window(rx.Range[unit.DryRate]{Min: steps[from].rate, Max: steps[to].rate})
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
	if best != nil {
		window, _ = t.window(rx.Range[unit.DryRate]{Min: best[0].rate, Max: best[len(best)-1].rate})
	}
	return best, window
}

func (m oneLoad) judge(t *task) rx.Way {
	s, why := m.solve(t)
	if why != "" {
		return rx.Way{Why: why}
	}
	w := rx.Way{
		Possible: true, Loads: 1, Passes: 1, Loadings: []unit.Loading{s.loading},
		Rate:       rx.Range[unit.LiquidRate]{Min: unit.StabilizerRate(s.loading, s.dry.Min), Max: unit.StabilizerRate(s.loading, s.dry.Max)},
		Stabilizer: s.loading.Of(s.mass),
		Why:        fmt.Sprintf("one loading of %s serves every treated zone", t.terms.LoadingText(s.loading)),
	}
	w.LeftZones, w.LeftOff = t.leftOff(s.has)
	if len(w.LeftZones) > 0 {
		w.Passes = 2
		w.Why = fmt.Sprintf("one loading of %s serves %s; the rest stays untreated", t.terms.LoadingText(s.loading), dryText(s.dry, t.terms.Units))
	}
	return w
}

func (m oneLoad) plan(t *task, w rx.Way) (*rx.Plan, error) {
	s, _ := m.solve(t)
	plan := &rx.Plan{}
	if len(w.LeftZones) == 0 {
		layer := t.sourceLayer("dry")
		t.treat(&layer, s.loading, s.mass, t.p.CarrierField())
		plan.Layers = []rx.Layer{layer}
	} else {
		layer := t.zonesLayer("dry-treated", func(z rx.Zone) bool { return z.Treated() && s.has(z.Carrier) })
		t.treat(&layer, s.loading, s.mass, t.p.CarrierField())
		plan.Layers = []rx.Layer{layer, t.zonesLayer("dry-untreated", func(z rx.Zone) bool { return !z.Treated() || !s.has(z.Carrier) })}
	}
	plan.Stabilizer = t.stabilizer(func(z rx.Zone) (unit.Loading, unit.DryRate) {
		if !s.has(z.Carrier) {
			return 0, z.Carrier
		}
		return s.loading, z.Carrier
	})
	return plan, nil
}

// zonesLayer is a dry layer that serves the zones for which keep is true and
// holds 0 elsewhere.
func (t *task) zonesLayer(name string, keep func(rx.Zone) bool) rx.Layer {
	return t.dryLayer(name, func(z, f int) unit.DryRate {
		if !keep(t.p.Zones[z]) {
			return 0
		}
		return t.p.FieldRate(z, f)
	})
}

func dryText(r rx.Range[unit.DryRate], s unit.System) string {
	if r.Min == r.Max {
		return r.Min.Brief(s)
	}
	return fmt.Sprintf("%.4g to %.4g %s", r.Min.In(s), r.Max.In(s), unit.DryRateSymbol(s))
}

package split

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// loads impregnates as few loads as the label needs, each with a loading of its
// own for a run of dry rates; among the fewest, the cuts are those that bring the
// ground nearest to the intended rate.
type loads struct{}

// grouping is the loads that were found, the lowest dry rates first.
type grouping []served

// of returns the load that serves a dry rate.
func (g grouping) of(r unit.DryRate) (int, bool) {
	for i, s := range g {
		if s.has(r) {
			return i, true
		}
	}
	return 0, false
}

// solve returns the loads, how many of them would leave room for the spreader's rate error
// everywhere where that takes more, and what stands in the way of any.
func (loads) solve(t *task) (g grouping, roomier int, why string) {
	steps := t.steps()
	reachable := steps[:0:0]
	for _, s := range steps {
		if window, reason := t.window(rx.Range[unit.DryRate]{Min: s.rate, Max: s.rate}); window != nil {
			reachable = append(reachable, s)
		} else if why == "" {
			why = fmt.Sprintf("zones at %s can't be served: %s", s.rate.Brief(t.terms.Units), reason)
		}
	}
	if len(reachable) == 0 || why != "" && !t.terms.LeaveOff {
		return nil, 0, why
	}
	g, roomier = t.fewest(reachable)
	return g, roomier, ""
}

// serves is which loadings serve a range of dry rates; nil if none does.
type serves func(dry rx.Range[unit.DryRate]) *rx.Range[unit.Loading]

// fewest groups the steps into the fewest loads; among those, into loads that all
// leave room for the spreader's rate error, if such a grouping takes no more of them. If
// it takes more, it returns how many.
func (t *task) fewest(steps []step) (best grouping, roomier int) {
	best = t.group(steps, func(dry rx.Range[unit.DryRate]) *rx.Range[unit.Loading] {
		window, _ := t.window(dry)
		return window
	})
	e := t.margin()
	if e == 0 {
		return best, 0
	}
	roomy := func(dry rx.Range[unit.DryRate]) *rx.Range[unit.Loading] {
		window, _ := t.terms.WindowFor(dry, e)
		return window
	}
	for _, s := range steps {
		if roomy(rx.Range[unit.DryRate]{Min: s.rate, Max: s.rate}) == nil {
			return best, 0
		}
	}
	safe := t.group(steps, roomy)
	if len(safe) == len(best) {
		return safe, 0
	}
	return best, len(safe)
}

func (m loads) judge(t *task) rx.Way {
	g, roomier, why := m.solve(t)
	if why != "" {
		return rx.Way{Why: why}
	}
	w := rx.Way{Possible: true, Loads: len(g), Passes: len(g)}
	for i, s := range g {
		w.Loadings = append(w.Loadings, s.loading)
		w.Stabilizer += s.loading.Of(s.mass)
		w.Rate.Widen(unit.StabilizerRate(s.loading, s.dry.Min), i == 0)
		w.Rate.Widen(unit.StabilizerRate(s.loading, s.dry.Max), false)
	}
	w.LeftZones, w.LeftOff = t.leftOff(func(r unit.DryRate) bool { _, ok := g.of(r); return ok })
	w.Why = "the dry rates cut at " + cuts(g, t.terms.Units)
	if len(g) == 1 {
		w.Why = "one load serves every rate"
	}
	if roomier > 0 {
		w.Why += fmt.Sprintf("; %d loads would leave room for the rate error of %s everywhere", roomier, t.terms.RateError)
	}
	if len(w.LeftZones) > 0 {
		w.Passes++
		w.Why += "; what no load can serve stays untreated"
	}
	return w
}

// cuts names where the loads part: the lowest rate of each but the first.
func cuts(g grouping, s unit.System) string {
	text := ""
	for i, run := range g[1:] {
		if i > 0 {
			text += ", "
		}
		text += run.dry.Min.Brief(s)
	}
	return text
}

func (m loads) plan(t *task, w rx.Way) (*rx.Plan, error) {
	g, _, _ := m.solve(t)
	plan := &rx.Plan{}
	rest := false
	for _, z := range t.p.Zones {
		if _, ok := g.of(z.Carrier); !ok && z.HasRate() && z.Dry > 0 {
			rest = true
		}
	}
	for i, s := range g {
		layer := t.zonesLayer(fmt.Sprintf("dry-%d", i+1), func(z rx.Zone) bool { return z.Treated() && s.has(z.Carrier) })
		t.treat(&layer, s.loading, s.mass, t.p.CarrierField())
		plan.Layers = append(plan.Layers, layer)
	}
	if rest {
		plan.Layers = append(plan.Layers, t.zonesLayer("dry-untreated", func(z rx.Zone) bool {
			_, ok := g.of(z.Carrier)
			return !ok || !z.Treated()
		}))
	}
	plan.Stabilizer = t.stabilizer(func(z rx.Zone) (unit.Loading, unit.DryRate) {
		i, ok := g.of(z.Carrier)
		if !ok {
			return 0, z.Carrier
		}
		return g[i].loading, z.Carrier
	})
	return plan, nil
}

package split

import (
	"fmt"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// loads impregnates as few loads as the label needs, each with a loading of its
// own for a run of dry rates; among the fewest, the cuts are those that bring the
// ground nearest to the intended rate.
func loads(t *Task) (solution, string) {
	reachable, why := t.reachable()
	if len(reachable) == 0 || why != "" && !t.terms.LeaveOff {
		return solution{}, why
	}
	g, roomier := t.fewest(reachable)
	s := solution{Way: rx.Way{Loads: g, Passes: len(g), Why: "the dry rates cut at " + cuts(g, t.terms.Units) + ", loadings of " + t.loadings(g)}, gets: g.gets}
	if len(g) == 1 {
		s.Why = "one load of " + t.loadings(g) + " serves every rate"
	}
	if roomier > 0 {
		s.Why += fmt.Sprintf("; %d loads would leave room for the rate error of %s everywhere", roomier, t.terms.RateError)
	}
	if s.LeftZones, s.LeftOff = t.leftOff(g.serves); len(s.LeftZones) > 0 {
		s.Passes++
		s.Why += "; what no load can serve stays untreated"
	}
	for i, load := range g {
		bare := i == 0 && len(s.LeftZones) == 0 // products beside the carrier, where it has no rate, go along in a pass that there is
		s.layers = append(s.layers, t.carried(fmt.Sprintf("dry-%d", i+1), t.onZones(func(z rx.Zone) bool {
			return z.Treated() && covers(load, z.Carrier) || bare && !z.Treated()
		}), load))
	}
	if len(s.LeftZones) > 0 {
		s.layers = append(s.layers, part{name: "dry-untreated", rate: t.onZones(func(z rx.Zone) bool { return !g.serves(z.Carrier) || !z.Treated() })})
	}
	return s, ""
}

// reachable lists the steps that some loading serves, and says why one that none does is not.
func (t *Task) reachable() (reachable []step, why string) {
	others := unit.Area(0) // of the other rates that none serves
	for _, s := range t.steps() {
		if w, reason := t.window(rx.Range[unit.DryRate]{Min: s.rate, Max: s.rate}); w != nil {
			reachable = append(reachable, s)
		} else if why == "" {
			why = fmt.Sprintf("%s at %s can't be served: %s", tell.Ground(s.area, t.terms.Units), s.rate.Brief(t.terms.Units), reason)
		} else {
			others += s.area
		}
	}
	if others > 0 {
		why += "; nor can " + tell.Ground(others, t.terms.Units) + " at other rates"
	}
	return reachable, why
}

// serves is which loadings serve a range of dry rates; nil if none does.
type serves func(dry rx.Range[unit.DryRate]) windows

// fewest groups the steps into the fewest loads; among those, into loads that all
// leave room for the spreader's rate error, if such a grouping takes no more of them. If
// it takes more, it returns how many.
func (t *Task) fewest(steps []step) (best grouping, roomier int) {
	best = t.group(steps, func(dry rx.Range[unit.DryRate]) windows {
		w, _ := t.window(dry)
		return w
	})
	e := t.margin()
	if e == 0 {
		return best, 0
	}
	roomy := func(dry rx.Range[unit.DryRate]) windows {
		w, _ := t.terms.Windows(dry, e)
		return w
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

// loadings names what the loads have of stabilizer, in their order.
func (t *Task) loadings(g grouping) string {
	return strings.Join(each.Of(g, func(load rx.Load) string { return t.terms.LoadingText(load.Loading) }), ", ")
}

// cuts names where the loads part: the lowest rate of each but the first.
func cuts(g grouping, s unit.System) string {
	text := ""
	for i, run := range g[1:] {
		if i > 0 {
			text += ", "
		}
		text += run.Rates.Min.Brief(s)
	}
	return text
}

// Package split holds the ways to release a prescription, one file a way: which
// of them put every treated acre on label, at what cost, and the layers of the
// one that is chosen. Every way conserves acres; all but refit conserve product.
package split

import (
	"fmt"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// way is one way to release a prescription. judge says what it amounts to without
// working out its layers; plan, called only where judge found it possible, works
// them out.
type way interface {
	judge(*task) rx.Way
	plan(*task, rx.Way) (*rx.Plan, error)
}

// methods lists the ways in the order in which they are judged.
func methods() map[rx.WayName]way {
	return map[rx.WayName]way{
		rx.WetBoom: wetBoom{},
		rx.OneLoad: oneLoad{},
		rx.Base:    base{},
		rx.Loads:   loads{},
		rx.Refit:   refit{},
	}
}

// Refusal says why a way can't be taken, and what to do next.
type Refusal struct {
	Way  rx.WayName
	Why  string
	Hint string
}

func (r *Refusal) Error() string { return fmt.Sprintf("way %s: %s", r.Way, r.Why) }

// ParseWay reads the name of a way; the empty text is the wet boom.
func ParseWay(s string) (rx.WayName, error) {
	if s == "" {
		return rx.WetBoom, nil
	}
	for _, name := range rx.WayNames() {
		if string(name) == s {
			return name, nil
		}
	}
	return "", fmt.Errorf("--way: %q is none of wet-boom, one-load, base, loads, refit", s)
}

// task is a prescription that is to be released.
type task struct {
	p       *rx.Prescription
	a       *rx.Assessment
	terms   rx.Terms
	keepOut orb.MultiPolygon // lon/lat, cut out of the liquid layer

	outline    *geo.Outline // of the zones that get dry, once asked for
	outlineErr error
	kept       *inKeepOut // once asked for
	distinct   []step     // once asked for
}

// inKeepOut is the ground inside keep-outs that gets dry.
type inKeepOut struct {
	ground orb.MultiPolygon
	area   unit.Area
	err    error
}

func newTask(p *rx.Prescription, a *rx.Assessment, keepOut orb.MultiPolygon) *task {
	return &task{p: p, a: a, terms: a.Terms, keepOut: keepOut}
}

// Ways judges every way, the best first: those that put every treated acre on
// label, then those that leave N as prescribed, then the cheapest or, without
// prices, the one with the fewest loads and passes.
func Ways(p *rx.Prescription, a *rx.Assessment, keepOut orb.MultiPolygon) []rx.Way {
	t := newTask(p, a, keepOut)
	all := methods()
	ways := make([]rx.Way, 0, len(all))
	for _, name := range rx.WayNames() {
		ways = append(ways, t.judge(name, all[name]))
	}
	rank(ways)
	return ways
}

// Plan works out one way; the error is a [*Refusal] where it can't put every
// treated acre on label.
func Plan(p *rx.Prescription, a *rx.Assessment, keepOut orb.MultiPolygon, name rx.WayName) (*rx.Plan, error) {
	t := newTask(p, a, keepOut)
	method := methods()[name]
	w := t.judge(name, method)
	if !w.Possible {
		return nil, t.refusal(w)
	}
	plan, err := method.plan(t, w)
	if err != nil {
		return nil, err
	}
	plan.Way = w
	plan.Materials = t.materialsOf(w)
	t.inspect(plan)
	return plan, nil
}

func (t *task) judge(name rx.WayName, method way) rx.Way {
	w := rx.Way{Name: name}
	switch why := t.nothingToTreat(); {
	case why != "":
		w.Why = why
	default:
		w = method.judge(t)
		w.Name = name
	}
	if name != rx.WetBoom && w.Possible {
		why := t.reachesKeepOut()
		if why == "" && !t.flatBase(name) {
			why = t.mustNotImpregnate()
		}
		if why != "" {
			w = rx.Way{Name: name, Why: why}
		}
	}
	if !w.Possible {
		w.OffLabel = t.a.OffLabel()
	}
	t.tally(&w)
	return w
}

func (t *task) nothingToTreat() string {
	if _, _, ok := t.p.CarrierRange(); !ok {
		return "no zone has a dry rate above 0"
	}
	return ""
}

func (t *task) refusal(w rx.Way) error {
	r := &Refusal{Way: w.Name, Why: w.Why, Hint: "see the ways that are possible with: rxsplit check"}
	if t.reachableInPart(w.Name) && !t.terms.LeaveOff {
		r.Hint = "allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them"
	}
	return r
}

// reachableInPart reports whether the way could serve some of the zones.
func (t *task) reachableInPart(name rx.WayName) bool {
	if name == rx.WetBoom || t.nothingToTreat() != "" || t.reachesKeepOut() != "" || t.mustNotImpregnate() != "" {
		return false
	}
	allowed := *t
	allowed.terms.LeaveOff = true
	return methods()[name].judge(&allowed).Possible
}

// margin is the rate error that ways are planned with: the spreader's, where
// that leaves any room between the ends of the label.
func (t *task) margin() unit.Ratio {
	e := t.terms.RateError
	if pass, _ := t.terms.PassRange(); pass.Min/unit.LiquidRate(1-e) <= pass.Max/unit.LiquidRate(1+e) {
		return e
	}
	return 0
}

// window returns the loadings that serve the dry rates, with the spreader's rate
// error where that is possible.
func (t *task) window(dry rx.Range[unit.DryRate]) (*rx.Range[unit.Loading], string) {
	if w, _ := t.terms.WindowFor(dry, t.margin()); w != nil {
		return w, ""
	}
	return t.terms.WindowFor(dry, 0)
}

// wanted returns the loading in a window that a load should have: the one that the
// plant has fixed, if the window allows it, else the nearest to the one that puts the
// intended rate on ground with the mean dry rate.
func (t *task) wanted(mean unit.DryRate, window rx.Range[unit.Loading]) unit.Loading {
	if fixed := t.terms.Loading; fixed > 0 && window.Contains(fixed) {
		return fixed
	}
	return min(max(unit.LoadingFor(t.terms.Intended, mean), window.Min), window.Max)
}

// loading returns the wanted loading inside the window of the dry rates, as a plant can
// meter it; what the plant has fixed it can meter. Where the room for the spreader's
// rate error leaves nothing that a meter reads, it gives way to the meter as far as the
// label lets it.
func (t *task) loading(mean unit.DryRate, dry rx.Range[unit.DryRate], window rx.Range[unit.Loading]) unit.Loading {
	wanted := t.wanted(mean, window)
	if wanted == t.terms.Loading {
		return wanted
	}
	if !t.terms.CanMeter(window) {
		if label, _ := t.terms.WindowFor(dry, 0); label != nil && t.terms.CanMeter(*label) {
			return t.terms.RoundLoading(wanted, label)
		}
	}
	return t.terms.RoundLoading(wanted, &window)
}

// treatedOutline dissolves the zones that get dry.
func (t *task) treatedOutline() (*geo.Outline, error) {
	if t.outline == nil && t.outlineErr == nil {
		kept := make([]bool, t.p.Drawn.Len())
		for _, z := range t.p.Zones {
			kept[z.Record] = z.HasRate() && z.Dry > 0
		}
		t.outline, t.outlineErr = t.p.Mesh.Outline(func(record int) bool { return kept[record] })
	}
	return t.outline, t.outlineErr
}

// reachesKeepOut says why no impregnated dry may be spread: some of it would land
// in a keep-out. It is empty where none would.
func (t *task) reachesKeepOut() string {
	if len(t.keepOut) == 0 {
		return ""
	}
	if t.kept == nil {
		t.kept = t.insideKeepOut()
	}
	switch {
	case t.kept.err != nil:
		return "the keep-outs can't be held against the zones: " + t.kept.err.Error()
	case t.kept.area > 1e-6:
		return fmt.Sprintf("treated dry would land on %s inside the keep-outs", rx.GroundText(t.kept.area, t.terms.Units))
	}
	return ""
}

func (t *task) insideKeepOut() *inKeepOut {
	outline, err := t.treatedOutline()
	if err != nil {
		return &inKeepOut{err: err}
	}
	common, err := geo.Intersect(outline.Polygons, t.keepOut)
	if err != nil {
		return &inKeepOut{err: err}
	}
	area, err := geo.AreaOf(common)
	return &inKeepOut{common, area, err}
}

// Package split holds the ways to release a prescription, one file a way: which
// of them put every treated acre on label, at what cost, and the layers of the
// one that is chosen. Every way conserves acres; one that may change dry rates says so.
package split

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// method is how a way is worked out.
type method struct {
	name  rx.WayName
	solve func(*Task) (solution, string) // or why it can't be; cheap, since every check solves all
}

// methods lists how the ways of [equip.Ways] are worked out, in the same order.
func methods() []method {
	return []method{
		{rx.WetBoom, wetBoom},
		{rx.OneLoad, oneLoad},
		{rx.Base, base},
		{rx.Loads, loads},
		{rx.Refit, refit},
	}
}

// Refusal says why a way can't be taken, and what to do next.
type Refusal struct {
	Way  rx.WayName
	Why  string
	Hint string
}

func (r *Refusal) Error() string { return fmt.Sprintf("way %s: %s", r.Way, r.Why) }

// ParseWay reads the name of a way; the empty text is the first of [equip.Ways].
func ParseWay(s string) (rx.WayName, error) {
	if s == "" {
		return equip.Ways()[0].Name, nil
	}
	w, err := equip.WayOf(rx.WayName(s))
	if err != nil {
		return "", fmt.Errorf("--way: %w", err)
	}
	return w.Name, nil
}

// Ways judges every way, the best first, see [Task.rank].
func (t *Task) Ways() []rx.Way {
	if t.ways == nil {
		t.ways = each.Of(methods(), func(m method) rx.Way { return t.judge(m).Way })
		t.rank(t.ways)
	}
	return slices.Clone(t.ways)
}

// Plan works out one way; the error is a [*Refusal] where it can't put every
// treated acre on label.
func (t *Task) Plan(name rx.WayName) (*rx.Plan, error) {
	all := methods()
	at := slices.IndexFunc(all, func(m method) bool { return m.name == name })
	if at < 0 {
		return nil, errors.New("no way is called " + string(name))
	}
	s := t.judge(all[at])
	if !s.Possible() {
		return nil, t.refusal(all[at], s.Why)
	}
	if why := t.noStrips(s); why != "" {
		return nil, &Refusal{Way: name, Why: why, Hint: "take the way wet-boom for strips, or leave out --strips"}
	}
	if s.Sprayed > 0 {
		go t.outline() // it takes as long as all ways do
	}
	t.Ways()
	plan, err := t.draw(s)
	if err != nil {
		return nil, err
	}
	t.inspect(plan)
	return plan, nil
}

// refusal says why a way can't be taken, and whether it could serve some of the zones.
func (t *Task) refusal(m method, why string) error {
	r := &Refusal{Way: m.name, Why: why, Hint: "see the ways that are possible with: rxsplit check"}
	if t.strips != nil && t.strips.why == why {
		r.Hint = "take fewer strips or shorter ones (--strip-length), less of --strip-headland, another --azimuth, or leave out --strips"
		if !t.strips.few {
			r.Hint = "correct that, or leave out --strips"
		}
		return r
	}
	if t.terms.LeaveOff {
		return r
	}
	if len(t.terms.NoRoom) > 0 {
		r.Hint = "the season has no room in some of the zones: --leave-off lets these stay untreated, by wet boom"
		return r
	}
	allowed := *t
	allowed.terms.LeaveOff = true
	if allowed.decide(m).Possible() {
		r.Hint = "allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them"
	}
	return r
}

// rank puts the best way first: ready before conditional before impossible; all treated
// acres before some left off; room for the rate error before less; the prescription kept
// before changed; then the cost at its upper end and the passes. Where a price is missing
// it is the passes, the loads and the stabilizer, by the gallon: less is what meters round,
// in US units otherwise than in metric ones. Ways that are equal stay in the order of the
// registry. A way that comes to the same plan as one before it says so.
func (t *Task) rank(ways []rx.Way) {
	_, priced := rx.Unpriced(ways)
	slices.SortStableFunc(ways, func(a, b rx.Way) int {
		return cmp.Or(
			cmp.Compare(b.State, a.State),
			each.YesFirst(a.LeftOff == 0, b.LeftOff == 0),
			each.YesFirst(t.roomy(a), t.roomy(b)),
			each.YesFirst(a.KeepsRates(), b.KeepsRates()),
			cheaper(a, b, priced),
			cmp.Compare(a.Passes, b.Passes),
			cmp.Compare(len(a.Loads), len(b.Loads)),
			cmp.Compare(math.Round(float64(a.Stabilizer/unit.Gallon)), math.Round(float64(b.Stabilizer/unit.Gallon))),
		)
	})
	for i := range ways {
		for _, before := range ways[:i] {
			if ways[i].Possible() && before.SameAs == "" && samePlan(before, ways[i]) {
				ways[i].SameAs = before.Name
			}
		}
	}
}

// cheaper compares costs by the cent: what is the same work is the same cost.
func cheaper(a, b rx.Way, priced bool) int {
	if !priced || a.Cost == nil || b.Cost == nil {
		return 0
	}
	return cmp.Compare(math.Round(100*a.Cost.High), math.Round(100*b.Cost.High))
}

// samePlan reports whether two ways come to the same work on the same ground, but for the
// rounding of sums.
func samePlan(a, b rx.Way) bool {
	return a.State == b.State && a.Passes == b.Passes && a.Stacked == b.Stacked && a.KeepsRates() && b.KeepsRates() &&
		a.Sprayed == b.Sprayed && slices.Equal(a.LeftZones, b.LeftZones) &&
		slices.EqualFunc(a.Loads, b.Loads, func(l, m rx.Load) bool {
			return l.Loading == m.Loading && l.Rates == m.Rates && math.Abs(float64(l.Mass-m.Mass)) <= 1e-9*float64(l.Mass)
		})
}

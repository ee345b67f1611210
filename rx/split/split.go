// Package split holds the ways to release a prescription, one file a way: which
// of them put every treated acre on label, at what cost, and the layers of the
// one that is chosen. Every way conserves acres; one that may change dry rates says so.
package split

import (
	"errors"
	"fmt"
	"slices"

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
	var ways []rx.Way
	for _, m := range methods() {
		ways = append(ways, t.judge(m).Way)
	}
	t.rank(ways)
	return ways
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
	allowed := *t
	allowed.terms.LeaveOff = true
	if allowed.decide(m).Possible() {
		r.Hint = "allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them"
	}
	return r
}

package day

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// Left is treated blend that came back: as it was weighed, with the liquids and the drying agents
// on it.
type Left struct {
	Weighed  unit.Mass
	Load     rx.Load    // its loadings
	Taken    unit.Ratio // liquids and agents by weight of the dry: m/2000, with m in pounds a ton
	Blend    int        // of the day's; -1 for none of them
	Customer string
	Rough    bool // the weight of its liquid is unknown and counts as dry: it is not re-dosed
	Kept     bool // it is not to be used today: too old, say
}

// Dry returns the dry product in it: u = w/(1 + m/2000).
func (l Left) Dry() unit.Mass { return l.Weighed / unit.Mass(1+l.Taken) }

// asIs reports whether it keeps a field of its blend on label as it came back.
func (l Left) asIs(w Work) bool { return Holds(w.Window, l.Load.Loading) }

// grows returns how much dry one of its dry becomes at the loading of a work: more than that where untreated dry
// is added.
func (l Left) grows(w Work) unit.Mass {
	if l.asIs(w) {
		return 1
	}
	return unit.Mass(max(1, l.Load.Loading/w.Load.Loading))
}

// fits reports whether it can be used for a work: for one at a shared loading of its blend.
func (l Left) fits(w Work) bool {
	return !l.Kept && w.Shared >= 0 && w.Blend == l.Blend && (l.asIs(w) || !l.Rough && w.Load.Loading > 0)
}

// may reports whether it may go onto the field of a work that it fits, without asking anybody.
func (l Left) may(w Work) bool {
	customer := strings.TrimSpace(l.Customer)
	return w.free() || customer != "" && strings.TrimSpace(w.Customer) == customer
}

// free reports whether no liquid on the blend is a registered product.
func (w Work) free() bool {
	free := w.Load.Loading == 0 || w.Terms.Label.Registered == label.No
	for _, l := range w.Terms.FurtherOn(equip.OnBlend) {
		free = free && l.Label != nil && l.Label.Registered == label.No
	}
	return free
}

// give is left-over blend that goes onto the field of a work.
type give struct{ left, work int }

// mostTries bounds the orders of gives that are tried where the first does not use up all.
const mostTries = 2000

// allot uses up left-over blend: as much of it as can be, and of equal choices as it is before re-dosed,
// for fields that come first. It returns the lots made of it, work by work, takes their dry off the
// works, and asks what it may not decide.
func allot(works []Work, left []Left) (lots [][]rx.Lot, asks []rx.RunAsk) {
	lots = make([][]rx.Lot, len(works))
	var gives []give
	for i, l := range left {
		ask := rx.RunAsk{About: rx.AskLeft, Run: -1, Left: i}
		for j, w := range works {
			switch {
			case !l.fits(w):
			case l.may(w):
				gives = append(gives, give{i, j})
			default:
				ask.Fields = append(ask.Fields, w.Field)
			}
		}
		if len(ask.Fields) > 0 {
			asks = append(asks, ask)
		}
	}
	slices.SortStableFunc(gives, func(a, b give) int {
		asIs := func(g give) bool { return left[g.left].asIs(works[g.work]) }
		return cmp.Or(each.YesFirst(asIs(a), asIs(b)), cmp.Compare(works[a.work].Priority, works[b.work].Priority))
	})
	rest := slices.Clone(left)
	for _, g := range bestOrder(gives, works, left) {
		if lot, ok := lotOfLeft(g.left, &rest[g.left], &works[g.work]); ok {
			lots[g.work] = append(lots[g.work], lot)
		}
	}
	fill(works, left, lots, func(a, b Work) bool {
		return a.Shared >= 0 && a.Shared == b.Shared && a.shares() == b.shares() && oneBlender([]Work{a, b})
	})
	fill(works, left, lots, func(a, b Work) bool { return a.Field == b.Field && a.Shared == b.Shared }) // where they share none after all
	asks = slices.DeleteFunc(asks, func(a rx.RunAsk) bool {
		l := rest[a.Left]
		return l.Weighed < equip.ScaleStep(works[0].Terms.Units)
	})
	return lots, asks
}

// bestOrder returns the gives, one after the other as much as there is, that use up most.
func bestOrder(gives []give, works []Work, left []Left) (best []give) {
	dry, need, all := make([]unit.Mass, len(left)), make([]unit.Mass, len(works)), unit.Mass(0)
	for i, l := range left {
		if slices.ContainsFunc(gives, func(g give) bool { return g.left == i }) {
			dry[i] = l.Dry()
			all += dry[i]
		}
	}
	for j, w := range works {
		need[j] = w.Load.Mass
	}
	most, tries := unit.Mass(0), 0
	var try func(done []give, used unit.Mass)
	try = func(done []give, used unit.Mass) {
		if used > most*(1+leeway) {
			best, most = slices.Clone(done), used
		}
		for _, g := range gives {
			if tries++; tries > mostTries || most >= all*(1-leeway) {
				return
			}
			grows := left[g.left].grows(works[g.work])
			gets := min(dry[g.left], need[g.work]/grows)
			if gets <= 0 {
				continue
			}
			dry[g.left], need[g.work] = dry[g.left]-gets, need[g.work]-unit.Mass(gets*grows)
			try(append(done, g), used+gets)
			dry[g.left], need[g.work] = dry[g.left]+gets, need[g.work]+unit.Mass(gets*grows)
		}
	}
	try(nil, 0)
	return best
}

// lotOfLeft makes a lot for a work of as much left-over blend as there is, or as it still takes, and takes it off
// both. What a scale can't tell from nothing is not left of either.
func lotOfLeft(of int, l *Left, w *Work) (lot rx.Lot, ok bool) {
	step := equip.ScaleStep(w.Terms.Units)
	whole := func(m unit.Mass) unit.Mass { return unit.Mass(math.Floor(float64(m/step)*(1+leeway))) * step }
	grows, asIs := l.grows(*w), l.asIs(*w)
	weighed := whole(min(l.Weighed, w.Load.Mass/grows*unit.Mass(1+l.Taken)))
	load, n := w.Load, 1
	if load.Mass = weighed / unit.Mass(1+l.Taken) * grows; !asIs {
		batches, one, batched := w.Terms.Batches(load)
		lot.Batched, n, lot.Time = batched, max(1, one.Count), batches.Time.Or(0)
	}
	each := whole(weighed / unit.Mass(n))
	dry := each / unit.Mass(1+l.Taken)
	if each <= 0 || dry < step {
		return lot, false
	}
	lot.Fields, lot.Apart, lot.Load = []int{w.Field}, n, load
	lot.Left = &rx.LotLeft{Of: of, Weighed: each, Dry: unit.Mass(math.Round(float64(dry/step))) * step, Loading: l.Load.Loading}
	if lot.Portion.Count = n; asIs {
		lot.Load.Loading = l.Load.Loading
		lot.Portion.Further, lot.Portion.Materials = make([]rx.Metered, len(load.Further)), make([]unit.Mass, len(load.Materials))
	} else {
		lot.Portion = w.Terms.Redosed(load, l.Load, dry, n, w.Window, 0)
	}
	if l.Weighed -= unit.Mass(each * unit.Mass(n)); l.Weighed < step {
		l.Weighed = 0
	}
	settle(&lot, w)
	return lot, true
}

// settle gives the batches of a lot to its field, and takes their dry off its work. What rounding leaves is no batch.
func settle(lot *rx.Lot, w *Work) {
	n, gets := lot.Portion.Count, lot.Left.Dry+lot.Portion.Dry
	lot.Parts = nil
	for b := range n {
		lot.Parts = append(lot.Parts, rx.LotPart{Batch: b, Field: w.Field, Dry: gets})
	}
	lot.Load.Mass = unit.Mass(gets * unit.Mass(n))
	lot.Load.Area *= unit.Area(lot.Load.Mass / w.Load.Mass)
	if w.Load.Mass -= lot.Load.Mass; w.Load.Mass < equip.ScaleStep(w.Terms.Units)*unit.Mass(n+1) {
		lot.Load.Mass, w.Load.Mass = lot.Load.Mass+w.Load.Mass, 0
	}
}

// fill makes batches with left-over blend in them as large as all others of the works that are together, where that
// saves one: fresh dry and liquid go into them besides.
func fill(works []Work, left []Left, lots [][]rx.Lot, together func(a, b Work) bool) {
	done := make([]bool, len(works))
	for _, w := range works {
		rest, all, count := unit.Mass(0), unit.Mass(0), 0
		var group []int
		for j, o := range works {
			if done[j] || !together(w, o) {
				continue
			}
			done[j], group, rest, all = true, append(group, j), rest+o.Load.Mass, all+o.Load.Mass
			for _, l := range lots[j] {
				if !l.AsIs() {
					all, count = all+l.Load.Mass, count+l.Portion.Count
				}
			}
		}
		batches := func(m unit.Mass) (unit.Mass, int) {
			load := w.Load
			load.Mass = m
			if _, one, ok := w.Terms.Batches(load); ok && m > 0 {
				return one.Dry, one.Count
			}
			return 0, 0
		}
		_, others := batches(rest)
		each, fewest := batches(all)
		if count == 0 || others == 0 || count+others <= fewest {
			continue
		}
		for _, j := range group {
			for k := range lots[j] {
				grow(&lots[j][k], left, &works[j], each)
			}
		}
	}
}

// grow adds fresh dry to the batches of a lot, up to so much in each, as far as its work has some.
func grow(lot *rx.Lot, left []Left, w *Work, each unit.Mass) {
	step, n := equip.ScaleStep(w.Terms.Units), unit.Mass(lot.Portion.Count)
	more := min(each-lot.Left.Dry-lot.Portion.Dry, w.Load.Mass/n)
	more = unit.Mass(unit.Mass(math.Floor(float64(more/step)*(1+leeway))) * step)
	if lot.AsIs() || more < step {
		return
	}
	l, load := left[lot.Left.Of], w.Load
	load.Mass = lot.Load.Mass + unit.Mass(more*n)
	batches, one, ok := w.Terms.Batches(load)
	if !ok || one.Count != lot.Portion.Count {
		return
	}
	w.Load.Mass += lot.Load.Mass
	lot.Load, lot.Time = w.Load, batches.Time.Or(0)
	lot.Portion = w.Terms.Redosed(load, l.Load, lot.Left.Weighed/unit.Mass(1+l.Taken), one.Count, w.Window, lot.Portion.Dry+more)
	settle(lot, w)
}

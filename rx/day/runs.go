package day

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// Work is what is blended for a field at one loading.
type Work struct {
	Field     int // of the day's, from 0
	Priority  int // 1 comes first
	Blend     int // of the day's
	Shared    int // of the loadings that fields share; -1 for one of its own
	Customer  string
	Terms     rx.Terms
	Load      rx.Load
	Window    Window    // of loadings that keep the field on label, where it shares one
	Spreading unit.Time // that the load takes; 0 if unknown
}

// Runs puts a day's works in the order that flushes the line least, and divides each run into
// batches. Left-over blend is used up first. Fields share batches where that takes fewer of them, and
// batches and left-over go on only if all is one customer's or no liquid on the blend is a registered
// product: a custom blend is made to a customer's order and not held in inventory. [40 CFR 167.3]
// What is not shared or used for that reason is asked.
func Runs(works []Work, left []Left) (runs []rx.Run, asks []rx.RunAsk) {
	works = inOrder(works)
	used, asks := allot(works, left)
	var line []string
	for len(works) > 0 {
		n := 1
		for n < len(works) && works[0].Shared >= 0 && works[n].Shared == works[0].Shared {
			n++
		}
		run := rx.Run{Shared: works[0].Shared, Blend: works[0].Blend, Terms: works[0].Terms}
		for _, l := range line {
			if !slices.Contains(works[0].liquids(), l) {
				run.Flush = append(run.Flush, l)
			}
		}
		line = works[0].liquids()
		run.Lots = slices.Concat(used[:n]...)
		slices.SortStableFunc(run.Lots, func(a, b rx.Lot) int { return each.YesFirst(a.AsIs(), b.AsIs()) })
		anew := slices.DeleteFunc(slices.Clone(works[:n]), func(w Work) bool { return w.Load.Mass == 0 })
		if len(anew) > 0 {
			lots, open := lotsOf(anew)
			run.Lots = append(run.Lots, lots...)
			for _, ask := range append(open, truckAsks(carried(works[:n], used))...) {
				ask.Run = len(runs)
				asks = append(asks, ask)
			}
		}
		works, used = works[n:], used[n:]
		runs = append(runs, run)
	}
	return runs, asks
}

// liquids names what the line brings onto the blend.
func (w Work) liquids() (list []string) {
	if w.Load.Loading > 0 {
		list = append(list, w.Terms.Label.Name)
	}
	for i, l := range w.Terms.FurtherOn(equip.OnBlend) {
		if i < len(w.Load.Further) && w.Load.Further[i] > 0 {
			list = append(list, l.Name)
		}
	}
	return list
}

// inOrder sorts works: blends as [lineOrder] has them, of each the loadings that are shared
// before those of single fields, the lowest first; within one the fields that come first.
func inOrder(works []Work) []Work {
	var lines [][]string
	of := func(w Work) int {
		return slices.IndexFunc(lines, func(l []string) bool { return slices.Equal(l, w.liquids()) })
	}
	for _, w := range works {
		if of(w) < 0 {
			lines = append(lines, w.liquids())
		}
	}
	place := make([]int, len(lines))
	for at, i := range lineOrder(lines) {
		place[i] = at
	}
	sorted := slices.Clone(works)
	slices.SortStableFunc(sorted, func(a, b Work) int {
		alone := func(w Work) int { return min(0, w.Shared) * -1 }
		return cmp.Or(cmp.Compare(place[of(a)], place[of(b)]), cmp.Compare(a.Blend, b.Blend), cmp.Compare(alone(a), alone(b)),
			cmp.Compare(a.Load.Loading, b.Load.Loading), cmp.Compare(a.Shared, b.Shared), cmp.Compare(a.Priority, b.Priority), cmp.Compare(a.Field, b.Field))
	})
	return sorted
}

// mostTried is how many sets of liquids are put in order by trying all orders.
const mostTried = 7

// lineOrder returns the order of sets of liquids in which the line is flushed least: a set that
// holds all of the one before needs no flush. Of equal orders it is the one with the fewer liquids
// first, so that what is added to the stabilizer, such as a herbicide, comes last.
func lineOrder(lines [][]string) []int {
	order := make([]int, len(lines))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(len(lines[a]), len(lines[b])) })
	if len(lines) > mostTried {
		return order
	}
	best, fewest := order, flushes(lines, order)
	var try func(done, left []int)
	try = func(done, left []int) {
		if n := flushes(lines, done); n >= fewest {
			return
		} else if len(left) == 0 {
			best, fewest = slices.Clone(done), n
		}
		for k := range left {
			try(append(slices.Clone(done), left[k]), slices.Delete(slices.Clone(left), k, k+1))
		}
	}
	try(nil, order)
	return best
}

func flushes(lines [][]string, order []int) (n int) {
	for k := 1; k < len(order); k++ {
		if slices.ContainsFunc(lines[order[k-1]], func(l string) bool { return !slices.Contains(lines[order[k]], l) }) {
			n++
		}
	}
	return n
}

// lotsOf divides the works of one run into lots, and asks what it may not decide.
func lotsOf(works []Work) (lots []rx.Lot, asks []rx.RunAsk) {
	groups := sharing(works)
	for _, g := range groups {
		together, apart := lotOf(g), make([]rx.Lot, len(g))
		together.Apart = 0
		for i, w := range g {
			apart[i] = lotOf([]Work{w})
			together.Apart += apart[i].Portion.Count
		}
		switch fewer := together.Batched && together.Portion.Count < together.Apart; {
		case len(g) > 1 && fewer && held(g, together):
			lots = append(lots, together)
			continue
		case len(g) > 1 && fewer:
			asks = append(asks, rx.RunAsk{About: rx.AskHold, Fields: together.Fields, Now: together.Apart, Then: together.Portion.Count})
		}
		lots = append(lots, apart...)
	}
	now := rx.Run{Lots: lots}.Batches()
	if all := lotOf(works); len(groups) > 1 && oneBlender(works) && all.Batched && all.Portion.Count < now {
		asks = append(asks, rx.RunAsk{About: rx.AskCustomer, Fields: all.Fields, Now: now, Then: all.Portion.Count})
	}
	return lots, asks
}

// sharing groups works that may share batches.
func sharing(works []Work) (groups [][]Work) {
	at := map[string]int{}
	for _, w := range works {
		key := w.shares()
		if k, ok := at[key]; ok && oneBlender([]Work{groups[k][0], w}) {
			groups[k] = append(groups[k], w)
			continue
		}
		at[key], groups = len(groups), append(groups, []Work{w})
	}
	return groups
}

// shares tells whom a work shares batches with.
func (w Work) shares() string {
	switch customer := strings.TrimSpace(w.Customer); {
	case w.free():
		return "all"
	case customer != "":
		return "customer " + customer
	}
	return fmt.Sprint("field ", w.Field)
}

// oneBlender reports whether works are planned for the same blender.
func oneBlender(works []Work) bool {
	of := func(w Work) *equip.Blender {
		if w.Terms.Job == nil {
			return nil
		}
		return w.Terms.Job.Blender
	}
	return !slices.ContainsFunc(works, func(w Work) bool { return !reflect.DeepEqual(of(w), of(works[0])) })
}

// held reports whether a lot is spread within the time that the labels let treated blend wait,
// as far as times are known: what is blended first may be spread last.
func held(works []Work, lot rx.Lot) bool {
	age := lot.Time
	for _, w := range works {
		age += w.Spreading
	}
	hold, known := works[0].Terms.Hold()
	return !known || age <= hold
}

// lotOf makes one lot of works that have one loading.
func lotOf(works []Work) (lot rx.Lot) {
	lot.Load = works[0].Load
	lot.Load.Mass, lot.Load.Area = 0, 0
	for i, w := range works {
		lot.Fields = append(lot.Fields, w.Field)
		lot.Load.Mass, lot.Load.Area = lot.Load.Mass+w.Load.Mass, lot.Load.Area+w.Load.Area
		lot.Load.Rates.Widen(w.Load.Rates.Min, i == 0)
		lot.Load.Rates.Widen(w.Load.Rates.Max, false)
	}
	batches, one, ok := works[0].Terms.BatchesInside(lot.Load, common(works))
	lot.Portion, lot.Batched, lot.Time, lot.Apart = one, ok, batches.Time.Or(0), one.Count
	lot.Parts = parts(works, one)
	return lot
}

// common is the loadings of each liquid that keep all fields of works on label, by what each has had and at its own rates; nil
// where there are none.
func common(works []Work) (windows []Window) {
	for i, w := range works {
		own := w.Terms.LoadWindows(w.Load)
		if own == nil {
			return nil
		}
		if i == 0 {
			windows = own
			continue
		}
		for k := range windows {
			windows[k] = Window{Min: max(windows[k].Min, own[k].Min), Max: min(windows[k].Max, own[k].Max)}
		}
	}
	return windows
}

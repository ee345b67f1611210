package day

import (
	"cmp"
	"math"
	"slices"

	"rxsplit/label/unit"
)

// Ground is a part of a field with one dry rate, above 0.
type Ground struct {
	Area unit.Area
	Dry  unit.DryRate
}

// Dosed is a field that is to get blend at a shared loading.
type Dosed struct {
	Window   Window
	Grounds  []Ground
	Intended unit.LiquidRate // that is wanted on all of it
}

// miss returns by how much a loading misses the intended rate over the field:
// Σ acres·|A·R/2000 − T|.
func (d Dosed) miss(l unit.Loading) (sum unit.Volume) {
	for _, g := range d.Grounds {
		off := math.Abs(float64(unit.StabilizerRate(l, g.Dry) - d.Intended))
		sum += unit.VolumeOver(unit.LiquidRate(off), g.Area)
	}
	return sum
}

// placed is where loadings lie and who gets which.
type placed struct {
	Loadings []unit.Loading // ascending
	Of       []int          // of each field, which of them
}

// miss returns what the fields miss in all; see [Dosed.miss].
func (p placed) miss(fields []Dosed) (sum unit.Volume) {
	for i, d := range fields {
		sum += d.miss(p.Loadings[p.Of[i]])
	}
	return sum
}

// mostSpots bounds the loadings that are tried: beyond it those between the ends of windows
// are thinned out, and the least is found to within their distance and then improved.
const mostSpots = 500

// Place lays no more than count loadings so that every field has one in its window and what
// the fields miss in all is least. It returns false where count is less than [Fewest] needs.
//
// The least lies where a field's rate meets its intended one or at an end of a window, as the
// miss of a field is convex and made of straight pieces. So a field whose own least lies
// between two neighboring loadings takes one of those two, and a table over the last loading
// finds the best of all choices.
func Place(fields []Dosed, count int) (placed, bool) {
	if len(fields) == 0 {
		return placed{}, true
	}
	t := newTable(fields)
	chosen := t.choose(min(count, len(t.spots)))
	if chosen == nil {
		return placed{}, false
	}
	p := placed{Loadings: chosen}
	p.Of = nearest(fields, p.Loadings)
	return p.settle(fields), true
}

// table holds what each field misses at each loading that is tried.
type table struct {
	spots []unit.Loading // ascending
	miss  [][]float64    // by field and spot; infinite outside the window
	least []int          // of each field, the spot where it misses least
}

func newTable(fields []Dosed) *table {
	t := &table{spots: spots(fields), miss: make([][]float64, len(fields)), least: make([]int, len(fields))}
	for i, d := range fields {
		t.miss[i] = make([]float64, len(t.spots))
		t.least[i] = -1
		for q, l := range t.spots {
			t.miss[i][q] = math.Inf(1)
			if !Holds(d.Window, l) {
				continue
			}
			t.miss[i][q] = float64(d.miss(l))
			if t.least[i] < 0 || t.miss[i][q] < t.miss[i][t.least[i]] {
				t.least[i] = q
			}
		}
	}
	return t
}

// spots lists the loadings that are tried.
func spots(fields []Dosed) []unit.Loading {
	var ends, between []unit.Loading
	for _, d := range fields {
		ends = append(ends, d.Window.Min, d.Window.Max)
		for _, g := range d.Grounds {
			between = append(between, unit.LoadingFor(d.Intended, g.Dry))
		}
	}
	slices.Sort(between)
	between = slices.Compact(between)
	every := max(1, (len(between)+mostSpots-1)/mostSpots)
	for i := 0; i < len(between); i += every {
		ends = append(ends, between[i])
	}
	slices.Sort(ends)
	return slices.Compact(ends)
}

// between returns what the fields miss whose least lies after spot p and not after spot q,
// where both are chosen and none between; p is -1 before the first, q the number of spots
// after the last.
func (t *table) between(p, q int) (sum float64) {
	for i, m := range t.least {
		if m <= p || m > q {
			continue
		}
		one := math.Inf(1)
		if p >= 0 {
			one = t.miss[i][p]
		}
		if q < len(t.spots) {
			one = min(one, t.miss[i][q])
		}
		sum += one
	}
	return sum
}

// choose returns the best loadings, as many as count; nil where they can't serve all.
func (t *table) choose(count int) []unit.Loading {
	n := len(t.spots)
	if count == 0 {
		return nil
	}
	cost := make([]float64, n)     // of all up to the last chosen spot
	before := make([][]int, count) // the spot chosen before it, by how many are
	for q := range cost {
		cost[q] = t.between(-1, q)
	}
	steps := t.steps(count)
	for k := 1; k < count; k++ {
		next := make([]float64, n)
		before[k] = make([]int, n)
		for q := range next {
			next[q] = math.Inf(1)
			for p := range q {
				if c := cost[p] + steps[p][q]; c < next[q] {
					next[q], before[k][q] = c, p
				}
			}
		}
		cost = next
	}
	last, best := -1, math.Inf(1)
	for q, c := range cost {
		if c += t.between(q, n); c < best {
			last, best = q, c
		}
	}
	if last < 0 {
		return nil
	}
	chosen := make([]unit.Loading, count)
	for k := count - 1; k >= 0; k-- {
		chosen[k] = t.spots[last]
		if k > 0 {
			last = before[k][last]
		}
	}
	return chosen
}

// steps holds [table.between] for all pairs, where more than one loading is chosen.
func (t *table) steps(count int) [][]float64 {
	if count < 2 {
		return nil
	}
	all := make([][]float64, len(t.spots))
	for p := range all {
		all[p] = make([]float64, len(t.spots))
		for q := p + 1; q < len(all); q++ {
			all[p][q] = t.between(p, q)
		}
	}
	return all
}

// nearest gives each field the loading in its window at which it misses least.
func nearest(fields []Dosed, loadings []unit.Loading) []int {
	of := make([]int, len(fields))
	for i, d := range fields {
		of[i] = -1
		for k, l := range loadings {
			if Holds(d.Window, l) && (of[i] < 0 || d.miss(l) < d.miss(loadings[of[i]])) {
				of[i] = k
			}
		}
	}
	return of
}

// settle moves each loading to the best place for the fields that have it, and each field to
// its best loading, until nothing is gained. A loading that nobody takes is left out.
func (p placed) settle(fields []Dosed) placed {
	for {
		next := placed{}
		for k := range p.Loadings {
			var group []Dosed
			for i, d := range fields {
				if p.Of[i] == k {
					group = append(group, d)
				}
			}
			if len(group) > 0 {
				next.Loadings = append(next.Loadings, middle(group))
			}
		}
		slices.Sort(next.Loadings)
		next.Loadings = slices.Compact(next.Loadings)
		next.Of = nearest(fields, next.Loadings)
		if next.miss(fields) >= p.miss(fields) && len(next.Loadings) == len(p.Loadings) {
			return p
		}
		p = next
	}
}

// middle returns the loading at which fields that share it miss least: the weighted median
// of 2000·T/R with the weights acres·R, taken into the window that they have in common. They
// must have one.
func middle(group []Dosed) unit.Loading {
	type weight struct {
		at unit.Loading
		of float64
	}
	var weights []weight
	all, common := 0.0, group[0].Window
	for _, d := range group {
		common = Common(common, d.Window)
		for _, g := range d.Grounds {
			w := weight{unit.LoadingFor(d.Intended, g.Dry), float64(unit.MassOver(g.Dry, g.Area))}
			weights, all = append(weights, w), all+w.of
		}
	}
	slices.SortFunc(weights, func(a, b weight) int { return cmp.Compare(a.at, b.at) })
	sum := 0.0
	for _, w := range weights {
		if sum += w.of; sum >= all/2 {
			return min(max(w.at, common.Min), common.Max)
		}
	}
	return common.Min
}

// Common returns what two windows have in common; its ends are crossed where that is nothing.
func Common(a, b Window) Window { return Window{Min: max(a.Min, b.Min), Max: min(a.Max, b.Max)} }

package split

import (
	"math"
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// grouping is loads that each serve a run of dry rates, the lowest rates first.
type grouping []rx.Load

// of returns the load that serves a dry rate.
func (g grouping) of(r unit.DryRate) (int, bool) {
	i := slices.IndexFunc(g, func(l rx.Load) bool { return covers(l, r) })
	return i, i >= 0
}

// serves reports whether any load does.
func (g grouping) serves(r unit.DryRate) bool { _, ok := g.of(r); return ok }

// gets returns the dry rate of a zone and which load it is of; -1 for none.
func (g grouping) gets(z rx.Zone) (unit.DryRate, int) {
	i, ok := g.of(z.Carrier)
	if !ok || !z.Treated() {
		return 0, -1
	}
	return z.Carrier, i
}

// covers reports whether a dry rate is one of those that a load is for.
func covers(l rx.Load, r unit.DryRate) bool { return r >= l.Rates.Min && r <= l.Rates.Max }

// mostCuts bounds how many places to cut are tried: with more distinct rates than
// that, evenly spread ones are, beside those that the fewest loads need.
const mostCuts = 500

// group puts the steps, each of which a loading serves, in the order of their rates
// into as few runs as can each be served by one loading; among those it cuts where
// Σ acres·|S−T| is least, and of equals at the lowest rates.
func (t *Task) group(steps []step, by serves) grouping {
	last := longestRuns(steps, by)
	places := cutPlaces(last)
	cost := runCost{t, by, steps, newPrefix(steps)}
	ends := []int{0} // of the steps that so many loads can serve at most, from the lowest on
	for i := 0; i < len(steps); i = last[i] {
		ends = append(ends, last[i])
	}
	count, n := len(ends)-1, len(places)-1
	// best[k][i] is the least cost of serving all from places[i] on with k loads;
	// next[k][i] is the place where the first of them ends.
	best, next := make([][]float64, count+1), make([][]int32, count+1)
	for k := range best {
		best[k], next[k] = slices.Repeat([]float64{math.Inf(1)}, n+1), make([]int32, n+1)
	}
	best[0][n] = 0
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j <= n && places[j] <= last[places[i]]; j++ {
			run := math.NaN() // the cost of this run, once it is asked for
			for k := 1; k <= count && places[i] <= ends[count-k]; k++ {
				if math.IsInf(best[k-1][j], 1) {
					continue
				}
				if run != run {
					run = cost.of(places[i], places[j])
				}
				if c := run + best[k-1][j]; math.IsInf(best[k][i], 1) || c < best[k][i]-1e-9 {
					best[k][i], next[k][i] = c, int32(j)
				}
			}
		}
	}
	var g grouping
	for k, i := count, 0; k > 0; k-- {
		j := int(next[k][i])
		g = append(g, t.serve(steps[places[i]:places[j]]))
		i = j
	}
	return g
}

// cutPlaces lists where runs may begin and end, from 0 to the number of steps. The
// places that the longest runs need are always among them.
func cutPlaces(last []int) []int {
	n := len(last)
	stride := (n + mostCuts - 1) / mostCuts
	var places []int
	for i := 0; i < n; i += stride {
		places = append(places, i)
	}
	for i := 0; i < n; i = last[i] {
		places = append(places, last[i])
	}
	slices.Sort(places)
	return slices.Compact(places)
}

// longestRuns returns, for each step, the end of the longest run from it that one
// loading serves, the end excluded.
func longestRuns(steps []step, by serves) []int {
	last := make([]int, len(steps))
	to := 0
	for from := range steps {
		to = max(to, from+1)
		for to < len(steps) {
			if by(rx.Range[unit.DryRate]{Min: steps[from].rate, Max: steps[to].rate}) == nil {
				break
			}
			to++
		}
		last[from] = to
	}
	return last
}

// serve returns the load for a run of steps that one loading serves.
func (t *Task) serve(run []step) rx.Load {
	dry, area, mass := span(run)
	w, _ := t.window(dry)
	return t.load(dry, w, area, mass)
}

// runCost is how far, by acres, a run of steps stands from the intended rate.
type runCost struct {
	t     *Task
	by    serves
	steps []step
	sums  prefix
}

// of returns Σ acres·|S−T| over the steps i to j, the end excluded, when they get
// the loading that suits them.
func (c runCost) of(i, j int) float64 {
	dry := rx.Range[unit.DryRate]{Min: c.steps[i].rate, Max: c.steps[j-1].rate}
	area, mass := c.sums.area[j]-c.sums.area[i], c.sums.mass[j]-c.sums.mass[i]
	w := c.by(dry)
	if w == nil {
		return math.Inf(1)
	}
	a := c.t.terms.Doses(unit.DryRate(float64(mass)/float64(area)), w)[0]
	turn := min(max(c.sums.below(unit.DryRateFor(c.t.terms.Intended, a)), i), j)
	under := c.off(a, i, turn)
	over := c.off(a, turn, j)
	return over - under
}

// off returns Σ acres·(S−T) over the steps i to j at the loading a.
func (c runCost) off(a unit.Loading, i, j int) float64 {
	area, mass := c.sums.area[j]-c.sums.area[i], c.sums.mass[j]-c.sums.mass[i]
	return float64(unit.Uptake(a, mass) - unit.VolumeOver(c.t.terms.Intended, area))
}

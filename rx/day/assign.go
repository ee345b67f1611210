package day

import (
	"cmp"
	"math"
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Choice is a way of its own that a field may take.
type Choice struct {
	Cost     float64
	Loadings int     // that it opens, shared with nobody
	Boom     float64 // what it takes of the boom's day, in acres or hours
}

// Field is what a field may take. Costs are in one currency, or in what stands for it.
type Field struct {
	Blend  int     // a number for each [Blend]: fields of one number may share a loading
	Window *Window // of loadings that it may share; nil where there is none
	Shared float64 // cost in a shared loading, the change-over left aside
	Others []Choice
	Out    float64 // cost of leaving it out of the day; finite
}

// Task is a day that is to be assigned.
type Task struct {
	Fields []Field
	Opened float64 // cost of a loading: its change-over; not negative
	Boom   float64 // what the boom can do in the day, in the unit of the choices; may be infinite
	Nodes  int     // most nodes of the search; 0 for [usualNodes]
}

// What a field takes, where that is none of its others.
const (
	Sharing = -1 // a shared loading
	LeftOut = -2 // it is not served today
)

// Assignment is who takes what.
type Assignment struct {
	Takes  []int   // of each field: an index of its others, [Sharing] or [LeftOut]
	Opened int     // loadings, those of the fields' own ways included
	Cost   float64 // in all
	Bound  float64 // that no assignment costs less than; equal to Cost where the search came to its end
}

// Gap returns how much less another assignment may cost at most; 0 where this one is proved
// to be the best.
func (a Assignment) Gap() float64 { return a.Cost - a.Bound }

// usualNodes is what the search of a day of 60 fields may take: a count, not a time, so that the
// same day has the same answer on every machine.
const usualNodes = 3000

// Assign finds the assignment of least cost. Without the boom's limit the best is found by
// a table over the loadings in their order; the limit is priced (Lagrange), which gives a bound,
// and the fields that the price does not settle are branched on.
func Assign(t Task) Assignment {
	s := newSearch(t)
	nodes := t.Nodes
	if nodes == 0 {
		nodes = usualNodes
	}
	stack := []node{{settled: make([]lane, len(t.Fields)), bound: math.Inf(-1)}}
	for len(stack) > 0 && nodes > 0 {
		n := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if s.proved(n.bound) {
			continue
		}
		nodes--
		stack = append(stack, s.branch(n)...)
	}
	s.best.Bound = s.best.Cost
	for _, n := range stack {
		s.best.Bound = min(s.best.Bound, n.bound)
	}
	return s.best
}

// lane says what is settled of a field in a part of the search.
type lane uint8

const (
	free lane = iota
	byBoom
	noBoom
)

// node is a part of the search.
type node struct {
	settled []lane
	bound   float64
	price   float64 // of the boom, to begin with
}

type search struct {
	Task
	points      []point // the upper ends of windows, ascending: a best assignment needs no others
	first, last []int   // of each field, the points that its window holds
	best        Assignment
}

// point is a loading of a blend. Those of one blend follow each other, so that a field's window
// holds neighboring points of its own blend alone: to the search, blends are parts of one axis.
type point struct {
	blend int
	at    unit.Loading
}

func (p point) compare(o point) int {
	return cmp.Or(cmp.Compare(p.blend, o.blend), cmp.Compare(p.at, o.at))
}

func newSearch(t Task) *search {
	s := &search{Task: t, first: make([]int, len(t.Fields)), last: make([]int, len(t.Fields))}
	for _, f := range t.Fields {
		if f.Window != nil {
			s.points = append(s.points, point{f.Blend, f.Window.Max})
		}
	}
	slices.SortFunc(s.points, point.compare)
	s.points = slices.Compact(s.points)
	for i, f := range t.Fields {
		if f.Window != nil {
			s.first[i], _ = slices.BinarySearchFunc(s.points, point{f.Blend, f.Window.Min}, point.compare)
			s.last[i], _ = slices.BinarySearchFunc(s.points, point{f.Blend, f.Window.Max}, point.compare)
		}
	}
	out := make([]int, len(t.Fields))
	for i := range out {
		out[i] = LeftOut
	}
	s.best = s.valued(out)
	return s
}

// leeway absorbs the rounding of sums of costs.
const leeway = 1e-9

// proved reports whether nothing of a bound can be better than the best found.
func (s *search) proved(bound float64) bool {
	return bound >= s.best.Cost-float64(leeway*(1+math.Abs(s.best.Cost)))
}

// valued works out what takes come to.
func (s *search) valued(takes []int) Assignment {
	a := Assignment{Takes: takes}
	var shared []rx.Range[float64] // of points
	for i, take := range takes {
		f := s.Fields[i]
		switch take {
		case Sharing:
			shared = append(shared, rx.Range[float64]{Min: float64(s.first[i]), Max: float64(s.last[i])})
			a.Cost += f.Shared
		case LeftOut:
			a.Cost += f.Out
		default:
			a.Cost += f.Others[take].Cost
			a.Opened += f.Others[take].Loadings
		}
	}
	a.Opened += len(fewest(shared))
	a.Cost += float64(s.Opened * float64(a.Opened))
	return a
}

// used returns what takes need of the boom.
func (s *search) used(takes []int) (sum float64) {
	for i, take := range takes {
		if take >= 0 {
			sum += s.Fields[i].Others[take].Boom
		}
	}
	return sum
}

// fits reports whether the boom can do that much.
func (s *search) fits(used float64) bool { return used <= s.Boom*(1+leeway) }

// keep takes an assignment that fits, if it is better than the best.
func (s *search) keep(takes []int) {
	if a := s.valued(takes); a.Cost < s.best.Cost {
		s.best = a
	}
}

// priceSteps is how often the price of the boom is halved in.
const priceSteps = 16

// branch looks at a part of the search: it keeps what fits, and returns the two halves of what
// is left to look at, if anything is.
func (s *search) branch(n node) []node {
	over, value := s.relaxed(n.settled, 0)
	n.bound = max(n.bound, value)
	if s.fits(s.used(over)) {
		s.keep(over)
		return nil
	}
	low, high := 0.0, max(n.price, s.Opened, 1e-6)
	under := []int(nil)
	for range 80 {
		takes, value := s.relaxed(n.settled, high)
		n.bound = max(n.bound, value)
		if s.fits(s.used(takes)) {
			under = takes
			break
		}
		over, low, high = takes, high, high*4
	}
	if under == nil {
		return nil // what is settled is more than the boom can do
	}
	s.keep(under)
	for range priceSteps {
		if s.proved(n.bound) {
			return nil
		}
		price := (low + high) / 2
		takes, value := s.relaxed(n.settled, price)
		n.bound = max(n.bound, value)
		if s.fits(s.used(takes)) {
			s.keep(takes)
			under, high = takes, price
		} else {
			over, low = takes, price
		}
	}
	if s.proved(n.bound) {
		return nil
	}
	return s.halves(n, over, under, high)
}

// halves splits a part of the search by the unsettled field that takes most of the boom among
// those that two prices tell differently, or else of all.
func (s *search) halves(n node, over, under []int, price float64) []node {
	at, most := -1, 0.0
	for _, differ := range []bool{true, false} {
		for i, take := range over {
			if n.settled[i] != free || take < 0 || differ && under[i] == take {
				continue
			}
			if b := s.Fields[i].Others[take].Boom; b > most {
				at, most = i, b
			}
		}
		if at >= 0 {
			break
		}
	}
	if at < 0 {
		return nil // all that takes of the boom is settled, and it is too much
	}
	var out []node
	for _, l := range []lane{noBoom, byBoom} {
		settled := slices.Clone(n.settled)
		settled[at] = l
		out = append(out, node{settled, n.bound, price})
	}
	return out
}

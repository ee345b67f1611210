package lane

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// means are sums of ground, and of ground times rate, up to each break of each lane.
type means struct {
	breaks []float64
	sums   [][]sum // by lane and break; the ground before the first break is left out
}

type sum struct{ area, amount float64 }

// mean returns the mean rate of lanes between two breaks; NaN where they have no rate.
func (m *means) mean(from, to float64, lanes ...int) float64 {
	i, _ := slices.BinarySearch(m.breaks, from)
	k, _ := slices.BinarySearch(m.breaks, to)
	var all sum
	for _, lane := range lanes {
		all.area += m.sums[lane][k].area - m.sums[lane][i].area
		all.amount += m.sums[lane][k].amount - m.sums[lane][i].amount
	}
	return all.amount / all.area
}

// means adds up the zones that get something.
func (l Lanes) means(g Ground, breaks []float64) *means {
	m := &means{breaks: breaks, sums: make([][]sum, l.Count)}
	for i := range m.sums {
		m.sums[i] = make([]sum, len(breaks))
	}
	for z := range g.Zones.Len() {
		if !(g.Rates[z] > 0) {
			continue
		}
		for polygon := range g.Zones.Polygons(z) {
			for k, ring := range polygon {
				sign := 1.0
				if k > 0 {
					sign = -1
				}
				m.ring(l, ring, sign, g.Rates[z])
			}
		}
	}
	for _, lane := range m.sums {
		for i := 1; i < len(lane); i++ {
			lane[i].area += lane[i-1].area
			lane[i].amount += lane[i-1].amount
		}
	}
	return m
}

// ring adds the ground of a ring, or takes it away. By Green's theorem the ground of it between
// two sides and two breaks is the integral, around it, of what the way across is beyond the one
// side, at most to the other.
func (m *means) ring(l Lanes, ring orb.Ring, sign, rate float64) {
	turned := make(orb.Ring, len(ring))
	left, right := math.Inf(1), math.Inf(-1)
	for i, p := range ring {
		turned[i] = l.Turn(p)
		left, right = min(left, turned[i][0]), max(right, turned[i][0])
	}
	if geo.TwiceArea(turned) < 0 {
		sign = -sign
	}
	first := max(0, int(math.Floor((left-l.Left)/l.Width)))
	last := min(l.Count-1, int(math.Floor((right-l.Left)/l.Width)))
	for lane := first; lane <= last; lane++ {
		for i := 1; i < len(turned); i++ {
			m.edge(m.sums[lane], l.Side(lane), l.Width, turned[i-1], turned[i], sign, rate)
		}
	}
}

// edge adds the share of one edge in the ground of a lane, break by break.
func (m *means) edge(lane []sum, side, width float64, a, b orb.Point, sign, rate float64) {
	if a[1] > b[1] {
		a, b, sign = b, a, -sign
	}
	at, _ := slices.BinarySearch(m.breaks, a[1])
	for from := a; from[1] < b[1] && at < len(lane); at++ {
		to := b
		if end := m.breaks[at]; end < b[1] {
			to = orb.Point{a[0] + float64((b[0]-a[0])*((end-a[1])/(b[1]-a[1]))), end}
		}
		if at > 0 {
			area := float64(sign * float64((to[1]-from[1])*meanWithin(from[0]-side, to[0]-side, width)))
			lane[at].area += area
			lane[at].amount += float64(area * rate)
		}
		from = to
	}
}

// meanWithin is the mean from a to b of a value that is cut off at 0 and at most.
func meanWithin(a, b, most float64) float64 {
	if math.Abs(b-a) < 1e-6*most {
		return min(max((a+b)/2, 0), most)
	}
	whole := func(u float64) float64 { // from 0 to u
		switch {
		case u <= 0:
			return 0
		case u >= most:
			return float64(most * (u - float64(most/2)))
		}
		return float64(u*u) / 2
	}
	return (whole(b) - whole(a)) / (b - a)
}

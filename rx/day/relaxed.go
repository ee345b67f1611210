package day

import "math"

// relaxed finds the best assignment where the boom has no limit but a price, and returns a
// value that no assignment within the limit is below: its cost and price·(used − limit).
//
// Each field takes the best of its own choices unless a shared loading gains on it. Which loadings
// to open is a table over them in ascending order, blend after blend: a field whose window holds several is counted
// with the first of them.
func (s *search) relaxed(settled []lane, price float64) (takes []int, value float64) {
	takes = make([]int, len(s.Fields))
	gains := make([]float64, len(s.Fields))
	if price > 0 {
		value = float64(-price * s.Boom)
	}
	for i, f := range s.Fields {
		take, cost := s.own(f, settled[i], price)
		takes[i] = take
		if settled[i] != byBoom && f.Window != nil {
			gains[i] = cost - f.Shared
		}
		value += cost
	}
	opened, gained := s.open(gains)
	for i := range takes {
		if gains[i] <= 0 {
			continue
		}
		for q := s.first[i]; q <= s.last[i]; q++ {
			if opened[q] {
				takes[i] = Sharing
			}
		}
	}
	return takes, value - gained
}

// own returns the best of a field's own choices, with the boom at a price.
func (s *search) own(f Field, l lane, price float64) (take int, cost float64) {
	take, cost = LeftOut, f.Out
	if l == byBoom {
		cost = math.Inf(1)
	}
	for j, c := range f.Others {
		if l == byBoom && c.Boom == 0 || l == noBoom && c.Boom > 0 {
			continue
		}
		if all := c.Cost + float64(s.Opened*float64(c.Loadings)) + float64(price*c.Boom); all < cost {
			take, cost = j, all
		}
	}
	return take, cost
}

// open chooses the loadings whose gains are most above what it costs to open them.
func (s *search) open(gains []float64) (opened []bool, gained float64) {
	n := len(s.points)
	opened = make([]bool, n)
	best, before := make([]float64, n), make([]int, n)
	starts := make([]float64, n) // gains of the fields that hold q, by their first point
	last := -1
	for q := range n {
		clear(starts)
		for i, g := range gains {
			if g > 0 && s.first[i] <= q && q <= s.last[i] {
				starts[s.first[i]] += g
			}
		}
		best[q] = math.Inf(-1)
		fresh := 0.0 // of the fields that do not hold p
		for p := q - 1; p >= -1; p-- {
			fresh += starts[p+1]
			earlier := 0.0
			if p >= 0 {
				earlier = best[p]
			}
			if all := earlier + fresh - s.Opened; all > best[q] {
				best[q], before[q] = all, p
			}
		}
		if best[q] > gained {
			gained, last = best[q], q
		}
	}
	for q := last; q >= 0; q = before[q] {
		opened[q] = true
	}
	return opened, gained
}

package read

import (
	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

var rateTenfold = rx.NewRule[besides]("rate-tenfold", rx.AboutFile, rx.EveryPlan).InDoubt()

// besides are rates of zones, and those of their neighbors.
type besides struct {
	Rates, Neighbors rx.Range[unit.DryRate]
	Low              bool // the rates are a tenth of their neighbors'; else ten times
}

// A slip of the decimal point makes a rate ten times another, and what was meant differs
// from the neighbors' as rates do. A low rate beside high ones is common, so that it has
// to be nearer to a tenth. Common practice, no source.
const (
	cliff   = 6
	tenthOf = 8
	tenthTo = 12.5
)

// slipped is a rate of one product, a zone each, with which zones lie together: each
// zone's leads to one that stands for all whose rates are not a cliff apart.
type slipped struct {
	*suspect
	rate   func(z int) unit.DryRate
	leader []int32
}

// findTenfold finds ground that gets some ten times the dry of all ground around it, or a
// tenth, where it is no more than half of that ground: of two that differ, the smaller one
// is the slip.
func findTenfold(s *suspect) (out []rx.Finding) {
	if s.Mesh == nil {
		return nil
	}
	if s.Blend() {
		return tenfold(&slipped{suspect: s, rate: func(z int) unit.DryRate { return s.Zones[z].Dry }})
	}
	for f := range s.Fields {
		for _, found := range tenfold(&slipped{suspect: s, rate: func(z int) unit.DryRate { return s.FieldRate(z, f) }}) {
			out = append(out, ofField(s.Fields[f].Name, found))
		}
	}
	return out
}

// tenfold looks at one product.
func tenfold(s *slipped) (out []rx.Finding) {
	var all rx.Range[unit.DryRate]
	first := true
	for z := range s.Zones {
		if r := s.rate(z); r > 0 {
			all.Widen(r, first)
			first = false
		}
	}
	if all.Max < cliff*all.Min {
		return nil
	}
	s.leader = make([]int32, len(s.Zones))
	for z := range s.leader {
		s.leader[z] = int32(z)
	}
	s.beside(func(low, high int, ratio float64) {
		if ratio < cliff {
			s.leader[s.lead(low)] = s.lead(high)
		}
	})
	for _, low := range []bool{false, true} {
		if f, ok := s.found(low); ok {
			out = append(out, f)
		}
	}
	return out
}

// lead returns the zone that stands for those that z lies together with.
func (s *slipped) lead(z int) int32 {
	for int(s.leader[z]) != z {
		s.leader[z] = s.leader[s.leader[z]]
		z = int(s.leader[z])
	}
	return int32(z)
}

// beside yields zones that touch and get dry, the one with the lower rate first.
func (s *slipped) beside(yield func(low, high int, ratio float64)) {
	zone := make([]int32, s.Drawn.Len()) // of a record, from 1
	for z := range s.Zones {
		if s.rate(z) > 0 {
			zone[s.Zones[z].Record] = int32(z) + 1
		}
	}
	s.Mesh.Touching(func(a, b int) {
		low, high := int(zone[a])-1, int(zone[b])-1
		if low < 0 || high < 0 {
			return
		}
		if s.rate(low) > s.rate(high) {
			low, high = high, low
		}
		yield(low, high, float64(s.rate(high)/s.rate(low)))
	})
}

// found gathers the zones whose ground stands out on all sides.
func (s *slipped) found(low bool) (f rx.Finding, ok bool) {
	area := make([]unit.Area, len(s.Zones))
	outside := make([]rx.Range[unit.DryRate], len(s.Zones)) // rates around what a zone stands for
	plain := make([]bool, len(s.Zones))                     // it does not stand out
	around := make([]unit.Area, len(s.Zones))               // area of what lies around it
	seen := map[[2]int32]bool{}
	for z, zone := range s.Zones {
		if s.rate(z) > 0 {
			area[s.lead(z)] += zone.Area
		}
	}
	s.beside(func(under, over int, ratio float64) {
		a, b := s.lead(under), s.lead(over)
		if a == b {
			return
		}
		own, other, from := b, a, under
		if low {
			own, other, from = a, b, over
		}
		plain[other] = true
		plain[own] = plain[own] || low && (ratio < tenthOf || ratio > tenthTo)
		outside[own].Widen(s.rate(from), outside[own].Max == 0)
		if pair := [2]int32{own, other}; !seen[pair] {
			seen[pair] = true
			around[own] += area[other]
		}
	})
	var d besides
	d.Low = low
	f = rateTenfold.Find(rx.Warning, d)
	ok = f.Where(s.Prescription, func(z int) bool {
		at := s.lead(z)
		if !(s.rate(z) > 0) || plain[at] || outside[at].Max == 0 || 2*area[at] > around[at]*(1+1e-6) {
			return false
		}
		d.Neighbors.Widen(outside[at].Min, d.Rates.Max == 0)
		d.Neighbors.Widen(outside[at].Max, false)
		d.Rates.Widen(s.rate(z), d.Rates.Max == 0)
		return true
	})
	if ok {
		f.Data = d
		place := geo.InteriorPoint(s.LonLat.Shape(f.Zones[0] - 1))
		f.Place = &place
	}
	return f, ok
}

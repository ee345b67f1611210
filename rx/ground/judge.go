package ground

import (
	"math"

	"rxsplit/geo/coverage"
)

// Marks of each product.
const (
	markCovered = iota
	markSkip
	markTwice
	markThrice
	markOff
	markOutside
	markKeepOut
	productMarks
)

// Class is how a liquid stands on ground.
type Class uint8

// The classes of ground, in the order of the marks of each liquid.
const (
	None Class = iota
	Below
	Within
	Above
	OverSeason // and within the label's rates of a pass
	classes
)

// liquidMarks are those of each liquid: its classes, and all that is above its season maximum,
// which may be below or above the rates of a pass as well.
const (
	markSeason  = int(classes)
	liquidMarks = markSeason + 1
)

// String returns the class's name.
func (c Class) String() string {
	return [...]string{"none", "below", "within", "above", "over-season"}[c]
}

// graded is a liquid as ground is held against it.
type graded struct {
	number    int // 0 is the stabilizer
	low, high float64
	season    []float64 // what the season maximum leaves of each zone; nil without one
	labeled   bool
	carried   [][]float64 // by product and zone; the last of each is for outside
}

// judge marks ground. It holds tables alone, so that it can be asked many million times.
type judge struct {
	targets [][]float64 // by product and zone
	liquid  []bool      // by product: it is not wanted in keep-outs
	graded  []graded
}

// classOf returns the class of a rate.
func (g *graded) classOf(s float64, zone int) Class {
	switch {
	case !(s > 0):
		return None
	case !g.labeled:
		return Within
	case s > g.high*(1+1e-9):
		return Above
	case s < g.low*(1-1e-9):
		return Below
	case g.passesSeason(s, zone):
		return OverSeason
	}
	return Within
}

// passesSeason reports whether a rate is more than the season has left of its maximum.
func (g *graded) passesSeason(s float64, zone int) bool {
	return g.season != nil && s > 0 && s > g.season[zone]+float64(1e-9*g.high)
}

// rate returns what a stretch gets of a liquid.
func (g *graded) rate(s *coverage.State) float64 {
	sum := 0.0
	for p, d := range s.Density {
		zone := s.Zone
		if zone < 0 {
			zone = len(g.carried[p]) - 1
		}
		sum += float64(d * g.carried[p][zone])
	}
	return sum
}

func (j *judge) marks(s *coverage.State) (m coverage.Marks) {
	for p, n := range s.Covers {
		m |= j.product(s, p, n) << (productMarks * p)
	}
	if s.Zone < 0 {
		return m
	}
	for k := range j.graded {
		g := &j.graded[k]
		rate, first := g.rate(s), productMarks*len(s.Covers)+liquidMarks*k
		m |= 1 << (first + int(g.classOf(rate, s.Zone)))
		if g.passesSeason(rate, s.Zone) {
			m |= 1 << (first + markSeason)
		}
	}
	return m
}

// target returns what a stretch inside the field wants of a product.
func (j *judge) target(s *coverage.State, p int) float64 {
	if (s.KeptOut || s.Spared) && j.liquid[p] {
		return 0
	}
	return j.targets[p][s.Zone]
}

func (j *judge) product(s *coverage.State, p int, n int32) (m coverage.Marks) {
	if n > 0 {
		m |= 1 << markCovered
		if n > 1 {
			m |= 1 << markTwice
		}
		if n > 2 {
			m |= 1 << markThrice
		}
		if s.KeptOut {
			m |= 1 << markKeepOut
		}
	}
	if s.Zone < 0 {
		if n > 0 {
			m |= 1 << markOutside
		}
		return m
	}
	target := j.target(s, p)
	if target > 0 && n == 0 {
		m |= 1 << markSkip
	}
	if off := math.Abs(s.Density[p] - target); off > target*0.1*(1+1e-9) {
		m |= 1 << markOff
	}
	return m
}

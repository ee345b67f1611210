package geo

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// AreaMethod counts the rings whose acres came one way and the other.
type AreaMethod struct {
	Formula int // edges up to 20 km: within 3e-10 of the exact area
	Exact   int // a longer edge: exact geodesics
}

// Areas returns the acres of each record of a layer in lon/lat: its shells less
// its holes, whatever way they wind; 0 for one without a polygon. A polygon whose
// holes outgrow its shell, which [RingProblems] tells of, counts 0. It uses all
// cores; the result doesn't depend on how many there are. The error is an
// [*AreaError] that names the first record in file order that has no acres.
func (s *Shapes) Areas() ([]unit.Area, error) {
	areas, _, err := s.AreasMethod()
	return areas, err
}

// AreasMethod returns what [Shapes.Areas] does, and how it was computed.
func (s *Shapes) AreasMethod() ([]unit.Area, AreaMethod, error) {
	areas := make([]unit.Area, s.Len())
	methods := make([]AreaMethod, blocks(s.Len()))
	errs := make([]error, blocks(s.Len()))
	inBlocks(s.Len(), func(block, from, to int) {
		for i := from; i < to; i++ {
			area, err := s.recordArea(i, &methods[block])
			if err != nil {
				errs[block] = atRecord(err, i)
				return
			}
			areas[i] = area
		}
	})
	var method AreaMethod
	for i, m := range methods {
		if errs[i] != nil {
			return nil, AreaMethod{}, errs[i]
		}
		method.Formula += m.Formula
		method.Exact += m.Exact
	}
	return areas, method, nil
}

func (s *Shapes) recordArea(i int, method *AreaMethod) (unit.Area, error) {
	var sum float64
	for p, end := s.PolySpan(i); p < end; p++ {
		from, to := s.RingSpan(p)
		var polygon float64
		for r := from; r < to; r++ {
			area, err := method.ring(s.Ring(r))
			if err != nil {
				return 0, err
			}
			if r > from {
				area = -area
			}
			polygon += area
		}
		sum += max(0, polygon)
	}
	return unit.Area(sum) * unit.SquareMeter, nil
}

// ring returns the size of a ring in square meters and counts it.
func (m *AreaMethod) ring(ring orb.Ring) (float64, error) {
	area, exact, err := ringArea(ring)
	if exact {
		m.Exact++
	} else {
		m.Formula++
	}
	return math.Abs(area), err
}

// AreaOf returns the acres of a multipolygon in lon/lat as [Shapes.Areas] does.
func AreaOf(mp orb.MultiPolygon) (unit.Area, error) {
	var method AreaMethod
	var sum float64
	for _, polygon := range mp {
		var own float64
		for r, ring := range polygon {
			area, err := method.ring(ring)
			if err != nil {
				return 0, err
			}
			if r > 0 {
				area = -area
			}
			own += area
		}
		sum += max(0, own)
	}
	return unit.Area(sum) * unit.SquareMeter, nil
}

func atRecord(err error, record int) error {
	var bad *AreaError
	if errors.As(err, &bad) {
		bad.Record = record
	}
	return err
}

func recordPrefix(record int) string {
	if record < 0 {
		return ""
	}
	return fmt.Sprintf("record %d: ", record+1)
}

// placeText prints a place to a centimeter in degrees, to less in meters.
func placeText(p orb.Point) string { return fmt.Sprintf("at %.7f, %.7f", p[0], p[1]) }

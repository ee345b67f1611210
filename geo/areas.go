package geo

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/internal/cores"
	"rxsplit/label/unit"
)

// Areas returns the acres of each record of a layer in lon/lat: its shells less
// its holes, whatever way they wind; 0 for one without a polygon. A polygon whose
// holes outgrow its shell, which [RingProblems] tells of, counts 0. It uses all
// cores; the result doesn't depend on how many there are. The error names the first
// record in file order that has no acres, and why.
func (s *Shapes) Areas() ([]unit.Area, error) {
	areas := make([]unit.Area, s.Len())
	err := cores.Try(s.Len(), cores.Block, func(from, to int) error {
		for i := from; i < to; i++ {
			area, err := s.recordArea(i)
			if err != nil {
				return atRecord(err, i)
			}
			areas[i] = area
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return areas, nil
}

func (s *Shapes) recordArea(i int) (unit.Area, error) {
	var sum float64
	for p, end := s.PolySpan(i); p < end; p++ {
		from, to := s.RingSpan(p)
		size, err := polygonSize(to-from, func(r int) orb.Ring { return s.Ring(from + r) })
		if err != nil {
			return 0, err
		}
		sum += size
	}
	return meters2(sum), nil
}

// AreaOf returns the acres of a multipolygon in lon/lat as [Shapes.Areas] does.
func AreaOf(mp orb.MultiPolygon) (unit.Area, error) {
	var sum float64
	for _, polygon := range mp {
		size, err := polygonSize(len(polygon), func(r int) orb.Ring { return polygon[r] })
		if err != nil {
			return 0, err
		}
		sum += size
	}
	return meters2(sum), nil
}

// polygonSize returns the square meters of a polygon of some rings, the shell first.
func polygonSize(rings int, ring func(r int) orb.Ring) (size float64, err error) {
	for r := range rings {
		area, _, err := ringArea(ring(r))
		if err != nil {
			return 0, err
		}
		if r == 0 {
			size = math.Abs(area)
		} else {
			size -= math.Abs(area)
		}
	}
	return max(0, size), nil
}

func atRecord(err error, record int) error {
	var bad *areaError
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

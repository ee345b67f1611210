package geo

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
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

// AreasWithin returns how much of each record's ground lies in a multipolygon, both
// in lon/lat and valid. Records that its border does not come near are looked up by
// a point; the others are cut. The error names the record, from 1.
func AreasWithin(s *Shapes, clip orb.MultiPolygon) ([]unit.Area, error) {
	c := newClip(clip)
	areas := make([]unit.Area, s.Len())
	err := cores.Try(s.Len(), cores.Block, func(from, to int) error {
		for i := from; i < to; i++ {
			area, err := c.area(s, i)
			if err != nil {
				return fmt.Errorf("record %d: %w", i+1, err)
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

// clip is a multipolygon whose sides are found by place.
type clip struct {
	polygons orb.MultiPolygon
	bounds   []orb.Bound // of the polygons
	sides    *sides
}

func newClip(polygons orb.MultiPolygon) *clip {
	c := &clip{polygons: polygons, sides: newSides(polygons, asDrawn)}
	for _, polygon := range polygons {
		c.bounds = append(c.bounds, polygon.Bound())
	}
	return c
}

func (c *clip) area(s *Shapes, record int) (unit.Area, error) {
	if s.Empty(record) {
		return 0, nil
	}
	shape, box := s.Shape(record), s.Bound(record)
	if !c.sides.meet(box) {
		if !c.sides.around(shape[0][0][0]) {
			return 0, nil
		}
		return AreaOf(shape)
	}
	var parts orb.MultiPolygon
	for i, polygon := range c.polygons {
		if boxtree.Meet(box, c.bounds[i]) {
			parts = append(parts, polygon)
		}
	}
	common, err := Intersect(shape, parts)
	if err != nil {
		return 0, err
	}
	return AreaOf(common)
}

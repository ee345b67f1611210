package geo

import (
	"fmt"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
	"rxsplit/internal/cores"
	"rxsplit/label/unit"
)

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

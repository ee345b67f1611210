package geojson

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// coordinates reads those of a Polygon or MultiPolygon. What can't be read is
// skipped, if it is JSON, and is the record's trouble.
func (d *featureDecoder) coordinates(kind geometryType) error {
	start := d.pos
	if kind == point && d.point() || kind == polygon && d.polygon() || kind == multiPolygon && d.polygons() {
		return nil
	}
	at := d.pos
	d.pos = start
	if _, err := d.value(); err != nil {
		return err
	}
	end := d.pos
	d.pos = at
	d.blamePosition(kind)
	d.pos = end
	return nil
}

// point reads one position.
func (d *featureDecoder) point() bool {
	p, ok := d.position(&d.flat)
	if !ok {
		return false
	}
	s := &d.part.shapes
	s.Points = append(s.Points, p)
	s.RingEnds = append(s.RingEnds, int32(len(s.Points)))
	s.PolyEnds = append(s.PolyEnds, int32(len(s.RingEnds)))
	return true
}

func (d *featureDecoder) polygons() bool {
	if !d.take('[') {
		return false
	}
	for first := true; ; first = false {
		more, err := d.another(first, ']')
		if err != nil || !more {
			return err == nil
		}
		if !d.polygon() {
			return false
		}
	}
}

// polygon reads one array of rings. One without any is no polygon.
func (d *featureDecoder) polygon() bool {
	if !d.take('[') {
		return false
	}
	s := &d.part.shapes
	rings := len(s.RingEnds)
	for first := true; ; first = false {
		more, err := d.another(first, ']')
		if err != nil {
			return false
		}
		if !more {
			if len(s.RingEnds) > rings {
				s.PolyEnds = append(s.PolyEnds, int32(len(s.RingEnds)))
			}
			return true
		}
		from := len(s.Points)
		var ok bool
		if s.Points, ok = d.ring(s.Points, &d.flat); !ok {
			return false
		}
		d.closeRing(from, len(s.RingEnds)-rings)
	}
}

// blamePosition says what is wrong with the coordinates at the cursor, which
// are JSON but not what stands there in a polygon.
func (d *featureDecoder) blamePosition(kind geometryType) {
	switch b := d.peek(); {
	case b == '[':
		d.troubled("", nil, fmt.Sprintf("coordinates are nested deeper than those of a %s", kind))
	case b == ']' || b == ',':
		d.troubled("", nil, "a position has fewer than two ordinates")
	case b == '-' || isDigit(b):
		value, _ := d.value()
		if _, _, finite := number(value, 0); finite {
			d.troubled("", value, fmt.Sprintf("stands where a %s has an array", kind))
		} else {
			d.troubled("", value, "is not finite")
		}
	default:
		value, _ := d.value()
		d.troubled("", value, "is not a number")
	}
}

// closeRing ends the ring that begins at points[from]; nth counts from 0 in its
// polygon.
func (d *featureDecoder) closeRing(from, nth int) {
	s := &d.part.shapes
	ring := s.Points[from:]
	if len(ring) == 0 && nth == 0 && d.peek() == ']' {
		return // [[]]: nothing is there
	}
	if !threeDistinct(ring) {
		d.troubled("", nil, fmt.Sprintf("ring %d has fewer than 3 distinct points", nth+1))
	} else if ring[0] != ring[len(ring)-1] {
		d.open = true
		s.Points = append(s.Points, ring[0])
	}
	if a := signedArea(s.Points[from:]); nth == 0 && a < 0 || nth > 0 && a > 0 {
		d.wound = true
	}
	s.RingEnds = append(s.RingEnds, int32(len(s.Points)))
}

func threeDistinct(ring []orb.Point) bool {
	for i, second := range ring {
		if second == ring[0] {
			continue
		}
		for _, third := range ring[i+1:] {
			if third != ring[0] && third != second {
				return true
			}
		}
		return false
	}
	return false
}

// signedArea returns twice a ring's area in the plane of its coordinates, above
// 0 if it runs counter-clockwise; only its sign is of use. It is 0 if rounding
// could have made the sign: each of the n terms is off by at most 4 and their sum
// by n units of the last place. Products are of distances from the first point,
// to keep their digits.
func signedArea(ring []orb.Point) float64 {
	if len(ring) == 0 {
		return 0
	}
	x0, y0 := ring[0][0], ring[0][1]
	var x, y, sum, size float64
	for _, p := range ring[1:] {
		u, v := p[0]-x0, p[1]-y0
		sum += float64(x*v) - float64(u*y)
		size += math.Abs(x*v) + math.Abs(u*y)
		x, y = u, v
	}
	if math.Abs(sum) <= float64(len(ring)+4)*0x1p-53*size {
		return 0
	}
	return sum
}

package geojson

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

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
		sum += x*v - u*y
		size += math.Abs(x*v) + math.Abs(u*y)
		x, y = u, v
	}
	if math.Abs(sum) <= float64(len(ring)+4)*0x1p-53*size {
		return 0
	}
	return sum
}

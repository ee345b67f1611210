package read

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/rx"
)

// acrossMeridian finds zones with an edge that jumps from one side of the 180°
// meridian to the other: whoever draws it draws it around the globe, so a zone has
// to be cut there (RFC 7946, 3.1.9). Longitudes that run on beyond 180° don't jump.
func acrossMeridian(lonlat *geo.Shapes) []rx.Finding {
	if extent := lonlat.Extent(); extent.Max[0]-extent.Min[0] <= 180 {
		return nil
	}
	var zones []int
	var place orb.Point
	for i := range lonlat.Len() {
		if at, jumps := jump(lonlat, i); jumps {
			if zones == nil {
				place = at
			}
			zones = append(zones, i+1)
		}
	}
	if zones == nil {
		return nil
	}
	verb := "crosses"
	if len(zones) > 1 {
		verb = "cross"
	}
	return []rx.Finding{{
		Rule: "antimeridian", Severity: rx.Error, About: rx.AboutFile, Zones: zones, Place: &place,
		Text: fmt.Sprintf("%s %s the 180° meridian in one piece: maps and machines would draw it around the globe", rx.ZonesNamed(zones), verb),
		Hint: "cut it in two along the meridian where the prescription was made, and export it again",
	}}
}

// jump returns where an edge of a record leaves for the other side of the globe.
func jump(s *geo.Shapes, record int) (from orb.Point, jumps bool) {
	r, end := s.ShapeRings(record)
	for ; r < end; r++ {
		ring := s.Ring(r)
		for i := 1; i < len(ring); i++ {
			if math.Abs(ring[i][0]-ring[i-1][0]) > 180 {
				return ring[i-1], true
			}
		}
	}
	return from, false
}

package crs

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/tidwall/geodesic"
)

// Areas in the local plane against the geodesic ones of GeographicLib's algorithm.
func TestLocalKeepsAreas(t *testing.T) {
	for _, lat := range []float64{-35, 30, 45, 60} {
		s := Local(orb.Point{-93, lat})
		ring := []orb.Point{{-93.02, lat - 0.015}, {-92.98, lat - 0.015}, {-92.98, lat + 0.015}, {-93.02, lat + 0.015}}
		exact := geodesic.WGS84.PolygonInit(false)
		for _, p := range ring {
			exact.AddPoint(p[1], p[0])
		}
		var want float64
		exact.Compute(false, true, &want, nil)
		plane := make([]orb.Point, len(ring))
		if err := s.FromLonLat(plane, ring); err != nil {
			t.Fatal(err)
		}
		area := 0.0
		for i, p := range plane {
			q := plane[(i+1)%4]
			area += (p[0]*q[1] - q[0]*p[1]) / 2
		}
		// Sides along the parallels are chords in the plane and geodesics on the globe: the
		// same line but for millimeters.
		if math.Abs(area/want-1) > 2e-7 {
			t.Errorf("at %v: %.3f m², want %.3f: off by %.2g", lat, area, want, area/want-1)
		}
		back := make([]orb.Point, len(ring))
		if err := s.ToLonLat(back, plane); err != nil {
			t.Fatal(err)
		}
		for i := range back {
			if math.Abs(back[i][0]-ring[i][0])+math.Abs(back[i][1]-ring[i][1]) > 1e-12 {
				t.Errorf("%v comes back as %v", ring[i], back[i])
			}
		}
	}
}

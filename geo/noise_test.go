package geo

import (
	"testing"

	"github.com/paulmach/orb"
)

// Common ground is noise where it is no wider than the tolerance, 3 mm, on average: of
// strips 100 m long, and of strips around a hole.
func TestNoise(t *testing.T) {
	m := mesh(t, picture("#"))
	for _, c := range []struct {
		name  string
		shape orb.MultiPolygon
		want  bool
	}{
		{"strip of 2.9 mm", orb.MultiPolygon{{box(0, 0, 100, 0.0029)}}, true},
		{"strip of 3.1 mm", orb.MultiPolygon{{box(0, 0, 100, 0.0031)}}, false},
		{"strip of 3.1 mm, clockwise", orb.MultiPolygon{{reversed(box(0, 0, 100, 0.0031))}}, false},
		{"strips of 2.9 mm around a hole", orb.MultiPolygon{{box(0, 0, 100, 100), reversed(box(0.0029, 0.0029, 100-0.0029, 100-0.0029))}}, true},
		{"strips of 3.1 mm around a hole", orb.MultiPolygon{{box(0, 0, 100, 100), reversed(box(0.0031, 0.0031, 100-0.0031, 100-0.0031))}}, false},
		{"a strip beside a field", orb.MultiPolygon{{box(0, 0, 100, 0.0029)}, {box(0, 1, 100, 2)}}, false},
		{"nothing", nil, true},
	} {
		if got := (overlapFinder{m}).isNoise(c.shape); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func reversed(r orb.Ring) orb.Ring {
	r.Reverse()
	return r
}

// Far north a degree of longitude is half one of latitude, and millimeters count alike
// on both axes: vertices nearer than 3 mm are one.
func TestWeldOnBothAxes(t *testing.T) {
	const tol = 0.003
	p := orb.Point{10, 60}
	scale := LonLatScale(orb.Bound{Min: p, Max: p})
	for _, c := range []struct {
		east, north float64 // meters
		same        bool
	}{
		{0.0029, 0, true}, {0.0031, 0, false}, {0.005, 0, false},
		{0, 0.0029, true}, {0, 0.0031, false}, {0, 0.005, false},
		{0.002, 0.002, true}, {0.0025, 0.0025, false},
		{-0.0029, 0, true}, {0, -0.0029, true}, {0, -0.005, false},
	} {
		q := orb.Point{p[0] + c.east/scale.X, p[1] + c.north/scale.Y}
		box := orb.Bound{Min: orb.Point{9.99, 59.99}, Max: orb.Point{10.01, 60.01}}
		points := []orb.Point{p, q}
		w := newWelder(points, plane{box.Min, scale}, box, tol)
		if same := w.number(0, p) == w.number(1, q); same != c.same {
			t.Errorf("%v m east, %v m north: one vertex is %v, want %v", c.east, c.north, same, c.same)
		}
	}
}

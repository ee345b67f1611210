package geo_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
)

func TestLongestExtent(t *testing.T) {
	for _, c := range []struct {
		name    string
		polygon orb.Polygon
		want    float64 // meters
	}{
		{"square: its diagonal", orb.Polygon{rectangle(0, 0, 100, 100)}, 100 * math.Sqrt2},
		{"rectangle 3 by 4", orb.Polygon{rectangle(0, 0, 30, 40)}, 50},
		{"slanted", orb.Polygon{turned(rectangle(0, 0, 30, 40), 61)}, 50},
		{"3-4-5 triangle", orb.Polygon{closed(0, 0, 80, 0, 0, 60)}, 100},
		{"L", orb.Polygon{closed(0, 0, 100, 0, 100, 40, 40, 40, 40, 100, 0, 100)}, 100 * math.Sqrt2},
		{"trapezoid", orb.Polygon{closed(0, 0, 100, 0, 70, 10, 40, 10)}, 100},
		// In lon/lat the corners of the slanting side are on one line but for rounding.
		{"five corners on a side", orb.Polygon{closed(60, 20, 80, 40, 100, 60, 120, 80, 140, 100, 110, 180)}, math.Hypot(50, 160)},
		{"line", orb.Polygon{closed(0, 0, 30, 40)}, 50},
		{"point", orb.Polygon{closed(1, 1)}, 0},
		{"nothing", nil, 0},
	} {
		if got := unit.Meters(geo.LongestExtent(degrees(c.polygon), endless)); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("%s: got %.8f m, want %.8f m", c.name, got, c.want)
		}
	}
}

// Against all pairs of vertices.
func TestLongestExtentAgainstAllPairs(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	for n := range 200 {
		polygon := star(r)
		if n%2 == 0 { // cells of a grid: many collinear points and parallel edges
			for i := range polygon[0] {
				polygon[0][i] = orb.Point{10 * math.Round(polygon[0][i][0]/10), 10 * math.Round(polygon[0][i][1]/10)}
			}
		}
		want := 0.0
		for _, p := range polygon[0] {
			for _, q := range polygon[0] {
				want = max(want, math.Hypot(p[0]-q[0], p[1]-q[1]))
			}
		}
		if got := unit.Meters(geo.LongestExtent(degrees(polygon), endless)); math.Abs(got-want) > 1e-6 {
			t.Errorf("%d: got %.8f m, want %.8f m", n, got, want)
		}
	}
}

// Points along the sides of a zone stand on one line but for rounding to seven decimals:
// that the hull has some of them must not hide the two farthest.
func TestLongestExtentAlongRoundedLines(t *testing.T) {
	zone := orb.Polygon{{
		{-95.9976413, 43.5961526}, {-95.9976292, 43.5961479}, {-95.9976171, 43.5961433}, {-95.9975182, 43.5960645}, {-95.9974192, 43.5959857},
		{-95.9974835, 43.5958825}, {-95.9975478, 43.5957793}, {-95.9977173, 43.5958084}, {-95.9978868, 43.5958375}, {-95.9979215, 43.595908},
		{-95.9979562, 43.5959785}, {-95.9977988, 43.5960655}, {-95.9976413, 43.5961526},
	}}
	if got, want := unit.Meters(geo.LongestExtent(zone, endless)), 43.369307; math.Abs(got-want) > 1e-6 { // of all pairs
		t.Errorf("got %.6f m, want %.6f m", got, want)
	}
}

// Where something is enough, the answer to whether a polygon is so long stays the same.
func TestLongestExtentThatIsEnough(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 2))
	for range 200 {
		polygon := degrees(star(r))
		whole := geo.LongestExtent(polygon, endless)
		enough := whole * unit.Length(0.5+r.Float64())
		if got := geo.LongestExtent(polygon, enough); (got >= enough) != (whole >= enough) || got > whole*(1+1e-9) {
			t.Errorf("of %v, %v being enough, got %v", whole, enough, got)
		}
	}
}

// endless is more than any polygon has.
var endless = unit.Length(math.Inf(1))

package crs

import (
	"math"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
)

// tolerance is a ten-thousandth of a millimeter on the ground. Nearly all points
// agree within 1e-8 m; the rest is a shift of a whole zone by up to 4e-8 m where
// PROJ decodes a meridian given in degrees, minutes and seconds.
const tolerance = 1e-7

// TestPointsOfProj checks the corners of the area of use and places inside, to
// the plane and back, against the kept output of cs2cs.
func TestPointsOfProj(t *testing.T) {
	worst := map[method]float64{}
	for _, row := range table(t, "points.tsv", 6, 518) {
		s := mustParse(t, "EPSG:"+row[0])
		given, want := orb.Point{number(t, row[2]), number(t, row[3])}, orb.Point{number(t, row[4]), number(t, row[5])}
		var off float64
		switch row[1] {
		case "to":
			got := forward(t, s, given)
			off = math.Hypot(got[0]-want[0], got[1]-want[1]) * s.MetersPerUnit()
		case "from":
			off = ground(inverse(t, s, given), want)
		default:
			t.Fatalf("direction %q", row[1])
		}
		if !(off <= tolerance) {
			t.Errorf("%s %s %v: %.3g m from cs2cs's %v", s.Name(), row[1], given, off, want)
		}
		worst[s.def().method] = max(worst[s.def().method], off)
	}
	if len(worst) != 7 {
		t.Errorf("%d projections were tried, want all 7", len(worst))
	}
	t.Log("worst by method, m:", worst)
}

// ground is about the distance of two near lon/lat points, in meters.
func ground(a, b orb.Point) float64 {
	lon := math.Remainder(a[0]-b[0], 360) * math.Cos(b[1]*degree)
	return math.Hypot(lon, a[1]-b[1]) * degree * equatorialRadius
}

func number(t testing.TB, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// TestWorkedExamples checks the projections on another ellipsoid, Clarke 1866,
// against the numerical examples in appendix A of Snyder, USGS Professional
// Paper 1395, whose results are given to
// 0.1 m.
func TestWorkedExamples(t *testing.T) {
	clarke := newEllipsoid(6378206.4, 294.978698213898)
	for _, c := range []struct {
		name     string
		method   method
		params   params
		lon, lat float64
		x, y     float64
	}{
		{"Mercator", mercator, params{lon0: 180, k0: 1}, -75, 35, 11688673.7, 4139145.6},
		{"transverse Mercator", transverseMercator, params{lon0: -75, k0: 0.9996}, -73.5, 40.5, 127106.5, 4484124.4},
		{"Albers", albersConic, params{lat0: 23, lon0: -96, sp1: 29.5, sp2: 45.5, k0: 1}, -75, 35, 1885472.7, 1535925.0},
		{"Lambert", lambertConic, params{lat0: 23, lon0: -96, sp1: 33, sp2: 45, k0: 1}, -75, 35, 1894410.9, 1564649.5},
	} {
		p := newProjection(c.method, clarke, c.params)
		lambda := math.Remainder(c.lon-c.params.lon0, 360) * degree
		x, y, ok := p.toPlane(lambda, c.lat*degree)
		if !ok || math.Abs(x-c.x) > 0.1 || math.Abs(y-c.y) > 0.1 {
			t.Errorf("%s: got %.2f, %.2f (%v), want %.1f, %.1f", c.name, x, y, ok, c.x, c.y)
		}
		backLambda, phi, ok := p.toGlobe(c.x, c.y)
		if !ok || math.Abs(backLambda-lambda) > 1e-8 || math.Abs(phi-c.lat*degree) > 1e-8 {
			t.Errorf("%s: back at %v, %v (%v)", c.name, backLambda/degree, phi/degree, ok)
		}
	}
}

package geo

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/tidwall/geodesic"
	"pgregory.net/rapid"

	"rxsplit/label/unit"
)

// near tells whether square meters agree with GeographicLib's: to 1e-8 of the
// area, a square foot in 2300 acres, plus a thousandth of a square meter, which is
// what the outside tools round to. A sphere is off by 1e-3 to 7e-3 and fails every
// one of these tests.
func near(got, want float64) bool { return math.Abs(got-want) <= 1e-8*math.Abs(want)+0.001 }

// square has its south-west corner at lon, lat; its edges are degrees long.
func square(lon, lat, degrees float64) orb.Ring {
	return orb.Ring{{lon, lat}, {lon + degrees, lat}, {lon + degrees, lat + degrees}, {lon, lat + degrees}, {lon, lat}}
}

// Figures of GeographicLib's Planimeter 2.1.2.
func TestRingAreaAgainstPlanimeter(t *testing.T) {
	for _, c := range []struct {
		name  string
		ring  orb.Ring
		want  float64 // square meters
		exact bool
	}{
		// The example of Planimeter's manual page; its edges are 100 km long.
		{"manual", orb.Ring{{-75, 39.74990751910}, {-73.83284812465, 39.74403956295}, {-73.81730037734, 40.64479964953}, {-75, 40.65085651557}, {-75, 39.74990751910}}, 10007388597.3, true},
		{"40 N", square(-100, 40, 0.01), 948099.212, false},
		{"40 N over the 180° meridian, written on", square(179.995, 40, 0.01), 948099.212, false},
		{"40 N over the 180° meridian, written back", orb.Ring{{179.995, 40}, {-179.995, 40}, {-179.995, 40.01}, {179.995, 40.01}, {179.995, 40}}, 948099.212, false},
		{"30 N", square(-100, 30, 0.01), 264.2844377 * 4046.8564224, false},
		{"45 N", square(-100, 45, 0.01), 216.5047030 * 4046.8564224, false},
		{"50 N", square(-100, 50, 0.01), 197.0376640 * 4046.8564224, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, exact, err := ringArea(c.ring)
			if err != nil {
				t.Fatal(err)
			}
			if !near(got, c.want) {
				t.Errorf("got %.4f m2, want %.4f", got, c.want)
			}
			if exact != c.exact {
				t.Errorf("exact geodesics: %v, want %v", exact, c.exact)
			}
			c.ring.Reverse()
			if back, _, _ := ringArea(c.ring); !near(back, -c.want) {
				t.Errorf("backwards: got %.4f m2, want %.4f", back, -c.want)
			}
		})
	}
}

// Planimeter 2.1.2: 0.01° at 40 N less its hole.
func TestHoleIsTakenOff(t *testing.T) {
	hole := square(-99.997, 40.003, 0.004)
	for _, reversed := range []bool{false, true} {
		if reversed {
			hole.Reverse()
		}
		got, err := AreaOf(orb.MultiPolygon{{square(-100, 40, 0.01), hole}})
		if err != nil {
			t.Fatal(err)
		}
		if want := 196.7955514 * 4046.8564224; !near(float64(got/unit.SquareMeter), want) {
			t.Errorf("hole reversed %v: got %v, want %v m2", reversed, float64(got/unit.SquareMeter), want)
		}
	}
}

// A damaged hole that is larger than the ground it is cut out of takes nothing from
// the other polygons.
func TestNoGroundIsLessThanNone(t *testing.T) {
	island := orb.Polygon{square(-100.1, 40, 0.01)}
	want, err := AreaOf(orb.MultiPolygon{island})
	if err != nil {
		t.Fatal(err)
	}
	damaged := orb.MultiPolygon{{square(-100, 40, 0.01), square(-100.002, 40, 0.03)}, island}
	s := &Shapes{}
	s.Append(damaged)
	if problems, _ := RingProblems(s, 10); len(problems) == 0 || problems[0].Ring != 1 {
		t.Errorf("got %v, want the hole", problems)
	}
	got, err := AreaOf(damaged)
	if err != nil || got != want {
		t.Errorf("got %v, %v, want %v", got, err, want)
	}
	if all, err := s.Areas(); err != nil || all[0] != want {
		t.Errorf("got %v, %v, want %v", all, err, want)
	}
}

// A geodesic square of half a mile: nominally 160 acres, and 159.999993 by
// Planimeter 2.1.2 at 41.5 N. The corners are made with the geodesic package.
func TestHalfMileSquare(t *testing.T) {
	const half = 1609.344 / 2
	var ring orb.Ring
	lat, lon, azimuth := 41.5, -96.0, 90.0
	for range 4 {
		ring = append(ring, orb.Point{lon, lat})
		geodesic.WGS84.Direct(lat, lon, azimuth, half, &lat, &lon, &azimuth)
		azimuth -= 90
	}
	got, err := acresOfRing(ring)
	if err != nil {
		t.Fatal(err)
	}
	// The last corner's angle takes up what the ellipsoid's curvature leaves:
	// 7e-6 ac either way.
	if math.Abs(float64(got)-160) > 2e-5 {
		t.Errorf("got %.7f ac, want about 159.999993", float64(got))
	}
	if want := exactRing(ring); !near(float64(got/unit.SquareMeter), want) {
		t.Errorf("got %.5f m2, exact %.5f", float64(got/unit.SquareMeter), want)
	}
}

// The formula against the exact geodesics of another implementation (tidwall's
// port of GeographicLib), from 50 m to just under the longest edge.
func TestFormulaAgainstExactGeodesics(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		radius := 50 * math.Pow(200, r.Float64())
		ring := blob(r, -60+130*r.Float64()-1, radius, 3+r.IntN(40))
		got, longest, err := fastRing(ring)
		if err != nil {
			t.Fatal(err)
		}
		if longest > maxFastEdge {
			continue
		}
		want := exactRing(ring)
		// As it is claimed, 3e-10 and beyond 3 km by the cube of the longest edge; and 1e-9,
		// an order below the tolerance against the outside tool, for all that are drawn here.
		if off := min(1e-9, 3e-10*max(1, math.Pow(longest/3000, 3))); math.Abs(got-want) > off*math.Abs(want)+0.001 {
			t.Errorf("radius %.0f m at %.1f N: got %.6f, want %.6f m2", radius, ring[0][1], got, want)
		}
	}
}

// blob is a star-shaped ring around a random place at a latitude, radius in meters.
func blob(r *rand.Rand, lat, radius float64, n int) orb.Ring {
	lon := -180 + 360*r.Float64()
	scale := LonLatScale(orb.Bound{Min: orb.Point{lon, lat}, Max: orb.Point{lon, lat}})
	ring := make(orb.Ring, 0, n+1)
	for i := range n {
		d := radius * (0.4 + 0.6*r.Float64())
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.6*r.Float64()) / float64(n))
		ring = append(ring, orb.Point{lon + d*cos/scale.X, lat + d*sin/scale.Y})
	}
	return append(ring, ring[0])
}

func TestWhatHasNoAcres(t *testing.T) {
	for _, c := range []struct {
		name string
		ring orb.Ring
		why  string
	}{
		{"beyond 70 N", square(10, 69.995, 0.01), "beyond 70°"},
		{"beyond 70 S", square(10, -70.001, 0.01), "beyond 70°"},
		{"no latitude", square(10, 95, 0.01), "beyond 90°"},
		{"not a number", square(math.NaN(), 40, 0.01), "not finite"},
		{"infinite", square(10, math.Inf(-1), 0.01), "not finite"},
		{"around a pole", orb.Ring{{0, 60}, {100, 60}, {-160, 60}, {-60, 60}, {0, 60}}, "around a pole"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := acresOfRing(c.ring)
			var bad *areaError
			if !errors.As(err, &bad) || !strings.Contains(bad.Why, c.why) {
				t.Errorf("got %v, want one that says %q", err, c.why)
			}
		})
	}
}

func TestAreasNameTheRecord(t *testing.T) {
	s := gridLayer(100, 100, nil)
	s.Append(nil)
	s.Append(orb.MultiPolygon{{square(10, 69.995, 0.01)}})
	s.Append(orb.MultiPolygon{{square(10, 95, 0.01)}})
	_, err := s.Areas()
	var bad *areaError
	if !errors.As(err, &bad) || bad.Record != 10001 {
		t.Errorf("got %v, want an error for record 10002", err)
	}
}

func acresOfRing(ring orb.Ring) (unit.Area, error) {
	area, _, err := ringArea(ring)
	return meters2(area), err
}

func TestAreasOfRecords(t *testing.T) {
	s := &Shapes{}
	s.Append(orb.MultiPolygon{{square(-100, 40, 0.01), square(-99.997, 40.003, 0.004)}})
	s.Append(nil)
	s.Append(orb.MultiPolygon{{square(-100, 40, 0.01)}, {square(-100, 30, 0.01)}})
	s.Append(orb.MultiPolygon{{square(-75, 39, 1)}})
	got, err := s.Areas()
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{196.7955514, 0, 234.2804174 + 264.2844377} {
		if !near(float64(got[i]/unit.SquareMeter), want*4046.8564224) {
			t.Errorf("record %d: got %.7f ac, want %.7f", i+1, float64(got[i]), want)
		}
	}
	for r := range s.RingEnds { // all small but the last
		if _, exact, err := ringArea(s.Ring(r)); exact != (r == 4) || err != nil {
			t.Errorf("ring %d: exact geodesics %v (%v)", r, exact, err)
		}
	}
}

func TestAcresKeepUnderTurningAndShifting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		r := rand.New(rand.NewPCG(seed, 0))
		ring := blob(r, rapid.Float64Range(-69, 69).Draw(t, "lat"), rapid.Float64Range(20, 2000).Draw(t, "radius"), 3+r.IntN(30))
		want, err := acresOfRing(ring)
		if err != nil {
			t.Fatal(err)
		}
		by := rapid.Float64Range(-720, 720).Draw(t, "shift")
		wrap := rapid.Bool().Draw(t, "wrap")
		moved := ring.Clone()
		for i := range moved {
			moved[i][0] += by
			if wrap {
				moved[i][0] = math.Remainder(moved[i][0], 360)
			}
		}
		check := func(what string, got unit.Area, err error) {
			if err != nil || math.Abs(float64(got-want)) > 1e-7*math.Abs(float64(want)) {
				t.Fatalf("%s: got %v (%v), want %v", what, got, err, want)
			}
		}
		got, err := acresOfRing(moved)
		check("shifted", got, err)
		k := r.IntN(len(ring) - 1)
		got, err = acresOfRing(append(ring[k:len(ring)-1:len(ring)-1], ring[:k]...))
		check("turned and open", got, err)
		ring.Reverse()
		got, err = acresOfRing(ring)
		check("reversed", -got, err)
	})
}

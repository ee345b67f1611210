package crs

import (
	"errors"
	"math"
	"runtime"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// oneOfEach has a system of every projection.
var oneOfEach = []string{"EPSG:4326", "EPSG:26915", "EPSG:3417", "EPSG:5070", "EPSG:3395", "EPSG:3857", "EPSG:26931", "EPSG:8065"}

// TestThereAndBack converts random places of random systems to the plane and
// back: 1e-7 m.
func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := &systems()[rapid.IntRange(0, len(systems())-1).Draw(t, "system")]
		d := projectedSystem(r)
		p, half := r.params, 4.
		if r.method == lambertConic || r.method == albersConic {
			half = 15
		}
		middle := p.lat0
		if r.method == lambertConic || r.method == albersConic {
			middle = (p.sp1 + p.sp2) / 2
		}
		lon := rapid.Float64Range(p.lon0-half, p.lon0+half).Draw(t, "lon")
		lat := rapid.Float64Range(max(-89, middle-4), min(89, middle+10)).Draw(t, "lat")
		points := []orb.Point{{lon, lat}}
		if err := (System{&d}).FromLonLat(points, points); err != nil {
			t.Fatal(err)
		}
		if err := (System{&d}).ToLonLat(points, points); err != nil {
			t.Fatal(err)
		}
		if off := ground(points[0], orb.Point{lon, lat}); !(off <= 1e-7) {
			t.Fatalf("%s: %v, %v came back %g m off", r.name, lon, lat, off)
		}
		if math.Abs(points[0][0]) > 180 {
			t.Fatalf("longitude %v", points[0][0])
		}
	})
}

func TestLonLatStaysAsItStands(t *testing.T) {
	src := []orb.Point{{-93.123456789012345, 42}, {math.Copysign(0, -1), 0.1 + 0.2}, {190, 5}}
	for _, code := range []string{"EPSG:4326", "EPSG:4269"} {
		dst := make([]orb.Point, len(src))
		if err := mustParse(t, code).ToLonLat(dst, src); err != nil {
			t.Fatal(err)
		}
		for i := range src {
			if math.Float64bits(dst[i][0]) != math.Float64bits(src[i][0]) || math.Float64bits(dst[i][1]) != math.Float64bits(src[i][1]) {
				t.Errorf("%s: %v became %v", code, src[i], dst[i])
			}
		}
	}
}

func TestPointsThatCannotBe(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		code  string
		to    bool // to lon/lat
		point orb.Point
		fault pointFault
	}{
		{"EPSG:4326", true, orb.Point{0, 90.0001}, outOfRange},
		{"EPSG:4326", true, orb.Point{500000, 45}, outOfRange},
		{"EPSG:4326", true, orb.Point{nan, 0}, notFinite},
		{"EPSG:4326", false, orb.Point{0, -inf}, notFinite},
		{"EPSG:26915", true, orb.Point{inf, 0}, notFinite},
		{"EPSG:26915", true, orb.Point{0, nan}, notFinite},
		{"EPSG:26915", true, orb.Point{4.5e6, 4e6}, outOfRange},          // 4000 km east
		{"EPSG:26915", true, orb.Point{5e5, 1.1e7}, outOfRange},          // over the pole
		{"EPSG:26915", true, orb.Point{1e300, 1e300}, outOfRange},        //
		{"EPSG:26915", false, orb.Point{-30, 0}, outOfRange},             // 63° east
		{"EPSG:26915", false, orb.Point{87, 42}, outOfRange},             // behind the pole
		{"EPSG:26915", false, orb.Point{-93, 91}, outOfRange},            //
		{"EPSG:3417", true, orb.Point{5e6, 1e8}, outOfRange},             // beyond the cone's cut
		{"EPSG:3417", false, orb.Point{-93, -90}, outOfRange},            // the far pole
		{"EPSG:5070", true, orb.Point{0, -2e7}, outOfRange},              // beyond the far pole
		{"EPSG:3395", true, orb.Point{2.1e7, 0}, outOfRange},             // beyond 180°
		{"EPSG:3395", false, orb.Point{0, 90}, outOfRange},               //
		{"EPSG:3857", true, orb.Point{-20037508.4, 0}, outOfRange},       //
		{"EPSG:3857", true, orb.Point{0, 1e9}, outOfRange},               // the pole, by rounding
		{"EPSG:3857", false, orb.Point{0, -90}, outOfRange},              //
		{"EPSG:26931", true, orb.Point{1e8, 1e8}, outOfRange},            //
		{"EPSG:26931", false, orb.Point{20, 10}, outOfRange},             //
		{"EPSG:26931", false, orb.Point{-133.7, 90}, outOfRange},         //
		{"EPSG:32733", false, orb.Point{15, -1e-300 * 0}, pointFault(0)}, // the equator is in range
		{"EPSG:3857", true, orb.Point{20037508.342, 0}, pointFault(0)},   // and so is 180°
		{"EPSG:32601", false, orb.Point{179.5, 52}, pointFault(0)},       // and the next zone over it
		{"EPSG:26915", true, orb.Point{500000, 9997000}, pointFault(0)},  // and a place near the pole
		{"EPSG:5070", true, orb.Point{-328967, 2117836}, pointFault(0)},  //
		{"EPSG:26931", true, orb.Point{798964, 686504}, pointFault(0)},   //
		{"EPSG:3417", true, orb.Point{4921250, 3280833}, pointFault(0)},  //
		{"EPSG:3395", true, orb.Point{-1.03e7, 4984302}, pointFault(0)},  //
		{"EPSG:8065", true, orb.Point{160000, 800000}, pointFault(0)},    //
	} {
		s := mustParse(t, c.code)
		good := orb.Point{-93, 42}
		convert := s.FromLonLat
		if c.to && !s.LonLat() {
			good = forward(t, s, orb.Point{s.def().params.lon0, s.def().params.lat0 + 1})
		} else if !s.LonLat() {
			good = orb.Point{s.def().params.lon0, s.def().params.lat0 + 1}
		}
		if c.to {
			convert = s.ToLonLat
		}
		points := []orb.Point{good, good, c.point, {nan, nan}}
		if c.fault == 0 {
			points = points[:3]
		}
		err := convert(points, points)
		var bad *pointError
		switch {
		case c.fault == 0 && err != nil:
			t.Errorf("%s %v: %v", c.code, c.point, err)
		case c.fault != 0 && (!errors.As(err, &bad) || bad.Index != 2 || bad.Fault != c.fault || bad.System != s.Name()):
			t.Errorf("%s %v: got %v, want %v at 2", c.code, c.point, err, c.fault)
		}
	}
}

func TestLengthsDiffer(t *testing.T) {
	if err := WGS84().ToLonLat(make([]orb.Point, 1), make([]orb.Point, 2)); err == nil || err.Error() != "WGS 84: room for 1 points, not for 2" {
		t.Errorf("two points into the room of one: %v", err)
	}
}

// TestSameOnAnyNumberOfCores wants the same bits, and the same first bad point. Points come
// again, and what is converted in place is not remembered.
func TestSameOnAnyNumberOfCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, code := range oneOfEach {
		s := mustParse(t, code)
		d := s.def()
		src := grid(t, s, 2*blockPoints+17)
		for i := range src {
			src[i] = src[i-i%3*(i/5)]
		}
		convert := converter(copyLonLat)
		if d.projection != nil {
			convert = d.lonLat
		}
		want := make([]orb.Point, len(src))
		if bad := convert(want, src); bad >= 0 {
			t.Fatalf("%s: point %d %v", code, bad, src[bad])
		}
		for workers := 1; workers < 5; workers++ {
			runtime.GOMAXPROCS(workers)
			got := slices.Clone(src) // in place
			if bad := firstBad(got, got, convert); bad >= 0 || !slices.Equal(got, want) {
				t.Errorf("%s on %d workers: other points, or a bad one at %d", code, workers, bad)
			}
			broken := slices.Clone(src)
			for _, at := range []int{len(src) - 1, blockPoints + 1, blockPoints, 2 * blockPoints} {
				broken[at] = orb.Point{math.NaN(), 0}
			}
			if bad := firstBad(broken, broken, convert); bad != blockPoints {
				t.Errorf("%s on %d workers: first bad point %d, want %d", code, workers, bad, blockPoints)
			}
		}
	}
}

// grid returns n points of the system near its origin, in its own coordinates.
func grid(t testing.TB, s System, n int) []orb.Point {
	points := make([]orb.Point, n)
	p := s.def().params
	for i := range points {
		points[i] = orb.Point{p.lon0 + 0.001*float64(i%1000) - 0.5, p.lat0 + 1 + 0.00001*float64(i/1000)}
	}
	if err := s.FromLonLat(points, points); err != nil {
		t.Fatal(err)
	}
	return points
}

func TestLargeSlices(t *testing.T) {
	s := mustParse(t, "EPSG:26915")
	src := grid(t, s, parallelPoints+1)
	dst := make([]orb.Point, len(src))
	if err := s.ToLonLat(dst, src); err != nil {
		t.Fatal(err)
	}
	for _, i := range []int{0, blockPoints - 1, blockPoints, parallelPoints} {
		if want := inverse(t, s, src[i]); dst[i] != want {
			t.Errorf("point %d: got %v, alone %v", i, dst[i], want)
		}
	}
}

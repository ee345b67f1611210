package geo_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"rxsplit/geo"
	"rxsplit/label/unit"
)

// field makes a layer of polygons given in meters east and north of a point at 41.5 N.
// The meters a degree are those of GeographicLib's geodesics there, over 200 m (GeodSolve -i):
// 83 496.17 east, 111 063.58 north.
func field(polygons ...orb.Polygon) *geo.Shapes {
	const east, north = 83496.17, 111063.58
	s := &geo.Shapes{}
	for _, polygon := range polygons {
		var out orb.Polygon
		for _, ring := range polygon {
			var to orb.Ring
			for _, p := range ring {
				to = append(to, orb.Point{-93 + p[0]/east, 41.5 + p[1]/north})
			}
			out = append(out, to)
		}
		s.Append(orb.MultiPolygon{out})
	}
	return s
}

func box(x, y, width, height float64) orb.Polygon {
	return orb.Polygon{rectangle(x, y, x+width, y+height)}
}

// The paths were drawn by hand on squared paper, swaths of 20 m; a turn takes as long as
// driving 100 m.
func TestPathsDrawnByHand(t *testing.T) {
	hole := box(0, 0, 400, 200)
	hole = append(hole, closed(100, 60, 100, 140, 300, 140, 300, 60))
	for _, c := range []struct {
		name    string
		ground  *geo.Shapes
		swaths  int
		length  float64 // meters
		drawing string
	}{
		{"rectangle", field(box(0, 0, 400, 200)), 10, 4000, "10 swaths of 400 m along the long side"},
		{"rectangle that a swath does not divide", field(box(0, 0, 400, 205)), 11, 4400, "an eleventh swath, 5 m of it on the field"},
		{"a hair over ten swaths", field(box(0, 0, 400, 200.1)), 10, 4000, "10 cm are no swath"},
		{"square, turned by 30°", field(orb.Polygon{turned(rectangle(0, 0, 200, 200), 30)}), 10, 2000, "10 swaths of 200 m along a side"},
		// An L of 400 by 100 below and 200 by 100 above, at the left. Five swaths of
		// 400 m, five of 200 m: the fifth ends at the left, where the upper ones begin.
		{"L", field(orb.Polygon{closed(0, 0, 400, 0, 400, 100, 200, 100, 200, 200, 0, 200)}),
			10, 5*400 + 5*200, "begun at the right, so that swath 5 ends at the left"},
		{"hole", field(hole), 10, 4000, "over the hole empty: from the first to the last treated point"},
		// Strips of 20 m every 60 m: the machine goes 40 m aside between two of them.
		{"strip of zones", field(box(0, 0, 400, 20), box(0, 60, 400, 20), box(0, 120, 400, 20)), 3, 3*400 + 2*40, "3 strips, 2 runs of 40 m"},
		{"nothing", &geo.Shapes{}, 0, 0, ""},
	} {
		m := geo.Machine{Swath: 20 * unit.Meter, Turn: 100 * unit.Meter}
		p, err := m.Drive(c.ground, nil)
		if err != nil {
			t.Fatal(err)
		}
		if p.Swaths != c.swaths || p.Turns != max(0, c.swaths-1) || math.Abs(float64(p.Length/unit.Meter)-c.length) > 1e-4*c.length {
			t.Errorf("%s: %d swaths, %d turns, %.1f m, want %d, %d, %.1f: %s", c.name, p.Swaths, p.Turns, float64(p.Length/unit.Meter), c.swaths, max(0, c.swaths-1), c.length, c.drawing)
		}
	}
}

// The sides of three blocks lie on one line but for rounding. That the hull has all their
// corners must not make the ground look one swath wide.
func TestPathAlongARoundedLine(t *testing.T) {
	const angle = 0.015174462227150798
	ground := field(
		orb.Polygon{turned(rectangle(200, 400, 224, 437), angle)},
		orb.Polygon{turned(rectangle(100, 200, 120, 286), angle)},
		orb.Polygon{turned(rectangle(100, 100, 120, 120), angle)})
	m := geo.Machine{Swath: 5 * unit.Meter, Turn: 50 * unit.Meter}
	p, err := m.Drive(ground, nil)
	if err != nil {
		t.Fatal(err)
	}
	// Four swaths of 100 to 286 m, then, 80 m aside, five of 400 to 437 m.
	want := 4*186 + 5*37 + math.Hypot(400-286, 80)
	if p.Swaths != 9 || math.Abs(float64(p.Length/unit.Meter)-want) > 0.1 {
		t.Errorf("%d swaths, %.1f m, want 9, %.1f", p.Swaths, float64(p.Length/unit.Meter), want)
	}
}

func TestFarCornersTakeLonger(t *testing.T) {
	m := geo.Machine{Swath: 20 * unit.Meter, Turn: 100 * unit.Meter}
	block, _ := m.Drive(field(box(0, 0, 200, 100)), nil)
	corners, _ := m.Drive(field(box(0, 0, 100, 100), box(900, 900, 100, 100)), nil)
	if !(corners.Length > block.Length*1.3) {
		t.Errorf("two corners take %v, a block of as many acres %v", corners.Length, block.Length)
	}
}

func TestSwathIsNeeded(t *testing.T) {
	for _, swath := range []unit.Length{0, -1, unit.Length(math.NaN())} {
		if _, err := (geo.Machine{Swath: swath}).Drive(field(box(0, 0, 1, 1)), nil); err != geo.ErrSwath {
			t.Errorf("a swath of %v: %v", swath, err)
		}
	}
}

func TestTimeAndDriven(t *testing.T) {
	p := geo.DrivePath{Swaths: 10, Turns: 9, Length: 4000 * unit.Meter}
	// 4000 m at 10 mph (4.4704 m/s) are 894.775 s; 9 turns of 20 s are 180 s.
	if got := float64(p.Time(10*unit.MilePerHour, 20*unit.Second) / unit.Second); math.Abs(got-1074.775) > 0.001 {
		t.Errorf("takes %.3f s", got)
	}
	if got := float64(p.Driven(20*unit.Meter) / unit.SquareMeter); math.Abs(got-80000) > 1e-6 {
		t.Errorf("drives over %.1f m²", got)
	}
}

// Where both ends of the next swath are as near, the one is taken that leaves less to run behind it.
// By hand: swaths of 100, 20 and 20 m, 10 m to the second and 70 m from it; mirrored, the same.
func TestEndsThatAreAsNear(t *testing.T) {
	for name, ground := range map[string]*geo.Shapes{
		"as drawn": field(box(0, 0, 100, 10), box(90, 10, 20, 10), box(0, 20, 20, 10)),
		"mirrored": field(box(0, 0, 100, 10), box(-10, 10, 20, 10), box(80, 20, 20, 10)),
	} {
		p, err := geo.Machine{Swath: 10 * unit.Meter, Turn: 50 * unit.Meter}.Drive(ground, nil)
		if err != nil || p.Swaths != 3 || math.Abs(float64(p.Length/unit.Meter)-220) > 0.1 {
			t.Errorf("%s: %d swaths, %.2f m, want 3, 220", name, p.Swaths, float64(p.Length/unit.Meter))
		}
	}
}

// Whatever the ground, all of it lies under the swaths. Blocks that stand as square as
// the four corners around them take the same path, cut into more pieces: slanting ones
// lose slivers of a hundredth of a swath, and more of them by a cut.
func TestPathsCoverTheGround(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var whole, halves []orb.Polygon
		angle, corners := rapid.Float64Range(0, 90).Draw(t, "angle"), rapid.Bool().Draw(t, "corners")
		block := func(x, y, w, h float64) orb.Polygon {
			return orb.Polygon{turned(rectangle(x, y, x+w, y+h), angle)}
		}
		if corners {
			whole = []orb.Polygon{block(0, 0, 50, 50), block(950, 0, 50, 50), block(0, 1000, 50, 50), block(950, 1000, 50, 50)}
			halves = slices.Clone(whole)
		}
		area := 0.0
		for range rapid.IntRange(1, 6).Draw(t, "blocks") {
			x, y := 100*float64(rapid.IntRange(1, 8).Draw(t, "x")), 100*float64(rapid.IntRange(1, 8).Draw(t, "y"))
			w, h := float64(rapid.IntRange(20, 100).Draw(t, "w")), float64(rapid.IntRange(20, 100).Draw(t, "h"))
			whole = append(whole, block(x, y, w, h))
			halves = append(halves, block(x, y, w/2, h), block(x+w/2, y, w/2, h))
			area = max(area, w*h)
		}
		m := geo.Machine{Swath: unit.Length(rapid.Float64Range(5, 40).Draw(t, "swath")) * unit.Meter, Turn: 50 * unit.Meter}
		p, err := m.Drive(field(whole...), nil)
		if err != nil {
			t.Fatal(err)
		}
		q, _ := m.Drive(field(halves...), nil)
		if corners && (p.Swaths != q.Swaths || math.Abs(float64(p.Length-q.Length)) > 1e-6*float64(p.Length)) {
			t.Fatalf("%+v, in halves %+v", p, q)
		}
		for _, p := range []geo.DrivePath{p, q} {
			if got := float64(p.Driven(m.Swath) / unit.SquareMeter); got < area*0.97 {
				t.Fatalf("drives over %.0f m² of %.0f", got, area)
			}
		}
	})
}

// Ground that is kept alone is driven over, in any number of parts.
func TestDriveTakesWhatIsKept(t *testing.T) {
	var cells []orb.Polygon
	for i := range 9000 {
		cells = append(cells, box(float64(i%100)*10, float64(i/100)*10, 10, 10))
	}
	m := geo.Machine{Swath: 20 * unit.Meter, Turn: 100 * unit.Meter}
	p, err := m.Drive(field(cells...), func(record int) bool { return record%100 < 20 })
	if err != nil || p.Swaths != 10 || math.Abs(float64(p.Length/unit.Meter)-9000) > 0.9 {
		t.Errorf("%+v, %v, want 10 swaths of 900 m", p, err)
	}
}

func TestDriveIsBounded(t *testing.T) {
	if _, err := (geo.Machine{Swath: unit.Millimeter}).Drive(field(box(0, 0, 100, 100)), nil); err != geo.ErrManySwaths {
		t.Errorf("a swath of 1 mm over 100 m: %v", err)
	}
	round := field(orb.Polygon{round(200_000, 1000)}) // its hull has as many sides
	if p, err := (geo.Machine{Swath: 20 * unit.Meter}).Drive(round, nil); err != nil || p.Swaths != 100 {
		t.Errorf("%+v, %v, want 100 swaths", p, err)
	}
}

func BenchmarkDrive(b *testing.B) {
	for _, angle := range []float64{0, 30} {
		b.Run(fmt.Sprint(angle), func(b *testing.B) {
			var cells []orb.Polygon
			for i := range 1_000_000 {
				x, y := float64(i%1000)*10, float64(i/1000)*10
				cells = append(cells, orb.Polygon{turned(rectangle(x, y, x+10, y+10), angle)})
			}
			s := field(cells...)
			for b.Loop() {
				if _, err := (geo.Machine{Swath: 20 * unit.Meter, Turn: 100 * unit.Meter}).Drive(s, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

package geo_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
)

// somewhere is the middle of the shapes that these tests lay out in meters.
var somewhere = orb.Point{-90.4, 47.35}

// degrees lays a polygon out in lon/lat with the middle of its box somewhere, so
// that a plane scaled there has its measures.
func degrees(meters orb.Polygon) orb.Polygon {
	scale := geo.LonLatScale(orb.Bound{Min: somewhere, Max: somewhere})
	mid := meters.Bound().Center()
	out := make(orb.Polygon, len(meters))
	for i, ring := range meters {
		for _, p := range ring {
			out[i] = append(out[i], orb.Point{somewhere[0] + (p[0]-mid[0])/scale.X, somewhere[1] + (p[1]-mid[1])/scale.Y})
		}
	}
	return out
}

// closed makes a ring of x, y pairs.
func closed(xy ...float64) orb.Ring {
	var ring orb.Ring
	for i := 0; i < len(xy); i += 2 {
		ring = append(ring, orb.Point{xy[i], xy[i+1]})
	}
	return append(ring, ring[0])
}

func rectangle(x0, y0, x1, y1 float64) orb.Ring { return closed(x0, y0, x1, y0, x1, y1, x0, y1) }

func turned(ring orb.Ring, angle float64) orb.Ring {
	sin, cos := math.Sincos(angle * math.Pi / 180)
	var out orb.Ring
	for _, p := range ring {
		out = append(out, orb.Point{p[0]*cos - p[1]*sin, p[0]*sin + p[1]*cos})
	}
	return out
}

// round is a regular polygon around the origin whose sides touch a circle.
func round(corners int, radius float64) orb.Ring {
	var ring orb.Ring
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		ring = append(ring, orb.Point{radius * cos, radius * sin})
	}
	ring = append(ring, ring[0])
	for i := range ring {
		ring[i][0] /= math.Cos(math.Pi / float64(corners))
		ring[i][1] /= math.Cos(math.Pi / float64(corners))
	}
	return ring
}

// least returns the square of the distance from p to the boundary, and whether p is
// inside, by looking at every edge.
func least(polygon orb.Polygon, p orb.Point) (distance float64, inside bool) {
	distance = math.Inf(1)
	for _, ring := range polygon {
		for i := 1; i < len(ring); i++ {
			a, b := ring[i-1], ring[i]
			d := orb.Point{b[0] - a[0], b[1] - a[1]}
			t := ((p[0]-a[0])*d[0] + (p[1]-a[1])*d[1]) / (d[0]*d[0] + d[1]*d[1])
			t = min(max(t, 0), 1)
			distance = min(distance, math.Hypot(a[0]+t*d[0]-p[0], a[1]+t*d[1]-p[1]))
			if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*d[0] {
				inside = !inside
			}
		}
	}
	return distance, inside
}

// checkFits holds a circle against the edges it must not cross, within a millimeter.
func checkFits(t *testing.T, meters orb.Polygon, center orb.Point, radius unit.Length) {
	t.Helper()
	scale := geo.LonLatScale(orb.Bound{Min: somewhere, Max: somewhere})
	mid := meters.Bound().Center()
	p := orb.Point{(center[0]-somewhere[0])*scale.X + mid[0], (center[1]-somewhere[1])*scale.Y + mid[1]}
	d, inside := least(meters, p)
	if !inside || math.Abs(d-unit.Meters(radius)) > 0.001 {
		t.Errorf("the circle of %.4f m around %.3f has the boundary at %.4f m; inside: %v", unit.Meters(radius), p, d, inside)
	}
}

// Radii of shapes that geometry knows exactly. In a corner of width w before an
// inner corner the circle touches both sides and the inner corner: (2−√2)·w.
func TestInscribedCircle(t *testing.T) {
	triangle := closed(0, 0, 80, 0, 0, 60)
	corner := 2 - math.Sqrt2
	for _, c := range []struct {
		name    string
		polygon orb.Polygon
		radius  float64 // meters
	}{
		{"square", orb.Polygon{rectangle(0, 0, 100, 100)}, 50},
		{"strip", orb.Polygon{rectangle(0, 0, 800, 30)}, 15},
		{"upright strip", orb.Polygon{rectangle(0, 0, 30, 800)}, 15},
		{"slanted strip", orb.Polygon{turned(rectangle(0, 0, 400, 30), 37)}, 15},
		{"L", orb.Polygon{closed(0, 0, 100, 0, 100, 40, 40, 40, 40, 100, 0, 100)}, 40 * corner},
		{"square ring", orb.Polygon{rectangle(0, 0, 100, 100), rectangle(20, 20, 80, 80)}, 20 * corner},
		{"square ring, hole wound as the shell", orb.Polygon{rectangle(0, 0, 100, 100), turned(rectangle(-80, -80, -20, -20), 180)}, 20 * corner},
		{"round ring", orb.Polygon{round(1000, 50), round(1000, 30)}, 10},
		{"hole off the middle", orb.Polygon{rectangle(0, 0, 200, 100), rectangle(100, 0.5, 199.5, 99.5)}, 50},
		{"3-4-5 triangle: 2A/P", orb.Polygon{triangle}, 2 * 2400 / 240.0},
		{"3-4-5 triangle, clockwise", orb.Polygon{closed(0, 60, 80, 0, 0, 0)}, 20},
		{"hexagon", orb.Polygon{round(6, 33)}, 33},
		{"two halls and a passage", orb.Polygon{closed(0, 0, 40, 0, 40, 18, 100, 18, 100, 0, 160, 0, 160, 60, 100, 60, 100, 22, 40, 22, 40, 40, 0, 40)}, 30},
		{"a cell of 3 m", orb.Polygon{rectangle(0, 0, 3, 3)}, 1.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			center, radius := geo.InscribedCircle(degrees(c.polygon))
			slack := max(0.005*c.radius, 0.01)
			if r := unit.Meters(radius); r > c.radius+0.001 || r < c.radius-slack {
				t.Errorf("got %.4f m, want %.4f m, less %.4f m at most", r, c.radius, slack)
			}
			checkFits(t, c.polygon, center, radius)
		})
	}
}

// Room is found where there is some, and denied where there is none.
func TestInscribedCircleFor(t *testing.T) {
	ring := orb.Polygon{round(1000, 50), round(1000, 30)}
	for enough, want := range map[unit.Length]bool{5 * unit.Meter: true, 9.9 * unit.Meter: true, 10.1 * unit.Meter: false, 40 * unit.Meter: false, 60 * unit.Meter: false} {
		center, radius := geo.InscribedCircleFor(degrees(ring), enough)
		if (radius >= enough) != want {
			t.Errorf("room for %v: got %v, want %v", enough, radius, want)
		}
		if want {
			checkFits(t, ring, center, radius)
		}
	}
}

// To ask for room gives the answer that the largest circle gives, which is known to half
// a percent.
func TestInscribedCircleForAgainstLargest(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 3))
	for range 200 {
		meters := star(r)
		_, largest := geo.InscribedCircle(degrees(meters))
		enough := largest * unit.Length(0.3+r.Float64())
		center, radius := geo.InscribedCircleFor(degrees(meters), enough)
		if wide := radius >= enough; wide && enough > largest*1.006 || !wide && enough < largest*0.994 {
			t.Errorf("the largest circle has %v, and of %v there is room: %v", largest, enough, wide)
		}
		checkFits(t, meters, center, radius)
	}
}

// A strip of cells, each 13 mm beside the one before, is as cheap upright as it is lying:
// of four times the cells it takes about four times the circles, and not sixteen.
func TestInscribedCircleOfSteppedStrips(t *testing.T) {
	strip := func(cells int, upright bool) orb.Polygon {
		var there, back []float64
		for i := range cells {
			x, y := float64(i)*15, float64(i)*0.013
			there = append(there, x, y, x+15, y)
			back = append(back, y+20, x, y+20, x+15)
		}
		slices.Reverse(back)
		ring := closed(append(there, back...)...)
		if upright {
			for i := range ring {
				ring[i][0], ring[i][1] = ring[i][1], ring[i][0]
			}
		}
		return degrees(orb.Polygon{ring})
	}
	for _, upright := range []bool{false, true} {
		few, many := geo.CirclesTried(strip(30, upright)), geo.CirclesTried(strip(120, upright))
		if many > 6*few {
			t.Errorf("upright %v: 30 cells take %d circles, 120 cells %d", upright, few, many)
		}
	}
}

func TestInscribedCircleWithoutGround(t *testing.T) {
	for name, polygon := range map[string]orb.Polygon{
		"nothing":     nil,
		"empty ring":  {orb.Ring{}},
		"point":       {closed(5, 5, 5, 5)},
		"line":        {closed(0, 0, 1000, 700)},
		"all of hole": {rectangle(0, 0, 50, 50), rectangle(0, 0, 50, 50)},
	} {
		if _, radius := geo.InscribedCircle(degrees(polygon)); unit.Meters(radius) > 0.01 {
			t.Errorf("%s: got a circle of %v", name, radius)
		}
	}
}

// Against a grid of points that are all measured against all edges: the largest
// circle is at least that of the best point, and at most half a step of the grid's
// diagonal larger.
func TestInscribedCircleAgainstGrid(t *testing.T) {
	const steps = 150
	r := rand.New(rand.NewPCG(7, 1))
	for n := range 25 {
		polygon := star(r)
		box := polygon.Bound()
		step := math.Hypot(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]) / steps / 2
		best := 0.0
		for i := range steps * steps {
			p := orb.Point{
				box.Min[0] + (box.Max[0]-box.Min[0])*(float64(i%steps)+0.5)/steps,
				box.Min[1] + (box.Max[1]-box.Min[1])*(float64(i/steps)+0.5)/steps,
			}
			if d, inside := least(polygon, p); inside {
				best = max(best, d)
			}
		}
		center, radius := geo.InscribedCircle(degrees(polygon))
		got := unit.Meters(radius)
		if got < best*0.995-0.01 || got > best+step {
			t.Errorf("%d: got %.4f m, the grid %.4f m and up to %.4f m more", n, got, best, step)
		}
		checkFits(t, polygon, center, radius)
	}
}

// star is a ring of random spokes, with a smaller one as a hole in every other case.
func star(r *rand.Rand) orb.Polygon {
	var shell, hole orb.Ring
	corners := 5 + r.IntN(40)
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		far := 30 + 100*r.Float64()
		shell = append(shell, orb.Point{far * cos, far * sin})
		hole = append(hole, orb.Point{far * cos / 3, far * sin / 3})
	}
	polygon := orb.Polygon{append(shell, shell[0])}
	if r.IntN(2) == 0 {
		polygon = append(polygon, append(hole, hole[0]))
	}
	return polygon
}

// comb is a polygon of about n vertices: a back with teeth of one width, the worst
// case, as circles of one size fit all along them.
func comb(n int) orb.Polygon {
	const tooth, long = 20.0, 400.0
	var ring orb.Ring
	teeth := n / 4
	for i := range teeth {
		x := 2 * tooth * float64(i)
		ring = append(ring, orb.Point{x, -15}, orb.Point{x, long}, orb.Point{x + tooth, long}, orb.Point{x + tooth, 0})
		if i > 0 {
			ring[len(ring)-4][1] = 0
		}
	}
	ring = append(ring, orb.Point{2*tooth*float64(teeth) - tooth, -15})
	return orb.Polygon{append(ring, ring[0])}
}

func BenchmarkInscribedCircle(b *testing.B) {
	for name, polygon := range map[string]orb.Polygon{
		"cell":  {rectangle(0, 0, 10, 10)},
		"strip": {rectangle(0, 0, 800, 20)},
		"round": {round(100_000, 400)},
		"ring":  {round(50_000, 400), round(50_000, 380)},
		"comb":  comb(1000),
	} {
		b.Run(fmt.Sprint(name, " ", len(polygon[0])), func(b *testing.B) {
			p := degrees(polygon)
			for b.Loop() {
				geo.InscribedCircle(p)
			}
		})
	}
}

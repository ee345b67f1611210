package lane

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// invented draws a field of some shape, often with a hole, over zones of a grid, with keep-outs
// that may overlap each other.
func invented(r *rand.Rand) Ground {
	ring := func(x, y, radius float64, corners int) orb.Ring {
		var out orb.Ring
		for i := range corners {
			angle := 2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(corners)
			far := radius * (0.6 + 0.4*r.Float64())
			out = append(out, orb.Point{x + far*math.Cos(angle), y + far*math.Sin(angle)})
		}
		return append(out, out[0])
	}
	size := 250 + 500*r.Float64()
	field := orb.Polygon{ring(0, 0, size, 4+r.IntN(9))}
	if r.IntN(2) == 0 {
		hole := ring((r.Float64()-0.5)*size/2, (r.Float64()-0.5)*size/2, size/12, 3+r.IntN(4))
		slices.Reverse(hole)
		field = append(field, hole)
	}
	g := Ground{Outline: orb.MultiPolygon{field}, Zones: &geo.Shapes{}}
	for range r.IntN(3) {
		g.KeepOuts = append(g.KeepOuts, orb.Polygon{ring((r.Float64()-0.5)*size, (r.Float64()-0.5)*size, 5+40*r.Float64(), 3+r.IntN(5))})
	}
	cell := size * (0.3 + 0.7*r.Float64())
	for x := -size; x < size; x += cell {
		for y := -size; y < size; y += cell {
			g.Zones.Append(orb.MultiPolygon{{{{x, y}, {x + cell, y}, {x + cell, y + cell}, {x, y + cell}, {x, y}}}})
			g.Rates = append(g.Rates, 120+60*r.Float64())
		}
	}
	return g
}

// common is the area of ground inside a convex box, by cutting its rings at each side of the box
// in turn (Sutherland and Hodgman 1974, Communications of the ACM 17:32).
func common(mp orb.MultiPolygon, box orb.Polygon) (sum float64) {
	for _, polygon := range mp {
		for k, ring := range polygon {
			for i := 1; i < len(box[0]); i++ {
				ring = cut(ring, box[0][i-1], box[0][i])
			}
			if a := math.Abs(geo.TwiceArea(ring) / 2); k > 0 {
				sum -= a
			} else {
				sum += a
			}
		}
	}
	return sum
}

// cut keeps what of a ring lies left of a line.
func cut(ring orb.Ring, a, b orb.Point) (out orb.Ring) {
	side := func(p orb.Point) float64 { return (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0]) }
	for i := 1; i < len(ring); i++ {
		p, q := ring[i-1], ring[i]
		sp, sq := side(p), side(q)
		if sp >= 0 {
			out = append(out, p)
		}
		if (sp >= 0) != (sq >= 0) {
			f := sp / (sp - sq)
			out = append(out, orb.Point{p[0] + f*(q[0]-p[0]), p[1] + f*(q[1]-p[1])})
		}
	}
	if len(out) > 0 {
		out = append(out, out[0])
	}
	return out
}

// rateOn is the mean rate on a box, by the cutter.
func rateOn(g Ground, boxes ...orb.Polygon) float64 {
	var all sum
	for z := range g.Zones.Len() {
		for _, box := range boxes {
			a := common(g.Zones.Shape(z), box)
			all.area, all.amount = all.area+a, all.amount+a*g.Rates[z]
		}
	}
	return all.amount / all.area
}

// On fields and directions drawn at random every design keeps the rules of [Plot], as a cutter
// of polygons sees them: inside the outline with the headland around, clear of keep-outs, alike
// in rate, apart from each other, one in each block of lanes. The same seed draws the same
// places, as many are drawn as fit, and one more is refused.
func TestDesignsKeepTheRules(t *testing.T) {
	fields := 500
	if testing.Short() {
		fields = 40
	}
	r := rand.New(rand.NewPCG(18, 4))
	drawn, strips := 0, 0
	for range fields {
		g := invented(r)
		l := Over(outer(g.Outline), 360*r.Float64(), 9+15*r.Float64(), 5*r.Float64())
		plot := Plot{Ends: 5 + 30*r.Float64(), Headland: 50 * r.Float64(), Spare: l.Width, Unlike: 0.05}
		plot.Length = 60 + 120*r.Float64() + 2*plot.Ends
		places, err := l.Places(g, plot)
		if err != nil {
			t.Fatal(err)
		}
		most, n, seed := len(Packed(places)), 3+r.IntN(8), r.Uint64()
		list := Draw(places, n, seed)
		if (list != nil) != (n <= most) {
			t.Fatalf("%d asked, %d fit, %d drawn", n, most, len(list))
		}
		if len(Draw(places, most, seed)) != most || Draw(places, most+1, seed) != nil {
			t.Fatalf("as many as fit, %d, are not drawn, or more are", most)
		}
		if list == nil {
			continue
		}
		drawn, strips = drawn+1, strips+n
		if !slices.Equal(list, Draw(places, n, seed)) {
			t.Fatal("the same seed draws other places")
		}
		for i, p := range list {
			keeps(t, g, l, plot, p)
			for _, q := range list[:i] {
				if common(orb.MultiPolygon{l.three(p, 0)}, l.three(q, 0)) > rounding {
					t.Fatalf("%+v and %+v share ground", p, q)
				}
			}
		}
	}
	t.Logf("%d strips in %d designs on %d fields", strips, drawn, fields)
	if drawn < fields/4 {
		t.Errorf("only %d of %d fields have room for a design", drawn, fields)
	}
}

func outer(mp orb.MultiPolygon) (points []orb.Point) {
	for _, polygon := range mp {
		points = append(points, polygon[0]...)
	}
	return points
}

// three is the ground of a place and the lanes beside it, with room around.
func (l Lanes) three(p Place, room float64) orb.Polygon {
	return l.Box(l.Side(p.Lane-1)-room, l.Side(p.Lane+2)+room, p.From-room, p.To+room)
}

// rounding is how many square meters, of thousands, are none.
const rounding = 0.01

func keeps(t *testing.T, g Ground, l Lanes, plot Plot, p Place) {
	t.Helper()
	grown := l.three(p, plot.Headland)
	if beyond := geo.TwiceArea(grown[0])/2 - common(g.Outline, grown); math.Abs(beyond) > rounding {
		t.Fatalf("%+v reaches %v m² beyond the headland", p, beyond)
	}
	if common(g.KeepOuts, l.three(p, plot.Spare)) > rounding {
		t.Fatalf("%+v is too near to a keep-out", p)
	}
	from, to := p.From+plot.Ends, p.To-plot.Ends
	box := func(lane int) orb.Polygon { return l.Box(l.Side(lane), l.Side(lane+1), from, to) }
	rate, beside := rateOn(g, box(p.Lane)), rateOn(g, box(p.Lane-1), box(p.Lane+1))
	if math.Abs(rate-p.Rate) > 1e-6*rate || math.Abs(beside-p.Beside) > 1e-6*beside {
		t.Fatalf("%+v: rates %v and %v by the cutter", p, rate, beside)
	}
	if math.Abs(p.unlike()) > plot.Unlike {
		t.Fatalf("%+v is unlike its neighbors by %v", p, p.unlike())
	}
}

// Each block of a design has equally many places, and every place can be drawn.
func TestEveryPlaceIsDrawn(t *testing.T) {
	var places []Place
	for lane := 1; lane < 40; lane++ {
		places = append(places, Place{Lane: lane, From: 0, To: 100}, Place{Lane: lane, From: 100, To: 200})
	}
	seen := map[Place]int{}
	for seed := range uint64(400) {
		list := Draw(places, 6, seed)
		for i, p := range list {
			seen[p]++
			if at := slices.Index(places, p); at < len(places)*i/6 || at >= len(places)*(i+1)/6 {
				t.Fatalf("%+v is not of block %d", p, i)
			}
		}
	}
	if len(seen) != len(places) {
		t.Errorf("%d of %d places are ever drawn", len(seen), len(places))
	}
}

// Where chance leaves a block without a place, a design is drawn all the same, and ends.
func TestTightDesignIsDrawn(t *testing.T) {
	var places []Place
	for lane := 1; lane <= 8; lane++ {
		for k := range 60 {
			places = append(places, Place{Lane: lane, From: float64(k), To: float64(k) + 10})
		}
	}
	most := len(Packed(places))
	if most < 18 { // three rows of six
		t.Fatalf("%d fit, want 18 at least", most)
	}
	for seed := range uint64(20) {
		if got := len(Draw(places, most, seed)); got != most {
			t.Fatalf("%d of %d drawn", got, most)
		}
	}
	if Draw(places, 0, 1) != nil || Draw(nil, 1, 1) != nil {
		t.Error("something is drawn of nothing")
	}
}

// Huge ground is told, not worked on.
func TestTooManyLanes(t *testing.T) {
	box := orb.MultiPolygon{{{{0, 0}, {1e6, 0}, {1e6, 1e6}, {0, 1e6}, {0, 0}}}}
	l := Over(box[0][0], 0, 10, 0)
	if _, err := l.Places(Ground{Outline: box, Zones: &geo.Shapes{}}, Plot{Length: 100}); err != errLarge {
		t.Errorf("got %v", err)
	}
	if places, err := l.Places(Ground{Zones: &geo.Shapes{}}, Plot{Length: 100}); places != nil || err != nil {
		t.Errorf("no ground: %v, %v", places, err)
	}
}

// The longest edge, whatever vertices lie on it and wherever the ring begins on another edge.
func TestLongestEdge(t *testing.T) {
	for _, c := range []struct {
		ring orb.Ring
		want float64
	}{
		{orb.Ring{{0, 0}, {10, 0}, {20, 0}, {30, 0}, {40, 0}, {40, 25}, {0, 25}, {0, 0}}, 90},
		{orb.Ring{{0, 0}, {10, 0}, {10, 30}, {10, 50}, {0, 50}, {0, 0}}, 0},
		{orb.Ring{{0, 0}, {100, 100}, {95, 105}, {-5, 5}, {0, 0}}, 45},
		{orb.Ring{{0, 0}, {100, -100}, {105, -95}, {5, 5}, {0, 0}}, 135},
		{orb.Ring{{0, 0}, {20, 0}, {20, 20}, {0, 20}, {0, 0}}, 90}, // of equal ones the first
	} {
		if got := LongestEdge(orb.MultiPolygon{{c.ring}}); got != c.want {
			t.Errorf("%v: got %v, want %v", c.ring, got, c.want)
		}
	}
	if got := LongestEdge(nil); got != 0 {
		t.Errorf("none: got %v", got)
	}
}

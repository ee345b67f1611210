package geo_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
)

// families are layers that are dear for what looks only at boxes, by about how many
// vertices they have. Sizes are meters.
var families = []struct {
	name string
	make func(vertices int) []orb.Polygon
}{
	{"comb", func(n int) []orb.Polygon { return []orb.Polygon{comb(n)} }},
	{"slanting comb", func(n int) []orb.Polygon { return []orb.Polygon{slanting(comb(n))} }},
	{"slanting strips", func(n int) []orb.Polygon {
		var list []orb.Polygon
		for i := range n / 4 {
			x := 3 * float64(i)
			list = append(list, orb.Polygon{closed(x, 0, x+1.5, 0, x+901.5, 900, x+900, 900)})
		}
		return list
	}},
	{"spiral", func(n int) []orb.Polygon { return []orb.Polygon{spiral(n, 10)} }},
	{"spiral of straight walls", func(n int) []orb.Polygon { return []orb.Polygon{spiral(n, float64(n)/8)} }},
	{"star", func(n int) []orb.Polygon { return []orb.Polygon{spikes(n)} }},
	{"crossing combs", func(n int) []orb.Polygon { return crossing(n / 8) }},
}

// crossing are two combs whose teeth cross, one upright and one lying.
func crossing(teeth int) []orb.Polygon {
	var up, across orb.Ring
	far := 40 * float64(teeth)
	for i := range teeth {
		x := 40 * float64(i)
		up = append(up, orb.Point{x, -20}, orb.Point{x, far}, orb.Point{x + 20, far}, orb.Point{x + 20, 0})
		if i > 0 {
			up[len(up)-4][1] = 0
		}
	}
	up = append(up, orb.Point{far - 20, -20})
	for _, p := range up {
		across = append(across, orb.Point{p[1], p[0] + 7})
	}
	return []orb.Polygon{{append(up, up[0])}, {append(across, across[0])}}
}

func slanting(p orb.Polygon) orb.Polygon {
	for _, ring := range p {
		for i, q := range ring {
			ring[i][0] = q[0] + 2*max(q[1], 0)
		}
	}
	return p
}

// spiral is a corridor of 10 m that winds around, a wall of 10 m between its turns.
func spiral(vertices int, turns float64) orb.Polygon {
	var outer, inner orb.Ring
	n := vertices / 2
	for i := range n {
		turn := turns * float64(i) / float64(n-1)
		sin, cos := math.Sincos(2 * math.Pi * turn)
		far := 30 + 20*turn
		outer = append(outer, orb.Point{(far + 10) * cos, (far + 10) * sin})
		inner = append(inner, orb.Point{far * cos, far * sin})
	}
	for i := range inner {
		outer = append(outer, inner[n-1-i])
	}
	return orb.Polygon{append(outer, outer[0])}
}

func spikes(vertices int) orb.Polygon {
	var ring orb.Ring
	for i := range vertices {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(vertices))
		far := 100 + 700*float64(i%2)
		ring = append(ring, orb.Point{far * cos, far * sin})
	}
	return orb.Polygon{append(ring, ring[0])}
}

// looks are what check does to a layer.
var looks = []struct {
	name string
	look func(s *geo.Shapes, m *geo.Mesh)
}{
	{"rings", func(s *geo.Shapes, _ *geo.Mesh) { geo.RingProblems(s, 20) }},
	{"overlaps", func(_ *geo.Shapes, m *geo.Mesh) { m.Overlaps(20) }},
	{"gaps", func(_ *geo.Shapes, m *geo.Mesh) { m.Gaps(unit.Meter) }},
	{"width", func(s *geo.Shapes, _ *geo.Mesh) {
		for i := range min(100, s.Len()) {
			geo.InscribedCircle(s.Shape(i)[0])
		}
	}},
	{"union", func(s *geo.Shapes, _ *geo.Mesh) {
		var all []orb.MultiPolygon
		for i := range s.Len() {
			all = append(all, s.Shape(i))
		}
		geo.Union(all...)
	}},
}

func layerOf(polygons []orb.Polygon) *geo.Shapes {
	s := &geo.Shapes{}
	for _, p := range polygons {
		s.Append(orb.MultiPolygon{lonLatOf(p)})
	}
	return s
}

// lonLatOf lays a polygon out beside others.
func lonLatOf(meters orb.Polygon) orb.Polygon {
	scale := geo.LonLatScale(orb.Bound{Min: somewhere, Max: somewhere})
	var out orb.Polygon
	for _, ring := range meters {
		var to orb.Ring
		for _, p := range ring {
			to = append(to, orb.Point{somewhere[0] + p[0]/scale.X, somewhere[1] + p[1]/scale.Y})
		}
		out = append(out, to)
	}
	return out
}

func meshOf(t testing.TB, s *geo.Shapes) *geo.Mesh {
	m, err := geo.NewMesh(s, geo.MeshOptions{Scale: geo.LonLatScale(s.Extent()), Tolerance: 3 * unit.Millimeter})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// No small layer is dear: 6000 vertices are some 150 kB of GeoJSON. How fast a machine is
// nobody knows, so this is asked for by RXSPLIT_TIMES: a cost that grows with the square is
// far beyond the bound on any.
func TestNoLayerIsDear(t *testing.T) {
	if os.Getenv("RXSPLIT_TIMES") == "" {
		t.Skip("RXSPLIT_TIMES is not set")
	}
	for _, f := range families {
		s := layerOf(f.make(6_000))
		m := meshOf(t, s)
		for _, l := range looks {
			start := time.Now()
			l.look(s, m)
			if took := time.Since(start); took > 20*time.Second {
				t.Errorf("%s: %s take %v", f.name, l.name, took)
			}
		}
	}
}

// Combs that cross a million times are refused, with a place, and those that cross
// less are measured. They have 4004 edges: 50,000 crossings are allowed, and two for each edge.
func TestShapesThatCrossTooOften(t *testing.T) {
	few, many := layerOf(crossing(20)), layerOf(crossing(500))
	if list, _, _, err := meshOf(t, few).Overlaps(20); err != nil || len(list) != 1 {
		t.Errorf("%d overlaps, %v", len(list), err)
	}
	_, _, _, first := meshOf(t, many).Overlaps(20)
	_, second := geo.Intersect(many.Shape(0), many.Shape(1))
	for _, c := range []struct {
		what string
		err  error
		want string // a place goes between its parts
	}{
		{"a mesh", first, `^record 1 and 2: .*\d: edges of zones cross more than 58,008 times, too often to lay them over each other$`},
		{"an overlay", second, `^their edges cross more than 58,008 times, first .*\d: too often to lay one over the other$`},
	} {
		if c.err == nil || !regexp.MustCompile(c.want).MatchString(c.err.Error()) {
			t.Errorf("%s: a million crossings are refused by %v, want %s", c.what, c.err, c.want)
		}
	}
}

// A fan of slanting strips is joined where it is small; a large one, whose edges all lie beside each
// other, is refused before the library begins, which would take it minutes.
func TestStripsThatAllSlant(t *testing.T) {
	fan := func(strips int) (parts []orb.MultiPolygon) {
		for i := range strips {
			x := 900 * float64(i) / float64(strips)
			parts = append(parts, orb.MultiPolygon{{closed(x, 0, x+450/float64(strips), 0, x+900, 900)}})
		}
		return parts
	}
	if got, err := geo.Union(fan(100)...); err != nil || len(got) != 100 {
		t.Errorf("%d strips of 100, %v", len(got), err)
	}
	if _, err := geo.Union(fan(3000)...); err == nil || !strings.Contains(err.Error(), "slant beside each other") {
		t.Errorf("3000 strips: %v", err)
	}
}

// BenchmarkFamilies prints cost against size.
func BenchmarkFamilies(b *testing.B) {
	for _, f := range families {
		for _, n := range []int{100, 1000, 10_000, 40_000} {
			s := layerOf(f.make(n))
			for _, l := range looks {
				b.Run(fmt.Sprintf("%s/%s/%d", f.name, l.name, n), func(b *testing.B) {
					b.ReportAllocs()
					for b.Loop() {
						l.look(s, meshOf(b, s))
					}
				})
			}
		}
	}
}

// Two stars that nearly coincide, so that most edges lie beside each other and few cross, are refused
// once so many have been held against each other as their overlay is refused for.
func TestStarsThatNearlyCoincide(t *testing.T) {
	stars := func(n int) *geo.Shapes {
		one := spikes(n)
		var two orb.Ring
		for _, p := range one[0] {
			two = append(two, orb.Point{p[1], p[0]})
		}
		return layerOf([]orb.Polygon{one, {two}})
	}
	if list, _, _, err := meshOf(t, stars(400)).Overlaps(20); err != nil || len(list) != 1 {
		t.Errorf("small ones: %d overlaps, %v", len(list), err)
	}
	_, _, _, err := meshOf(t, stars(24_000)).Overlaps(20)
	if err == nil || !strings.Contains(err.Error(), "zones 1 and 2: too many long edges slant beside each other") {
		t.Errorf("large ones: %v", err)
	}
}

package svg

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	library "github.com/paulmach/orb/simplify"
	"pgregory.net/rapid"

	"rxsplit/geo"
)

// TestManyKeepOutsHaveTheirRoom: more keep-outs than a drawing can hold are drawn
// within the room all the same, as far as a pixel shows them.
func TestManyKeepOutsHaveTheirRoom(t *testing.T) {
	box := orb.Bound{Min: orb.Point{-96, 41}, Max: orb.Point{-95.99, 41.0076}}
	d := NewDrawer(oneShape(box.ToPolygon()))
	var ground orb.MultiPolygon
	const n = 200
	dx, dy := (box.Max[0]-box.Min[0])/n, (box.Max[1]-box.Min[1])/n
	for i := range n * n {
		x, y := box.Min[0]+float64(i%n)*dx, box.Min[1]+float64(i/n)*dy
		ground = append(ground, orb.Polygon{{{x, y}, {x + dx*0.7, y}, {x + dx*0.8, y + dy*0.6}, {x, y + dy*0.7}, {x, y}}})
	}
	path := d.Path(ground)
	if len(path) > groundRoom || len(path) < groundRoom/20 {
		t.Errorf("%d bytes for the path, room for %d", len(path), groundRoom)
	}
	if one := d.Path(ground[:1]); !strings.HasPrefix(one, "M") {
		t.Errorf("a keep-out of two pixels is drawn as %q", one)
	}
}

// oneShape is a field of one zone.
func oneShape(polygon orb.Polygon) Ground {
	var s geo.Shapes
	s.Append(orb.MultiPolygon{polygon})
	return Ground{Shapes: &s, Zones: 1, Record: func(int) int { return 0 }, Number: func(int) int { return 1 }}
}

// comb is a line of n teeth, each as high as the drawing and less than half a pixel
// wide.
func comb(n int) []orb.Point {
	ring := []orb.Point{{0, 0}}
	for i := range n {
		x := float64(i) * 7280 / float64(n)
		ring = append(ring, orb.Point{x, 100}, orb.Point{x, 6000})
	}
	return append(ring, orb.Point{7280, 0}, orb.Point{0, 0})
}

// TestSimplifyDividesWhereItShould: short lines are divided as the method says, and no
// point that is left out stands off, however long the line is.
func TestSimplifyDividesWhereItShould(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 120).Draw(t, "n")
		less := rapid.Float64Range(0.5, 40).Draw(t, "less")
		line := make(orb.LineString, n)
		for i := range line {
			line[i] = orb.Point{rapid.Float64Range(0, 100).Draw(t, "x"), rapid.Float64Range(0, 100).Draw(t, "y")}
		}
		want := library.DouglasPeucker(less).LineString(line.Clone())
		if got, _ := simplify(line.Clone(), less); !got.Equal(want) {
			t.Fatalf("%v, want %v", got, want)
		}
	})
	for _, n := range []int{10, 1000, 20_000} {
		line := orb.LineString(comb(n))
		kept, looks := simplify(line.Clone(), 3)
		if most := 2 * patience * len(line); looks > most { // the square of them is ten thousand times as many
			t.Errorf("%d teeth: %d looks at points, want at most %d", n, looks, most)
		}
		k := 0
		for _, p := range line {
			if k+1 < len(kept) && p == kept[k+1] {
				k++
				continue
			}
			if k+1 < len(kept) && planar.DistanceFromSegmentSquared(kept[k], kept[k+1], p) > 3*3 {
				t.Fatalf("%d teeth: %v is left out, between %v and %v", n, p, kept[k], kept[k+1])
			}
		}
		if k != len(kept)-1 {
			t.Errorf("%d teeth: %d of %d points are those of the line", n, k, len(kept))
		}
	}
}

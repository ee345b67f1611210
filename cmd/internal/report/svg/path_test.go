package svg

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

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

package coverage

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// The axis is that of the doubled angles' mean, weighted by length: by hand, and there and back alike.
func TestAxis(t *testing.T) {
	along := func(x, y float64) Piece { return Piece{Ring: [4]orb.Point{{0, 0}, {0, 0}, {x, y}, {x, y}}} }
	half := math.Sqrt(0.5)
	for name, c := range map[string]struct {
		pieces []Piece
		want   orb.Point
	}{
		"none":              {nil, orb.Point{0, 1}},
		"no length":         {[]Piece{along(0, 0)}, orb.Point{0, 1}},
		"crosswise alike":   {[]Piece{along(2, 0), along(0, 2)}, orb.Point{0, 1}},
		"middles of ends":   {[]Piece{{Ring: [4]orb.Point{{1, 2}, {5, 3}, {9, 12}, {5, 17}}}}, orb.Point{4 / math.Hypot(4, 12), 12 / math.Hypot(4, 12)}},
		"there and back":    {[]Piece{along(1, 1), along(-3, -3)}, orb.Point{half, half}},
		"down to the right": {[]Piece{along(2, -2)}, orb.Point{half, -half}},
		"longer one wins":   {[]Piece{along(3, 0), along(0, 1)}, orb.Point{1, 0}},
		"weighted":          {[]Piece{along(3, 0), along(2, 2), along(0, 3)}, orb.Point{half, half}},
	} {
		if got := axis(c.pieces); math.Abs(got[0]-c.want[0]) > 1e-12 || math.Abs(got[1]-c.want[1]) > 1e-12 {
			t.Errorf("%s: got %v, want %v", name, got, c.want)
		}
	}
}

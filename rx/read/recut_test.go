package read

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"rxsplit/geo"
)

// A zone whose parts overlap is joined before ground is cut out of it: of two squares of
// 4 that have 1 in common, 7, the owner takes 2.
func TestCutFromOverlappingParts(t *testing.T) {
	square := func(x, y, side float64) orb.Polygon {
		return orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + side, y + side}}.ToPolygon()
	}
	zones := &geo.Shapes{}
	zones.Append(orb.MultiPolygon{square(0, 0, 2), square(1, 1, 2)})
	zones.Append(orb.MultiPolygon{square(-1, 0, 2), square(-2, 1, 2)})
	rest, ok := cutFrom(zones, 0, []int{1})
	if area := planar.Area(rest); !ok || math.Abs(area-5) > 1e-9 {
		t.Errorf("%v of %v, want 5", ok, area)
	}
}

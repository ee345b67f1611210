package geo

import (
	"testing"

	"github.com/paulmach/orb"
)

// An edge that was bent to one vertex comes within the tolerance of a second one,
// which was beyond it before: v is 2.9 mm from the lower zone's edge, w 5.5 mm, and
// 2.6 mm from the line from v to b.
//
//	+-----------------+
//	|     upper       |
//	a------v--w-------b
//	|     lower       |   its upper edge goes straight from a to b
//	+-----------------+
func TestEdgesAreSplitAgainWhereTheyWereBent(t *testing.T) {
	s := &Shapes{}
	s.Append(orb.MultiPolygon{{box(0, -10, 100, 0)}})
	s.Append(orb.MultiPolygon{{ring(0, 0, 50, 0.0029, 50.5, 0.0055, 100, 0, 100, 10, 0, 10)}})
	opt := drawnLayer(t, s)
	o := outlineWith(t, s, opt)
	if err := sane(opt.LonLat, o); err != nil {
		t.Error(err)
	}
	if o.Splits != 2 || len(o.Polygons) != 1 || len(o.Polygons[0]) != 1 {
		t.Errorf("%d splits, polygons %v; want 2 splits and no sliver", o.Splits, o.Polygons)
	}
}

package geo

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// Beside an honest overlap, for which all pairs are compared, a strip thinner than
// the tolerance is noise, and what vanishes below it is no ground.
//
//	+-------------+
//	+---+     +---+--+   the upper one's stem bulges by 2 mm over the lower one
//	|   <     |   |##|
//	|   +-----+   |##|
//	+-------------+--+
func TestNoiseIsNoOverlap(t *testing.T) {
	s := &Shapes{}
	add := func(rings ...orb.Ring) { s.Append(orb.MultiPolygon{rings}) }
	dot := func(x, y float64) orb.Ring { return ring(x, y, x, y+0.001, x+0.001, y) }
	add(ring(0, 0, 100, 0, 100, 100, 60, 100, 60, 50, 40, 50, 40, 100, 0, 100), dot(20, 20))
	add(ring(40, 50, 60, 50, 60, 100, 100, 100, 100, 150, 0, 150, 0, 100, 40, 100, 39.998, 75), dot(50, 120))
	add(box(90, 0, 200, 100))
	add(ring(10, 10, 40, 45, 10.001, 10)) // a needle that vanishes in the lower one
	m, err := NewMesh(s, drawnLayer(t, s))
	if err != nil {
		t.Fatal(err)
	}
	list, total, more, err := m.Overlaps(10)
	if err != nil || len(list) != 1 || more != 0 || list[0].A != 0 || list[0].B != 2 || math.Abs(float64(total/unit.SquareMeter)-1000) > 1 {
		t.Errorf("got %v, %v, %d more (%v); want records 1 and 3 by 1000 m2", list, total, more, err)
	}
}

// A union whose points don't come back to where they belong is refused: what is
// returned is valid.
func TestUnionThatIsInvalidIsRefused(t *testing.T) {
	s := &Shapes{}
	s.Append(orb.MultiPolygon{{box(0, 0, 100, 100)}})
	s.Append(orb.MultiPolygon{{box(50, 50, 150, 150)}})
	opt := drawnLayer(t, s)
	honest := opt.ToLonLat
	opt.ToLonLat = func(dst, src []orb.Point) error {
		err := honest(dst, src)
		slices.Reverse(dst) // the two places where the edges cross
		return err
	}
	m, err := NewMesh(s, opt)
	if err != nil {
		t.Fatal(err)
	}
	var bad *invalidError
	if o, err := m.Outline(nil); !errors.As(err, &bad) {
		t.Errorf("got %v, %v; want it refused as invalid", o, err)
	}
}

// A ring around the globe has no acres.
func TestRingAroundThePole(t *testing.T) {
	for _, around := range []orb.Ring{ring(-120, 10, 0, 10, 120, 10), ring(0, -40, -120, -40, 120, -40)} {
		var bad *areaError
		if _, err := acresOfRing(around); !errors.As(err, &bad) || !strings.Contains(bad.Why, "goes around a pole") {
			t.Errorf("%v: got %v", around, err)
		}
	}
}

// Strips aslant lie in each other's boxes without sharing ground; where that is a
// matter of millions of pairs, they are not all compared.
func TestTooManyBoxesMeet(t *testing.T) {
	for _, c := range []struct {
		strips  int
		refused bool
	}{{300, false}, {1700, true}} {
		s := &Shapes{}
		for i := range c.strips {
			x := 2 * float64(i)
			s.Append(orb.MultiPolygon{{ring(x, 0, x+1, 0, x+5001, 5000, x+5000, 5000)}})
		}
		s.Append(orb.MultiPolygon{{box(0, 0, 1, 1)}}) // covers some of the first
		m, err := NewMesh(s, drawnLayer(t, s))
		if err != nil {
			t.Fatal(err)
		}
		var bad *topologyError
		if list, _, _, err := m.Overlaps(10); errors.As(err, &bad) != c.refused || !c.refused && len(list) != 1 {
			t.Errorf("%d strips: got %v, %v", c.strips, list, err)
		}
	}
}

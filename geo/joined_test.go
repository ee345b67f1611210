package geo

import (
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// scattered lays out cells of a square of n by n: some missing, some in halves, some with a
// vertex that their neighbors lack.
func scattered(rng *rand.Rand, n int) *Shapes {
	s := &Shapes{}
	for i := range n * n {
		x, y := float64(i%n), float64(i/n)
		switch rng.IntN(4) {
		case 0:
			s.Append(orb.MultiPolygon{{{at(x, y), at(x+1, y), at(x+1, y+1), at(x, y+1), at(x, y)}}})
		case 1:
			s.Append(orb.MultiPolygon{{{at(x, y), at(x+1, y), at(x+1, y+1), at(x, y)}}})
			s.Append(orb.MultiPolygon{{{at(x, y), at(x+1, y+1), at(x, y+1), at(x, y)}}})
		case 2:
			s.Append(orb.MultiPolygon{{{at(x, y), at(x+0.5, y), at(x+1, y), at(x+1, y+1), at(x, y+1), at(x, y)}}})
		}
	}
	return s
}

// The face that a polygon's edges tell is the one that its middle lies in.
func TestFacesOfPolygons(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	several := 0
	for range 300 {
		s := scattered(rng, 2+rng.IntN(9))
		if s.Len() == 0 {
			continue
		}
		m := mesh(t, s)
		of := newJoined(s)
		m.met = of.join
		o, g, err := dissolveEdges(m, nil)
		if err != nil {
			t.Fatal(err)
		}
		of.meet(g)
		if len(o.Polygons) > 1 {
			several++
		}
		sides := newSides(o.Polygons, asDrawn)
		for p := range s.PolyEnds {
			face, known := of.face(int32(p))
			if want := sides.holder(pointInside(s.polygon(p))); !known || face != want {
				t.Fatalf("polygon %d is of face %d (known: %v), want %d", p, face, known, want)
			}
		}
	}
	if several < 100 {
		t.Errorf("%d layers of several pieces, too few to see anything", several)
	}
}

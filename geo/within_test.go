package geo

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// The cells of a grid share a clip among them: their parts add up to what the clip
// has of the whole grid, by one cut of all, and each is its own cut.
func TestAreasWithin(t *testing.T) {
	s := squareGrid(900)
	extent := s.Extent()
	middle := orb.Point{(extent.Min[0] + extent.Max[0]) / 2, (extent.Min[1] + extent.Max[1]) / 2}
	wide := extent.Max[0] - extent.Min[0]
	around := func(r *rand.Rand, at orb.Point, radius float64, n int) orb.Ring {
		var ring orb.Ring
		for i := range n {
			d := radius * (0.5 + r.Float64()/2)
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			ring = append(ring, orb.Point{at[0] + d*cos, at[1] + d*sin})
		}
		return append(ring, ring[0])
	}
	r := rand.New(rand.NewPCG(6, 6))
	hole := around(r, middle, wide/10, 9)
	hole.Reverse()
	far := orb.Point{middle[0] + 0.4*wide, middle[1] + 0.4*wide}
	for name, clip := range map[string]orb.MultiPolygon{
		"with a hole, and a second part past the edge": {{around(r, middle, wide/3, 12), hole}, {around(r, far, wide/6, 30)}},
		"in one cell": {{around(r, orb.Point{middle[0] + 0.003*wide, middle[1] + 0.004*wide}, wide/1e4, 7)}},
		"all of it":   {{extent.Pad(wide).ToRing()}},
		"beside it":   {{extent.Pad(wide).ToRing(), reversed(extent.Pad(wide / 2).ToRing())}},
		"nothing":     nil,
	} {
		got, err := AreasWithin(s, clip)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		sum := 0.0
		for i, area := range got {
			sum += float64(area)
			want := 0.0
			if len(clip) > 0 {
				want = acresOf(t, s.Shape(i), clip)
			}
			if math.Abs(float64(area)-want) > 1e-9*math.Abs(want)+1e-9 {
				t.Fatalf("%s: record %d: %v ac, want %v", name, i, area, want)
			}
		}
		want := 0.0
		if len(clip) > 0 {
			want = acresOf(t, orb.MultiPolygon{{extent.ToRing()}}, clip)
		}
		if math.Abs(sum-want) > 1e-6*want {
			t.Errorf("%s: %v ac in all, want %v", name, sum, want)
		}
	}
}

func acresOf(t *testing.T, a, b orb.MultiPolygon) float64 {
	t.Helper()
	common, err := Intersect(a, b)
	if err != nil {
		t.Fatal(err)
	}
	area, err := AreaOf(common)
	if err != nil {
		t.Fatal(err)
	}
	return float64(area)
}

// What an overlay can't cut is told with its record; records off the border are not cut.
func TestAreasWithinThatCantBeCut(t *testing.T) {
	s := &Shapes{}
	s.Append(orb.MultiPolygon{{box(0, 0, 1, 1)}})
	s.Append(nil)
	s.Append(orb.MultiPolygon{{box(0.4, 0.4, 0.6, 0.6), ring(0.5, 0.5, math.NaN(), 0.55, 0.55, 0.55)}})
	near := orb.MultiPolygon{{box(0.5, 0.5, 0.7, 0.7)}}
	_, err := AreasWithin(s, near)
	var overlay *overlayError
	if !errors.As(err, &overlay) || !strings.HasPrefix(err.Error(), "record 3: ") {
		t.Errorf("got %v, want record 3", err)
	}
	if areas, err := AreasWithin(s, orb.MultiPolygon{{box(5, 5, 6, 6)}}); err != nil || areas[0] != 0 || areas[1] != 0 || areas[2] != 0 {
		t.Errorf("far off: got %v, %v", areas, err)
	}
}

package swath

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/coverage"
)

// Regions tile the ground that they are drawn of: their polygons are valid, and have the
// areas of their runs, as a whole and one by one.
func TestRegions(t *testing.T) {
	g := ground(season(11, 0.02))
	regions, err := coverage.Regions(g, coverage.Options{Spacing: 0.5}, func(s *coverage.State) (int32, [2]float64) {
		return int32(min(s.Covers[0], 2)) + 1, [2]float64{s.Density[0], 1}
	})
	if err != nil {
		t.Fatal(err)
	}
	byClass := map[int32]float64{}
	amount := 0.0
	for i, r := range regions {
		byClass[r.Class] += r.Area
		amount += r.Area * r.Mean[0]
		drawn := 0.0
		for _, ring := range r.Polygon {
			drawn += area(ring)
		}
		if math.Abs(drawn-r.Area) > 0.02*r.Area+2 {
			t.Errorf("region %d of class %d is drawn with %.2f m², and has %.2f", i, r.Class, drawn, r.Area)
		}
		if r.Area > 20 {
			if err := geo.Valid(orb.MultiPolygon{r.Polygon}); err != nil {
				t.Errorf("region %d, %.1f m²: %v", i, r.Area, err)
			}
		}
	}
	exact := look(t, g, coverage.Options{})
	once := exact.Marks[covered].Area - exact.Marks[twice].Area
	// Strips narrower than 0.3 m went to their neighbors.
	near(t, "covered once", byClass[2], once, 0.01)
	near(t, "covered twice", byClass[3], exact.Marks[twice].Area-exact.Marks[twice].Narrow, 0.05)
	near(t, "amount", amount, exact.Products[0].Field.Area+exact.Products[0].Outside.Area, 2e-3)
}

func area(ring orb.Ring) (sum float64) {
	for i := 1; i < len(ring); i++ {
		sum += (ring[i-1][0]*ring[i][1] - ring[i][0]*ring[i-1][1]) / 2
	}
	return sum
}

package swath

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/coverage"
	"rxsplit/geo/crs"
	"rxsplit/label/unit"
)

// Regions tile the ground that they are drawn of: their polygons are valid, and have the
// areas of their runs, as a whole and one by one.
func TestRegions(t *testing.T) {
	g := ground(season(11, 0.02))
	drawn, err := coverage.Regions(g, coverage.Options{Spacing: 0.5}, func(s *coverage.State) (int32, [2]float64) {
		return int32(min(s.Covers[0], 2)) + 1, [2]float64{s.Density[0], 1}
	})
	if err != nil {
		t.Fatal(err)
	}
	byClass := map[int32]float64{}
	amount := 0.0
	for i, r := range drawn[0] {
		byClass[r.Class] += r.Area
		amount += r.Area * r.Mean[0]
		sum := 0.0
		for _, ring := range r.Polygon {
			sum += area(ring)
		}
		if math.Abs(sum-r.Area) > 0.02*r.Area+2 {
			t.Errorf("region %d of class %d is drawn with %.2f m², and has %.2f", i, r.Class, sum, r.Area)
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
	near(t, "amount", amount, exact.Products[0].Field+exact.Products[0].Outside, 2e-3)
}

// Neighbors share their edges: no two regions have ground in common, neither as the layer's
// own check sees it nor by the overlay of simplefeatures, a port of JTS.
func TestRegionsShareEdges(t *testing.T) {
	seeds := uint64(3)
	if testing.Short() {
		seeds = 1
	}
	for seed := range seeds {
		g := ground(season(seed, 0.05*float64(seed+1)))
		g.Pieces = g.Pieces[:len(g.Pieces)/4] // pairs are dear to overlay
		drawn, err := coverage.Regions(g, coverage.Options{Spacing: 3 - float64(seed)}, func(s *coverage.State) (int32, [2]float64) {
			return int32(s.Density[0]/5) + 1, [2]float64{}
		})
		if err != nil {
			t.Fatal(err)
		}
		regions := drawn[0]
		if len(regions) < 50 {
			t.Fatalf("seed %d: %d regions are too few to say much", seed, len(regions))
		}
		for i, a := range regions {
			for k, b := range regions[:i] {
				if !a.Polygon.Bound().Intersects(b.Polygon.Bound()) {
					continue
				}
				common, err := geo.Intersect(orb.MultiPolygon{a.Polygon}, orb.MultiPolygon{b.Polygon})
				if err != nil {
					t.Fatalf("seed %d: regions %d and %d: %v", seed, k, i, err)
				}
				shared := 0.0
				for _, p := range common {
					shared += math.Abs(area(p[0]))
				}
				if shared > 1e-6 {
					t.Errorf("seed %d: regions %d and %d share %.6f m² at %v", seed, k, i, shared, common[0][0][0])
				}
			}
		}
		layer := &geo.Shapes{}
		plane := crs.Local(orb.Point{-93, 42})
		for _, r := range regions {
			for _, ring := range r.Polygon {
				if err := plane.ToLonLat(ring, ring); err != nil {
					t.Fatal(err)
				}
			}
			layer.Append(orb.MultiPolygon{r.Polygon})
		}
		m, err := geo.NewMesh(layer, geo.MeshOptions{Scale: geo.LonLatScale(layer.Extent()), Tolerance: 3 * unit.Millimeter})
		if err != nil {
			t.Fatal(err)
		}
		if pairs, total, more, err := m.Overlaps(10); err != nil || len(pairs)+more > 0 {
			t.Errorf("seed %d: %d overlaps, %v in all: %v, %v", seed, len(pairs)+more, total, pairs, err)
		}
	}
}

func area(ring orb.Ring) (sum float64) {
	for i := 1; i < len(ring); i++ {
		sum += (ring[i-1][0]*ring[i][1] - ring[i][0]*ring[i-1][1]) / 2
	}
	return sum
}

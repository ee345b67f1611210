package geo

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
)

// Random layers in lon/lat that must dissolve without a union, of every kind that
// is known to break outlines: subsets of grids (so that cells touch at corners,
// holes touch, islands stand in holes), bricks, noise, and neighbors joined into
// larger polygons with holes. Each outline must be valid by an outside judge
// (simplefeatures, a port of the reference overlay), and hold the rings' acres.

// layerCount is how many random layers a plain run tries; RXSPLIT_LAYERS=100000
// makes it a long one.
func layerCount(t *testing.T, plain int) int {
	if n, err := strconv.Atoi(os.Getenv("RXSPLIT_LAYERS")); err == nil {
		return n
	}
	if testing.Short() {
		return plain / 10
	}
	return plain
}

type makeLayer struct {
	name string
	make func(r *rand.Rand) *Shapes
}

var cleanLayers = []makeLayer{
	{"subset of a grid", func(r *rand.Rand) *Shapes { return randomGrid(r) }},
	{"subset of a grid with noise", func(r *rand.Rand) *Shapes { return noisy(r, randomGrid(r), 1e-9) }},
	{"bricks", func(r *rand.Rand) *Shapes { return randomBricks(r) }},
	{"bricks with noise", func(r *rand.Rand) *Shapes { return noisy(r, randomBricks(r), 1e-9) }},
	{"joined cells", func(r *rand.Rand) *Shapes { return joinedCells(r, randomGrid(r)) }},
	{"turned and bent grid", func(r *rand.Rand) *Shapes { return bent(r, randomGrid(r)) }},
	{"turned and bent grid with noise", func(r *rand.Rand) *Shapes { return noisy(r, bent(r, randomGrid(r)), 1e-9) }},
}

func TestRandomLayersDissolve(t *testing.T) {
	n := layerCount(t, 2100) / len(cleanLayers)
	for _, l := range cleanLayers {
		t.Run(l.name, func(t *testing.T) {
			for seed := range uint64(n) {
				r := rand.New(rand.NewPCG(seed, 1))
				s := shuffled(r, l.make(r))
				m, err := NewMesh(s, lonLatOptions(s))
				if err != nil {
					t.Fatal(err)
				}
				o, err := m.Outline(nil)
				if err != nil {
					t.Fatalf("layer %d: %v", seed, err)
				}
				if err := sane(s, o); err != nil {
					t.Fatalf("layer %d: %v", seed, err)
				}
				if o.Method != byEdges {
					t.Fatalf("layer %d: made by %s", seed, o.Method)
				}
			}
		})
	}
}

// sane checks an outline against what it was made from.
func sane(s *Shapes, o *Outline) error {
	if err := Valid(o.Polygons); err != nil {
		return err
	}
	drawn := 0.0
	areas, err := s.Areas()
	if err != nil {
		return err
	}
	for _, a := range areas {
		drawn += float64(a)
	}
	area, err := AreaOf(o.Polygons)
	if err != nil {
		return err
	}
	if area != o.Area {
		return fmt.Errorf("area says %v, polygons have %v", o.Area, area)
	}
	// Beyond the bound stated: rounding of acres on 10 m cells.
	if diff := math.Abs(float64(area) - drawn); diff > float64(o.Bound)+1e-9*drawn {
		return fmt.Errorf("outline has %v ac, rings %v ac: apart by %g, bound %g", area, drawn, diff, o.Bound)
	}
	for _, p := range o.Polygons {
		for i, ring := range p {
			if a, _ := acresOfRing(ring); (a > 0) != (i == 0) {
				return errors.New("a ring winds the wrong way")
			}
		}
	}
	return nil
}

// randomGrid keeps each cell of a small grid with the same chance; equal chances
// make every corner configuration common.
func randomGrid(r *rand.Rand) *Shapes {
	chance := 0.3 + 0.6*r.Float64()
	return gridLayer(2+r.IntN(9), 2+r.IntN(9), func(_, _ int) bool { return r.Float64() < chance })
}

// randomBricks shifts every other row by half a cell.
func randomBricks(r *rand.Rand) *Shapes {
	chance := 0.5 + 0.5*r.Float64()
	s := gridLayer(2+r.IntN(7), 2+r.IntN(7), func(_, _ int) bool { return r.Float64() < chance })
	for i, p := range s.Points {
		row := int(math.Round((bound(s.Ring(i / 5)).Min[1] - corner[1]) / cellSize[1]))
		s.Points[i][0] = p[0] + float64(row%2)*cellSize[0]/2
	}
	return s
}

// noisy moves each point by itself.
func noisy(r *rand.Rand, s *Shapes, by float64) *Shapes {
	for i := range s.RingEnds {
		ring := s.Ring(i)
		for k := range ring[1:] {
			ring[k][0] += by * (2*r.Float64() - 1)
			ring[k][1] += by * (2*r.Float64() - 1)
		}
		ring[len(ring)-1] = ring[0]
	}
	return s
}

// bent turns a layer and bends it smoothly; equal points stay equal.
func bent(r *rand.Rand, s *Shapes) *Shapes {
	sin, cos := math.Sincos(r.Float64() * 2 * math.Pi)
	for i, p := range s.Points {
		x, y := (p[0]-corner[0])*0.75, p[1]-corner[1]
		x, y = x+y*y*100, y+x*x*200
		s.Points[i] = orb.Point{corner[0] + (x*cos-y*sin)/0.75, corner[1] + x*sin + y*cos}
	}
	return s
}

// joinedCells puts runs of cells into one record: by union, or side by side as a
// multipolygon's parts that share edges, which some programs write.
func joinedCells(r *rand.Rand, s *Shapes) *Shapes {
	out := &Shapes{}
	for i := 0; i < s.Len(); {
		n := min(1+r.IntN(12), s.Len()-i)
		mp := orb.MultiPolygon{}
		for k := range n {
			mp = append(mp, s.Shape(i+k)...)
		}
		if r.IntN(3) > 0 {
			part := &Shapes{}
			for _, p := range mp {
				part.Append(orb.MultiPolygon{p})
			}
			mp = mustUnion(part)
		}
		out.Append(mp)
		i += n
	}
	return out
}

// mustUnion is the outside oracle's union.
func mustUnion(s *Shapes) orb.MultiPolygon {
	var parts []orb.MultiPolygon
	for i := range s.Len() {
		parts = append(parts, s.Shape(i))
	}
	mp, err := Union(parts...)
	if err != nil {
		panic(err)
	}
	return mp
}

// shuffled permutes the records, turns their rings, and reverses some.
func shuffled(r *rand.Rand, s *Shapes) *Shapes {
	out := &Shapes{}
	for _, i := range r.Perm(s.Len()) {
		out.Append(s.Shape(i))
	}
	for i := range out.RingEnds {
		ring := out.Ring(i)
		open := append(orb.Ring(nil), ring[:len(ring)-1]...)
		if r.IntN(2) == 0 {
			open.Reverse()
		}
		k := r.IntN(len(open))
		copy(ring, append(append(open[k:len(open):len(open)], open[:k]...), open[k]))
	}
	return out
}

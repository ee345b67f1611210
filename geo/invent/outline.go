package invent

import (
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"
)

// outline is the boundary of an invented field: four sides, the eastern one along
// a winding creek, and a farmstead left out of the south-western corner. It maps
// the unit square onto the field, in meters from about its middle.
type outline struct {
	corners [4]orb.Point // SW, SE, NW, NE
	sides   [4]winding   // S, N, W, E
	steps   [2]int       // of the mesh, west to east and south to north
	notch   [2]int       // steps that the farmstead takes
}

// winding is how far a side leaves its straight line, from end to end, where it
// is 0.
type winding [3]struct{ height, turns, phase float64 }

func newWinding(rng *rand.Rand, height float64) winding {
	var w winding
	for i := range w {
		w[i].height = height / float64(i+1)
		w[i].turns = float64(i) + between(rng, 0.8, 1.8)
		w[i].phase = between(rng, 0, 2*math.Pi)
	}
	return w
}

func (w winding) at(u float64) float64 {
	var sum float64
	for _, c := range w {
		sum += c.height * math.Sin(2*math.Pi*c.turns*u+c.phase)
	}
	return sum * math.Sin(math.Pi*u)
}

// newOutline makes an outline of about 200 acres for a mesh of the given step.
func newOutline(rng *rand.Rand, step float64) *outline {
	wide, high := between(rng, 880, 1020), between(rng, 820, 960)
	o := &outline{}
	for i := range o.corners {
		o.corners[i] = orb.Point{
			(float64(i%2)-0.5)*wide + between(rng, -45, 45),
			(float64(i/2)-0.5)*high + between(rng, -45, 45),
		}
	}
	for i, height := range [4]float64{0, 10, 0, 42} {
		o.sides[i] = newWinding(rng, height)
	}
	o.steps = [2]int{int(wide / step), int(high / step)}
	o.notch = [2]int{int(between(rng, 110, 150) / step), int(between(rng, 80, 120) / step)}
	return o
}

// at returns the place of u, v in the unit square: bilinear between the corners,
// each side's winding fading towards the opposite side.
func (o *outline) at(u, v float64) orb.Point {
	mix := func(axis int) float64 {
		south := o.corners[0][axis]*(1-u) + o.corners[1][axis]*u
		north := o.corners[2][axis]*(1-u) + o.corners[3][axis]*u
		return south*(1-v) + north*v
	}
	return orb.Point{
		mix(0) + o.sides[2].at(v)*(1-u) + o.sides[3].at(v)*u,
		mix(1) + o.sides[0].at(u)*(1-v) + o.sides[1].at(u)*v,
	}
}

// mesh returns the field in triangles. Their diagonals alternate, so that lines
// cut through them favor no direction.
func (o *outline) mesh() *mesh {
	nu, nv := o.steps[0], o.steps[1]
	m := &mesh{points: make([]orb.Point, 0, (nu+1)*(nv+1))}
	for j := range nv + 1 {
		for i := range nu + 1 {
			m.points = append(m.points, o.at(float64(i)/float64(nu), float64(j)/float64(nv)))
		}
	}
	for j := range nv {
		for i := range nu {
			if i < o.notch[0] && j < o.notch[1] {
				continue
			}
			sw := int32(j*(nu+1) + i)
			se, nw, ne := sw+1, sw+int32(nu)+1, sw+int32(nu)+2
			a, b := cell{ring: []int32{sw, se, ne}}, cell{ring: []int32{sw, ne, nw}}
			if (i+j)%2 == 1 {
				a, b = cell{ring: []int32{sw, se, nw}}, cell{ring: []int32{se, ne, nw}}
			}
			m.cells = append(m.cells, a, b)
		}
	}
	return m
}

package geo

import (
	"fmt"
	"math"
	"sync"

	"github.com/paulmach/orb"

	"rxsplit/internal/cores"
	"rxsplit/label/unit"
)

// MeshOptions says what the drawn coordinates are.
type MeshOptions struct {
	Scale     Scale       // meters per coordinate unit at the layer's middle
	Tolerance unit.Length // vertices closer than this become one; 2 to 5 mm suits field layers; 0 merges equal ones only

	// LonLat holds the same records in lon/lat, point by point; nil when the
	// drawn ones are lon/lat.
	LonLat *Shapes
	// ToLonLat brings points that only a union makes to lon/lat; nil when the
	// drawn ones are lon/lat. dst and src are of one length
	// and may be the same.
	ToLonLat func(dst, src []orb.Point) error
}

// Mesh is the topology of a layer: which vertices of its rings are one and the
// same. It works in the layer's drawn coordinates, where the edges that people
// and programs drew are straight; what it returns is lon/lat.
//
// Vertices closer than the tolerance become one, whose place is the one that
// comes first in the file. So noise in coordinates vanishes, an edge shorter than
// the tolerance becomes none, and a ring smaller than the tolerance vanishes.
type Mesh struct {
	drawn *Shapes
	opt   MeshOptions
	plane plane
	tol   float64 // meters

	vertex []int32 // per point of drawn: its vertex, numbered as they come up in the file
	first  []int32 // per vertex: the point that comes first
	flip   []bool  // per ring: wound against its role, shells being counter-clockwise
	sites  []site  // per vertex: where it stands on the equal-area map

	// own is, in the mesh of some records alone, a vertex by its number in vertex and sites,
	// from 1; nil where all records are in it: see [Mesh.within].
	own []int32

	met func(src, other int32) // told of edges that cancel, by the points they start from; may be nil

	once  sync.Once
	whole boundaryEdges // of all records, once asked for
}

// NewMesh finds the vertices of a layer. It fails if a ring isn't closed or a
// coordinate is not finite; the error names the record. drawn must not change
// while the mesh is in use.
func NewMesh(drawn *Shapes, opt MeshOptions) (*Mesh, error) {
	if opt.LonLat != nil && len(opt.LonLat.Points) != len(drawn.Points) {
		return nil, fmt.Errorf("%d points drawn but %d in lon/lat", len(drawn.Points), len(opt.LonLat.Points))
	}
	if s := opt.Scale; !(s.X > 0 && s.Y > 0 && opt.Tolerance >= 0) {
		return nil, fmt.Errorf("scale %g, %g and tolerance %v are no lengths", s.X, s.Y, opt.Tolerance)
	}
	m := &Mesh{drawn: drawn, opt: opt, tol: unit.Meters(opt.Tolerance)}
	extent, err := m.checkRings()
	if err != nil {
		return nil, err
	}
	m.plane = plane{extent.Min, opt.Scale}
	m.vertex, m.first = weld(drawn.Points, m.plane, extent, m.tol)
	m.placeSites()
	return m, nil
}

// Outline dissolves the records that keep accepts, all if it is nil. The outline
// is checked before it is returned: that no edges cross, that no ground is covered
// twice, and that its acres are those of the rings, to 1e-11, after vertices were
// moved and edges split. Where polygons cover each other it is made by a union, of
// at most 5000 polygons; else the error tells where and in which records it fails.
func (m *Mesh) Outline(keep func(record int) bool) (*Outline, error) {
	o, _, err := dissolveEdges(m, keep)
	return o, err
}

// Overlaps finds the pairs of polygons that cover common ground. It returns the
// first max of them in the order of records, the acres of all, and how many more
// there are than listed. Where three polygons cover a place, each pair counts.
// Overlaps that are narrower than the tolerance on average are noise and left out.
//
// Where the boundary edges of the whole layer are sound, no ground is covered
// twice, and nothing is compared: a clean layer costs no more than its outline.
// Else every pair of polygons whose boxes meet is, as edges that cancel can hide
// one polygon under others. Where each lies on very many others, that is an error:
// time and memory stay in proportion to the layer.
func (m *Mesh) Overlaps(max int) (list []Overlap, total unit.Area, more int, err error) {
	return overlapFinder{m}.find(max)
}

// Gaps finds bare ground narrower than width, closed holes and open slits alike.
// The rule: a gap is where from the middle of an outline's edge, straight away
// from its ground, covered ground begins again within width. Edges that follow
// one another make one gap. What is narrower than the mesh's tolerance is closed
// already and not reported; a hole wider than width is meant as a hole.
// Gaps come in the order of their records.
func (m *Mesh) Gaps(width unit.Length) []Gap { return findGaps(m, width) }

// Connected joins the polygons of some records, in ascending order, as [Mesh.Outline]
// does, and tells which of them make each. It takes time in proportion to
// those records, not to the layer. A polygon smaller than the tolerance can be left
// out. The error is that of Outline.
func (m *Mesh) Connected(records []int32) ([]ConnectedGround, error) { return connect(m, records) }

// checkRings refuses what has no topology, finds out how rings wind, and returns
// the extent.
func (m *Mesh) checkRings() (orb.Bound, error) {
	rings := len(m.drawn.RingEnds)
	m.flip = make([]bool, rings)
	extents := make([]orb.Bound, cores.Count(rings, cores.Block))
	hole := m.holes()
	err := cores.Try(rings, cores.Block, func(from, to int) error {
		extent := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
		for r := from; r < to; r++ {
			area, ok := windRing(m.drawn.Ring(r), &extent)
			if !ok {
				return fmt.Errorf("record %d: a ring is open or has a coordinate that is not finite", m.recordOfRing(r)+1)
			}
			m.flip[r] = (area < 0) != hole[r]
		}
		extents[from/cores.Block] = extent
		return nil
	})
	if err != nil || rings == 0 {
		return orb.Bound{}, err
	}
	extent := extents[0]
	for _, e := range extents[1:] {
		extent = extent.Union(e)
	}
	return extent, nil
}

// holes tells per ring whether it is a hole.
func (m *Mesh) holes() []bool {
	hole := make([]bool, len(m.drawn.RingEnds))
	for p := range m.drawn.PolyEnds {
		from, to := m.drawn.RingSpan(p)
		for r := from + 1; r < to; r++ {
			hole[r] = true
		}
	}
	return hole
}

// windRing returns twice the signed plane area of a ring and grows the extent by
// it. It reports whether the ring is closed and finite.
func windRing(ring orb.Ring, extent *orb.Bound) (area float64, ok bool) {
	if len(ring) == 0 {
		return 0, true
	}
	o := ring[0]
	e := *extent
	for i, p := range ring {
		e.Min[0], e.Max[0] = min(e.Min[0], p[0]), max(e.Max[0], p[0])
		e.Min[1], e.Max[1] = min(e.Min[1], p[1]), max(e.Max[1], p[1])
		if i > 0 {
			q := ring[i-1]
			area += float64((q[0]-o[0])*(p[1]-o[1])) - float64((q[1]-o[1])*(p[0]-o[0]))
		}
	}
	*extent = e
	size := e.Max[0] - e.Min[0] + e.Max[1] - e.Min[1]
	return area, o == ring[len(ring)-1] && !math.IsNaN(size) && !math.IsInf(size, 0)
}

// lonLat returns the place of a vertex, with the bits of the source.
func (m *Mesh) lonLat(vertex int32) orb.Point {
	if m.opt.LonLat != nil {
		return m.opt.LonLat.Points[m.first[vertex]]
	}
	return m.drawn.Points[m.first[vertex]]
}

// at returns the vertex of a point.
func (m *Mesh) at(point int) int32 {
	if m.own != nil {
		return m.own[m.vertex[point]] - 1
	}
	return m.vertex[point]
}

func (m *Mesh) site(vertex int32) *site {
	if m.own != nil {
		vertex = m.vertex[m.first[vertex]]
	}
	return &m.sites[vertex]
}

// place returns where a vertex is drawn, in meters.
func (m *Mesh) place(vertex int32) orb.Point {
	return m.plane.meters(m.drawn.Points[m.first[vertex]])
}

func (m *Mesh) recordOfRing(ring int) int {
	return searchEnds(m.drawn.ShapeEnds, searchEnds(m.drawn.PolyEnds, ring))
}

// recordOfPoint returns the record that a point of the layer belongs to.
func (m *Mesh) recordOfPoint(point int32) int {
	return m.recordOfRing(searchEnds(m.drawn.RingEnds, int(point)))
}

func (m *Mesh) recordOfPolygon(p int32) int { return searchEnds(m.drawn.ShapeEnds, int(p)) }

// kept asks keep once a record, in order and from one goroutine.
func (m *Mesh) kept(keep func(record int) bool) []bool {
	if keep == nil {
		return nil
	}
	kept := make([]bool, m.drawn.Len())
	for i := range kept {
		kept[i] = keep(i)
	}
	return kept
}

func (m *Mesh) placeSites() {
	m.sites = make([]site, len(m.first))
	if len(m.first) == 0 {
		return
	}
	base := project(m.lonLat(0)).y
	cores.Blocks(len(m.sites), cores.Block, func(from, to int) {
		for v := from; v < to; v++ {
			p := m.lonLat(int32(v))
			o := project(p)
			o.y -= base
			m.sites[v] = site{p[0], o}
		}
	})
}

// mostTouching bounds how many records one place is looked at for: at the hub of a fan
// pairs grow with the square of them.
const mostTouching = 64

// Touching calls yield for the pairs of records that have a corner in common, welded as
// the mesh welds them; a pair comes once for each such corner.
func (m *Mesh) Touching(yield func(a, b int)) {
	starts := make([]int32, len(m.first)+1)
	for _, v := range m.vertex {
		starts[v+1]++
	}
	for v := range m.first {
		starts[v+1] += starts[v]
	}
	next := append([]int32(nil), starts...)
	records := make([]int32, len(m.vertex))
	for point, v := range m.vertex {
		records[next[v]] = int32(m.recordOfPoint(int32(point)))
		next[v]++
	}
	for v := range m.first {
		at := records[starts[v]:starts[v+1]]
		at = at[:min(len(at), mostTouching)]
		for i, a := range at {
			for _, b := range at[:i] {
				if a != b {
					yield(int(a), int(b))
				}
			}
		}
	}
}

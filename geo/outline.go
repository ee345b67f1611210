package geo

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// The methods of an [Outline].
const (
	byEdges = "edges" // shared edges canceled: exact where neighbors share vertices
	byUnion = "union" // polygon overlay, where polygons cover each other
)

// Outline is the ground that records cover, in lon/lat.
type Outline struct {
	// Polygons are valid; each is one connected piece of ground. Shells go
	// counter-clockwise, holes clockwise. Each vertex is one of the file, with its
	// bits, but for those that a union makes. Pieces, holes and rings start in the
	// order of the file's vertices.
	Polygons orb.MultiPolygon
	Area     unit.Area // of Polygons
	Method   string    // ByEdges or ByUnion

	Moved   int         // points of the rings that don't stand where their vertex does
	MaxMove unit.Length // the farthest of them
	Splits  int         // vertices put into edges that they lie on, as where a row is shifted against the next

	// Bound is how far Area may stand from the sum of the kept rings as drawn:
	// what moving changed in each ring, plus what each split edge gained or lost
	// by bending, all without regard to sign. Where Method is ByUnion it is the
	// difference itself, the ground that is covered more than once.
	Bound unit.Area
}

// topologyError says where a layer's polygons don't make an outline.
type topologyError struct {
	Place   orb.Point // lon/lat
	Records []int     // from 0: whose edges show it, as far as known
	Why     string
}

func (e *topologyError) Error() string {
	s := ""
	for i, r := range e.Records {
		if i == 0 {
			s = fmt.Sprintf("record %d", r+1)
			continue
		}
		s += fmt.Sprintf(" and %d", r+1)
	}
	if s != "" {
		s += ": "
	}
	return s + placeText(e.Place) + ": " + e.Why
}

// maxUnion is how many polygons a union is tried on, where canceling edges fails.
const maxUnion = 5000

// dissolveEdges makes the outline of the kept records from the edges that neighbors don't
// share, or by a union where those edges are none. It also returns the boundary edges, which
// know the polygon of the outline that lies along them; nil where it is made by a union.
func dissolveEdges(m *Mesh, keep func(record int) bool) (*Outline, *graph, error) {
	left := m.boundary(keep)
	g := newGraph(m, left.edges)
	if f := acrossMeridian(m, g); f != nil {
		return nil, nil, newTopologyError(m, g, f)
	}
	faces, flaw := g.faces()
	if flaw != nil {
		o, err := uniteOutline(m, keep, newTopologyError(m, g, flaw))
		return o, nil, err
	}
	sums := sumRings(m, keep)
	o := &Outline{
		Polygons: g.polygons(faces, m.lonLat),
		Method:   byEdges,
		Moved:    sums.moved,
		MaxMove:  unit.Length(math.Sqrt(sums.farthest2)) * unit.Meter,
		Splits:   left.splits,
		Bound:    meters2(sums.changed + float64(bends(left)*semiMinor*semiMinor)),
	}
	if err := checkConserved(m, g, faces, sums, left); err != nil {
		return nil, nil, err
	}
	var err error
	o.Area, err = AreaOf(o.Polygons)
	return o, g, err
}

func bends(l boundaryEdges) float64 {
	sum := 0.0
	for _, b := range l.bent {
		sum += math.Abs(b)
	}
	return sum
}

// acrossMeridian returns a flaw if an edge jumps around the globe: a layer in
// lon/lat has to be cut at the 180° meridian (RFC 7946, 3.1.9).
func acrossMeridian(m *Mesh, g *graph) *flaw {
	for i, e := range g.edges {
		if a, b := m.lonLat(g.vertex[e.a]), m.lonLat(g.vertex[e.b]); math.Abs(a[0]-b[0]) > 180 {
			return &flaw{g.pos[e.a], "the outline crosses the 180° meridian", [2]int32{int32(i), -1}}
		}
	}
	return nil
}

func newTopologyError(m *Mesh, g *graph, f *flaw) *topologyError {
	e := &topologyError{Place: f.place, Why: f.why}
	for _, k := range f.edges {
		if k < 0 {
			continue
		}
		record := m.recordOfPoint(g.edges[k].src)
		if len(e.Records) == 0 || e.Records[0] != record {
			e.Records = append(e.Records, record)
		}
	}
	return e
}

// checkConserved compares the outline with the rings that it was made from. It is
// a check of this package's own bookkeeping, made on every run: acres that leak
// out of an outline would be acres without product.
func checkConserved(m *Mesh, g *graph, faces []face, sums ringSums, left boundaryEdges) error {
	var area float64
	add := func(l loop) {
		for i, n := range l.nodes {
			next := l.nodes[(i+1)%len(l.nodes)]
			area -= underEdge(m.site(g.vertex[n]), m.site(g.vertex[next]))
		}
	}
	for _, f := range faces {
		add(f.shell)
		for _, h := range f.holes {
			add(h)
		}
	}
	area = float64(area * semiMinor * semiMinor)
	want := sums.area - float64(left.delta*semiMinor*semiMinor)
	if math.Abs(area-want) <= float64(1e-11*math.Abs(want))+float64(1e-15*sums.terms) {
		return nil
	}
	e := &topologyError{Why: "the outline's acres are not those of the rings"}
	if len(g.pos) > 0 {
		e.Place = g.pos[0]
	}
	return e
}

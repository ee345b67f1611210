package geo

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// The methods of an [Outline].
const (
	ByEdges = "edges" // shared edges canceled: exact where neighbors share vertices
	ByUnion = "union" // polygon overlay, where polygons cover each other
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

// TopologyError says where a layer's polygons don't make an outline.
type TopologyError struct {
	Place   orb.Point // lon/lat
	Records []int     // from 0: whose edges show it, as far as known
	Why     string
}

func (e *TopologyError) Error() string {
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

// MaxUnion is how many polygons a union is tried on, where canceling edges fails.
const MaxUnion = 5000

// Outline dissolves the records that keep accepts, all if it is nil. The outline
// is checked before it is returned: that no edges cross, that no ground is covered
// twice, and that its acres are those of the rings, to 1e-11, after vertices were
// moved and edges split. Where polygons cover each other it is made by a union, of
// at most [MaxUnion] polygons; else the error is a [*TopologyError].
func (m *Mesh) Outline(keep func(record int) bool) (*Outline, error) {
	left := m.leftovers(keep)
	g := m.newGraph(left.edges)
	if f := m.acrossMeridian(g); f != nil {
		return nil, m.topologyError(g, f)
	}
	faces, flaw := g.faces()
	if flaw != nil {
		return m.unionOutline(keep, m.topologyError(g, flaw))
	}
	sums := m.sumRings(keep)
	o := &Outline{
		Polygons: g.polygons(faces, m.lonLat),
		Method:   ByEdges,
		Moved:    sums.moved,
		MaxMove:  unit.Length(math.Sqrt(sums.farthest2)) * unit.Meter,
		Splits:   left.splits,
		Bound:    meters2(sums.changed + bends(left)*semiMinor*semiMinor),
	}
	if err := m.checkConserved(g, faces, sums, left); err != nil {
		return nil, err
	}
	var err error
	o.Area, err = AreaOf(o.Polygons)
	return o, err
}

func bends(l leftover) float64 {
	sum := 0.0
	for _, b := range l.bent {
		sum += math.Abs(b)
	}
	return sum
}

// acrossMeridian returns a flaw if an edge jumps around the globe: a layer in
// lon/lat has to be cut at the 180° meridian (RFC 7946, 3.1.9).
func (m *Mesh) acrossMeridian(g *graph) *flaw {
	for i, e := range g.edges {
		if a, b := m.lonLat(g.vertex[e.a]), m.lonLat(g.vertex[e.b]); math.Abs(a[0]-b[0]) > 180 {
			return &flaw{g.pos[e.a], "the outline crosses the 180° meridian", [2]int32{int32(i), -1}}
		}
	}
	return nil
}

func (m *Mesh) topologyError(g *graph, f *flaw) *TopologyError {
	e := &TopologyError{Place: f.place, Why: f.why}
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

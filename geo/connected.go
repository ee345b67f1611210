package geo

import (
	"errors"

	"github.com/paulmach/orb"
)

// ConnectedGround is a piece of connected ground that polygons of a layer make together.
type ConnectedGround struct {
	Polygon orb.Polygon // lon/lat, as [Outline] makes it
	Parts   []int32     // the polygons, numbered as [Shapes.PolySpan] does, ascending
}

func connect(m *Mesh, records []int32) ([]ConnectedGround, error) {
	parts := partsOf(m, records)
	if len(parts) == 1 {
		return []ConnectedGround{{lonLatPolygon(m, parts[0]), parts}}, nil
	}
	sub, keep := m.within(records)
	copied := sub == nil
	if copied {
		var err error
		if sub, err = NewMesh(pick(m.drawn, records), optionsFor(m, records)); err != nil {
			return nil, err
		}
	}
	of := newJoined(sub.drawn)
	sub.met = of.join
	outline, g, err := dissolveEdges(sub, keep)
	if err != nil && copied {
		err = ofLayer(err, records)
	}
	if err != nil {
		return nil, err
	}
	ground := make([]ConnectedGround, len(outline.Polygons))
	for i, polygon := range outline.Polygons {
		ground[i].Polygon = polygon
	}
	if len(ground) == 1 {
		ground[0].Parts = parts
		return ground, nil
	}
	of.meet(g)
	var sides *sides // made if it is asked for
	for i, part := range parts {
		own := part
		if copied {
			own = int32(i)
		}
		face, known := of.face(own)
		if !known {
			if sides == nil {
				sides = newSides(outline.Polygons, asDrawn)
			}
			face = sides.holder(pointInside(lonLatPolygon(m, part)))
		}
		if face >= 0 {
			ground[face].Parts = append(ground[face].Parts, part)
		}
	}
	return ground, nil
}

// within returns the mesh that some records would have by themselves, over the points of
// the layer and by its vertices, with what keeps to those records: quicker and smaller than
// one of copies. No two of the vertices are within the tolerance. It is nil where one of
// the points was moved, or where there are few beside the layer.
func (m *Mesh) within(records []int32) (sub *Mesh, keep func(record int) bool) {
	points := 0
	for _, record := range records {
		from, to := m.drawn.PointsOf(int(record))
		points += to - from
	}
	if points < len(m.first)/8 {
		return nil, nil
	}
	sub = &Mesh{drawn: m.drawn, opt: m.opt, plane: m.plane, tol: m.tol, flip: m.flip, vertex: m.vertex, sites: m.sites, own: make([]int32, len(m.first)), first: make([]int32, 0, min(points, len(m.first)))}
	kept := make([]bool, m.drawn.Len())
	for _, record := range records {
		kept[record] = true
		for i, to := m.drawn.PointsOf(int(record)); i < to; i++ {
			v := m.vertex[i]
			if m.drawn.Points[i] != m.drawn.Points[m.first[v]] {
				return nil, nil
			}
			if sub.own[v] == 0 {
				sub.first = append(sub.first, int32(i))
				sub.own[v] = int32(len(sub.first))
			}
		}
	}
	return sub, func(record int) bool { return kept[record] }
}

// partsOf returns the numbers of all polygons of the records.
func partsOf(m *Mesh, records []int32) []int32 {
	parts := make([]int32, 0, len(records))
	for _, record := range records {
		for p, to := m.drawn.PolySpan(int(record)); p < to; p++ {
			parts = append(parts, int32(p))
		}
	}
	return parts
}

func lonLatPolygon(m *Mesh, part int32) orb.Polygon {
	shapes := m.drawn
	if m.opt.LonLat != nil {
		shapes = m.opt.LonLat
	}
	return shapes.polygon(int(part))
}

func optionsFor(m *Mesh, records []int32) MeshOptions {
	opt := m.opt
	if opt.LonLat != nil {
		opt.LonLat = pick(opt.LonLat, records)
	}
	return opt
}

// ofLayer turns an error about picked records into one about those of the layer.
func ofLayer(err error, records []int32) error {
	var bad *topologyError
	if errors.As(err, &bad) {
		for i, r := range bad.Records {
			bad.Records[i] = int(records[r])
		}
	}
	return err
}

// pointInside returns a point in a polygon, cheaply: half way up, where the polygon
// is widest at that height.
func pointInside(polygon orb.Polygon) orb.Point {
	box := bound(polygon[0])
	if p, wide := widestSpan(polygon, (box.Min[1]+box.Max[1])/2); wide > 0 {
		return p
	}
	return InteriorPoint(orb.MultiPolygon{polygon})
}

// joined tells which polygons of a layer share edges, and so which face of their outline
// they make.
type joined struct {
	drawn *Shapes
	sets  Sets    // of polygons that share edges
	faces []int32 // per set, by its name: its face, from 1; 0 for none, [severalFaces] for several
}

// severalFaces marks polygons that touch themselves at a corner, so that their ground
// falls apart there.
const severalFaces = -1

func newJoined(s *Shapes) *joined { return &joined{drawn: s, sets: NewSets(len(s.PolyEnds))} }

// part returns the polygon of a point.
func (j *joined) part(point int32) int32 {
	return int32(searchEnds(j.drawn.PolyEnds, searchEnds(j.drawn.RingEnds, int(point))))
}

// join notes that the edges that start at two points are one.
func (j *joined) join(src, other int32) { j.sets.Join(j.part(src), j.part(other)) }

// meet notes which face lies along each boundary edge.
func (j *joined) meet(g *graph) {
	j.faces = make([]int32, len(j.sets))
	if g == nil {
		return
	}
	for i, e := range g.edges {
		at := &j.faces[j.sets.Find(j.part(e.src))]
		switch face := g.along[i] + 1; *at {
		case 0:
			*at = face
		case face:
		default:
			*at = severalFaces
		}
	}
}

// face returns the face that a polygon is of, from 0. It is not known of polygons that
// have no edges or are of several faces, nor where a union made the outline.
func (j *joined) face(part int32) (face int32, known bool) {
	face = j.faces[j.sets.Find(part)]
	return face - 1, face > 0
}

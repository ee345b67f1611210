package geo

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"rxsplit/geo/internal/boxtree"
	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
)

// Union returns the ground that any of the parts covers. They have to be valid, see
// [Valid]; coordinates are taken as plane. The result is valid, shells
// counter-clockwise and holes clockwise. The error tells that edges lie too close,
// or cross too often.
func Union(parts ...orb.MultiPolygon) (orb.MultiPolygon, error) {
	if err := fewCrossings(parts...); err != nil {
		return nil, err
	}
	return guarded("union", func() (geom.Geometry, error) {
		all := make([]geom.Geometry, len(parts))
		for i, p := range parts {
			all[i] = toGeometry(p)
		}
		return geom.UnionMany(all)
	})
}

// Intersect returns the ground that a and b both cover; else as [Union].
func Intersect(a, b orb.MultiPolygon) (orb.MultiPolygon, error) {
	return combine("intersection", geom.Intersection, a, b)
}

// Subtract returns the ground that a covers and b doesn't; else as [Union].
func Subtract(a, b orb.MultiPolygon) (orb.MultiPolygon, error) {
	return combine("difference", geom.Difference, a, b)
}

// Widened returns ground with all within a distance beside it, or, below 0, without what lies
// within that distance of its edge. Corners that point out stay sharp. Bends of many short
// edges are made plain first: there the edge may stand a hundredth of the distance off; half of
// that is the most that was seen, on 290 drawn fields against GEOS 3.11. Points are those of a
// plane, and are rounded to millimeters, in which the last bits of the library's arithmetic,
// which differ between processors, don't show.
func Widened(ground orb.MultiPolygon, by float64) (orb.MultiPolygon, error) {
	if by < 0 {
		ground = slices.DeleteFunc(slices.Clone(ground), func(p orb.Polygon) bool { return noRoom(p, -by*stillRoom, inMeters) })
	}
	if len(ground) == 0 {
		return nil, nil
	}
	if by < 0 { // what is widened was narrowed before: its rounds fall back into points
		if err := fewOffsets(ground, by); err != nil {
			return nil, err
		}
	}
	mp, err := guarded("widening", func() (geom.Geometry, error) {
		if by < 0 {
			return geom.Buffer(toGeometry(ground), by)
		}
		return geom.Buffer(toGeometry(ground), by, geom.BufferJoinStyleMitre(5))
	})
	for _, polygon := range mp {
		for _, ring := range polygon {
			for i, p := range ring {
				ring[i] = orb.Point{math.Round(p[0]*1000) / 1000, math.Round(p[1]*1000) / 1000}
			}
		}
	}
	return mp, err
}

// stillRoom is more than an edge that is made plain may stand off.
const stillRoom = 0.98

// inMeters is the scale of a plane of meters.
func inMeters(orb.Bound) Scale { return Scale{1, 1} }

// Bounds of what widening may cost: the library takes some 0.4 ms where what is moved crosses.
const (
	leastOffsets = 5000 // and as many an edge as
	mostOffsets  = 2
)

// fewOffsets returns an error if edges that are moved by a distance, to the right, and the ways
// from one to the next cross too often.
func fewOffsets(ground orb.MultiPolygon, by float64) error {
	var moved []orb.MultiPolygon
	for _, polygon := range ground {
		for _, ring := range polygon {
			a, last, first := ring[0], orb.Point{}, len(moved)
			for _, b := range ring {
				length := samebits.Hypot(b[0]-a[0], b[1]-a[1])
				if !(length > math.Abs(by)/4) { // of a bend, which the library makes plain first
					continue
				}
				x, y := float64(by/length*(b[1]-a[1])), float64(by/length*(a[0]-b[0]))
				from, to := orb.Point{a[0] + x, a[1] + y}, orb.Point{b[0] + x, b[1] + y}
				if len(moved) > first {
					moved = append(moved, orb.MultiPolygon{{{last, from}}})
				}
				moved = append(moved, orb.MultiPolygon{{{from, to}}})
				a, last = b, to
			}
		}
	}
	most := leastOffsets + mostOffsets*edgesOf(ground)
	if n, _ := crossings(most, mostTests, moved...); n > most {
		return fmt.Errorf("what lies %.1f m beside its edges crosses itself more than %s times", math.Abs(by), unit.Thousands(fmt.Sprint(most)))
	}
	return nil
}

// overlayError says that two shapes could not be laid over each other.
type overlayError struct {
	Operation string // "union", "intersection" or "difference"
	Err       error
}

// Error leaves the cause out: it is written for who mends the overlay's code.
func (e *overlayError) Error() string {
	return "their " + e.Operation + " can't be worked out: edges lie too close to tell which side is in"
}

// Unwrap returns the cause.
func (e *overlayError) Unwrap() error { return e.Err }

// Bounds of what an overlay may cost: a crossing takes some 20 µs and 4 kB.
const (
	leastCrossings = 50_000 // and as many an edge as
	mostCrossings  = 2
	mostTests      = 200_000_000 // of edges whose boxes meet, where they are looked at alone

	// The library looks at each two of these several times: ten million take it some ten seconds.
	leastMeetings = 5_000_000 // and as many an edge as
	mostMeetings  = 100
)

// meetings is how many edges of so many may be held against each other.
func meetings(edges int) int { return leastMeetings + mostMeetings*edges }

// crossingsError tells of shapes whose edges cross too often, or lie beside too many others, to lay
// them over each other.
type crossingsError struct {
	Place orb.Point // of the first crossing, in the coordinates of the shapes
	Most  int       // 0 where they lie beside too many others
}

func (e *crossingsError) Error() string {
	if e.Most == 0 {
		return "too many long edges slant beside each other to lay one shape over the other"
	}
	return fmt.Sprintf("their edges cross more than %s times, first %s: too often to lay one over the other", unit.Thousands(fmt.Sprint(e.Most)), placeText(e.Place))
}

// fewCrossings returns an error if the edges of different parts cross too often.
func fewCrossings(parts ...orb.MultiPolygon) error {
	edges := 0
	for _, mp := range parts {
		edges += edgesOf(mp)
	}
	most := leastCrossings + mostCrossings*edges
	if edges*edges/2 <= most {
		return nil
	}
	switch n, place := crossings(most, meetings(edges), parts...); {
	case n == unknown:
		return &crossingsError{}
	case n > most:
		return &crossingsError{place, most}
	}
	return nil
}

func edgesOf(mp orb.MultiPolygon) (n int) {
	for _, polygon := range mp {
		for _, ring := range polygon {
			n += len(ring)
		}
	}
	return n
}

const unknown = math.MaxInt32

// crossings counts how often edges of different parts cross, up to one more than most,
// and returns the first place. Where the boxes of more edges meet than may be tested, the
// number is unknown, which is more than any.
func crossings(most, mostTests int, parts ...orb.MultiPolygon) (found int, place orb.Point) {
	var part []int32 // per polygon
	for i, mp := range parts {
		for range mp {
			part = append(part, int32(i))
		}
	}
	s := newSides(slices.Concat(parts...), asDrawn)
	tests := 0
	for i, e := range s.list {
		s.boxes.Search(boxtree.Along(e.a, e.b, 0), func(k int32) bool {
			f := s.list[k]
			tests++
			if int(k) > i && part[e.polygon] != part[f.polygon] && meetSegments(e.a, e.b, f.a, f.b) == cross {
				if found++; found == 1 {
					place = crossing(e.a, e.b, f.a, f.b)
				}
			}
			return found <= most && tests <= mostTests
		})
		if tests > mostTests {
			return unknown, place
		}
		if found > most {
			break
		}
	}
	return found, place
}

func combine(name string, op func(a, b geom.Geometry) (geom.Geometry, error), a, b orb.MultiPolygon) (orb.MultiPolygon, error) {
	if err := fewCrossings(a, b); err != nil {
		return nil, err
	}
	return guarded(name, func() (geom.Geometry, error) { return op(toGeometry(a), toGeometry(b)) })
}

// guarded turns a panic of the overlay code into an error: it is a port of code
// that throws, and a field's geometry must not end the program.
func guarded(name string, op func() (geom.Geometry, error)) (mp orb.MultiPolygon, err error) {
	defer func() {
		if r := recover(); r != nil {
			mp, err = nil, &overlayError{name, fmt.Errorf("%v", r)}
		}
	}()
	g, err := op()
	if err != nil {
		return nil, &overlayError{name, err}
	}
	return fromGeometry(g), nil
}

func toGeometry(mp orb.MultiPolygon) geom.Geometry {
	return toMultiPolygon(mp).AsGeometry()
}

func toMultiPolygon(mp orb.MultiPolygon) geom.MultiPolygon {
	polygons := make([]geom.Polygon, len(mp))
	for i, p := range mp {
		polygons[i] = toPolygon(p)
	}
	return geom.NewMultiPolygon(polygons)
}

func toPolygon(p orb.Polygon) geom.Polygon {
	rings := make([]geom.LineString, len(p))
	for i, r := range p {
		flat := make([]float64, 0, 2*len(r))
		for _, q := range r {
			flat = append(flat, q[0], q[1])
		}
		rings[i] = geom.NewLineString(geom.NewSequence(flat, geom.DimXY))
	}
	return geom.NewPolygon(rings)
}

// fromGeometry takes the polygons of a geometry; points and lines, where shapes
// only touch, are no ground.
func fromGeometry(g geom.Geometry) orb.MultiPolygon {
	var mp orb.MultiPolygon
	switch g.Type() {
	case geom.TypePolygon:
		mp = appendPolygon(mp, g.MustAsPolygon())
	case geom.TypeMultiPolygon:
		for _, p := range g.MustAsMultiPolygon().Dump() {
			mp = appendPolygon(mp, p)
		}
	case geom.TypeGeometryCollection:
		for _, part := range g.MustAsGeometryCollection().Dump() {
			mp = append(mp, fromGeometry(part)...)
		}
	}
	return mp
}

func appendPolygon(mp orb.MultiPolygon, p geom.Polygon) orb.MultiPolygon {
	if p.IsEmpty() {
		return mp
	}
	var polygon orb.Polygon
	for _, seq := range p.ForceCCW().Coordinates() {
		ring := make(orb.Ring, seq.Length())
		for i := range ring {
			xy := seq.GetXY(i)
			ring[i] = orb.Point{xy.X, xy.Y}
		}
		polygon = append(polygon, ring)
	}
	return append(mp, polygon)
}

// invalidError says which rule of OGC 06-103r4 a multipolygon breaks.
type invalidError struct {
	Polygon int       // from 0; -1 if polygons disagree
	Place   orb.Point // where, or near it
	Why     string
}

func (e *invalidError) Error() string { return placeText(e.Place) + ": " + e.Why }

// Valid reports whether a multipolygon is valid by OGC 06-103r4 (ISO 19125-1),
// coordinates being plane. The error tells which rule is broken, and where.
func Valid(mp orb.MultiPolygon) error {
	for i, p := range mp {
		if err := toPolygon(p).Validate(); err != nil {
			return invalid(err, i, mp)
		}
	}
	if err := toMultiPolygon(mp).Validate(); err != nil {
		return invalid(err, -1, mp)
	}
	return nil
}

// invalid finds the place at the end of the validator's message, which is the only
// way it gives one; without it, the polygon's first point serves.
func invalid(err error, polygon int, mp orb.MultiPolygon) *invalidError {
	e := &invalidError{Polygon: polygon, Why: err.Error()}
	why, at, found := strings.Cut(e.Why, " (at or near ")
	if found {
		e.Why = why
		at = strings.NewReplacer("{", "", "}", "", ")", "").Replace(at)
		if n, _ := fmt.Sscan(at, &e.Place[0], &e.Place[1]); n == 2 {
			return e
		}
	}
	if p := mp[max(polygon, 0)]; len(p) > 0 && len(p[0]) > 0 {
		e.Place = p[0][0]
	}
	return e
}

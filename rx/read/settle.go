package read

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/each"
	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// ParseOverlap reads a choice; the empty text is [OverlapError].
func ParseOverlap(s string) (overlapChoice, error) {
	switch o := overlapChoice(s); o {
	case "":
		return OverlapError, nil
	case OverlapError, overlapFirst, overlapLast, overlapMax:
		return o, nil
	}
	return "", &Error{File: "--overlap", What: fmt.Sprintf("%q is none of error, first, last, max", s), Hint: "it says which zone owns ground that two zones cover"}
}

// settle gives ground that two zones cover to one of them and cuts it out of the
// other, joins the parts of a zone that cover ground in common, then looks again. The ground
// is cut by a general overlay; vertices elsewhere keep their bits.
func (f *File) settle(p *rx.Prescription, rates []unit.DryRate, pairs []geo.Overlap, total unit.Area, by overlapChoice) error {
	shapes := make(map[int]orb.MultiPolygon)
	shape := func(i int) orb.MultiPolygon {
		if mp, ok := shapes[i]; ok {
			return mp
		}
		return p.Drawn.Shape(i)
	}
	if err := f.joinParts(p.Drawn, pairs, shapes); err != nil {
		return err
	}
	before, owners := p.LonLat, make(map[int][]int)
	fields := len(p.Fields)
	for _, pair := range pairs {
		if pair.A == pair.B {
			continue
		}
		owner, loser := owner(pair, by, func(i int) (sum unit.DryRate) {
			for _, r := range rates[i*fields : (i+1)*fields] {
				sum += r
			}
			return sum
		})
		rest, err := geo.Subtract(shape(loser), shape(owner))
		if err != nil {
			return &Error{File: f.Source.Name, What: fmt.Sprintf("zone %d can't be cut along zone %d: %v", loser+1, owner+1, err), Hint: hintRepairOverlap, Err: err}
		}
		shapes[loser] = withoutShreds(rest)
		owners[loser] = append(owners[loser], owner)
	}
	p.Drawn = replaced(p.Drawn, shapes)
	p.LonLat = p.Drawn
	if !f.System.SameAsWGS84() {
		points := make([]orb.Point, len(p.Drawn.Points))
		if err := f.System.ToLonLat(points, p.Drawn.Points); err != nil {
			return f.unmeasured(err)
		}
		p.LonLat = p.Drawn.WithPoints(points)
		if err := f.recut(p, before, owners); err != nil {
			return err
		}
	}
	if err := f.mesh(p); err != nil {
		return err
	}
	p.Findings = append(p.Findings, settledBy(pairs, total, shapes, by))
	left, total, more, err := p.Mesh.Overlaps(listed)
	if err != nil {
		return f.unmeasured(err)
	}
	p.Findings = append(p.Findings, overlapFindings(left, total, more)...)
	p.Findings = append(p.Findings, gapFindings(p.Mesh.Gaps(narrowGap))...)
	return nil
}

const hintRepairOverlap = "repair the overlap where the prescription was made"

// joinParts joins the parts of each zone of the pairs whose parts share ground or
// edges: such a zone can't be cut as it is.
func (f *File) joinParts(drawn *geo.Shapes, pairs []geo.Overlap, shapes map[int]orb.MultiPolygon) error {
	seen := make(map[int]bool)
	for _, pair := range pairs {
		for _, i := range []int{pair.A, pair.B} {
			parts := drawn.Shape(i)
			if seen[i] || len(parts) < 2 || geo.Valid(parts) == nil {
				seen[i] = true
				continue
			}
			seen[i] = true
			joined, err := unionOf(parts)
			if err != nil {
				return &Error{File: f.Source.Name, What: fmt.Sprintf("the parts of zone %d can't be joined: %v", i+1, err), Hint: hintRepairOverlap, Err: err}
			}
			shapes[i] = joined
		}
	}
	return nil
}

func unionOf(parts orb.MultiPolygon) (orb.MultiPolygon, error) {
	return geo.Union(each.Of(parts, func(p orb.Polygon) orb.MultiPolygon { return orb.MultiPolygon{p} })...)
}

func owner(pair geo.Overlap, by overlapChoice, rate func(int) unit.DryRate) (owner, loser int) {
	first, last := min(pair.A, pair.B), max(pair.A, pair.B)
	switch {
	case by == overlapLast:
		return last, first
	case by == overlapMax && higher(rate(last), rate(first)):
		return last, first
	}
	return first, last
}

// higher reports whether a is the higher rate; NaN, no rate, is under every other.
func higher(a, b unit.DryRate) bool {
	return a > b || math.IsNaN(float64(b)) && !math.IsNaN(float64(a))
}

func replaced(s *geo.Shapes, by map[int]orb.MultiPolygon) *geo.Shapes {
	out := &geo.Shapes{}
	for i := range s.Len() {
		if mp, ok := by[i]; ok {
			out.Append(mp)
		} else {
			out.Append(s.Shape(i))
		}
	}
	return out
}

var overlapSettled = rx.NewRule[settled]("overlap-settled", rx.AboutFile, rx.EveryPlan)

// settled is what was done about overlaps.
type settled struct {
	Parts int // pairs of parts of one zone
	Pairs int // of zones
	By    overlapChoice
	// Little: each shares less than [littleShared]
	Little bool
}

func settledBy(pairs []geo.Overlap, total unit.Area, shapes map[int]orb.MultiPolygon, by overlapChoice) rx.Finding {
	d := settled{By: by, Little: littleAll(pairs)}
	for _, pair := range pairs {
		if pair.A == pair.B {
			d.Parts++
		}
	}
	d.Pairs = len(pairs) - d.Parts
	f := overlapSettled.Find(rx.Note, d)
	f.Area = total
	for _, i := range slices.Sorted(maps.Keys(shapes)) {
		f.Zones = append(f.Zones, i+1)
	}
	return f
}

// recut cuts those zones anew in lon/lat that are whole as drawn and folded there: edges
// that lie on one another in the plane part by less than a millimeter in degrees, and a
// hole that touches its outline can cross it. before are all zones in lon/lat as they were,
// and owners those that each zone gives ground to. What can't be cut so stays as it is.
func (f *File) recut(p *rx.Prescription, before *geo.Shapes, owners map[int][]int) error {
	lonLat, drawn := make(map[int]orb.MultiPolygon), make(map[int]orb.MultiPolygon)
	for _, i := range slices.Sorted(maps.Keys(owners)) {
		if geo.Valid(p.LonLat.Shape(i)) == nil {
			continue
		}
		rest, ok := cutFrom(before, i, owners[i])
		if !ok {
			continue
		}
		back := make(orb.MultiPolygon, len(rest))
		for k, polygon := range rest {
			for _, ring := range polygon {
				points := make(orb.Ring, len(ring))
				if err := f.System.FromLonLat(points, ring); err != nil {
					return f.unmeasured(err)
				}
				back[k] = append(back[k], points)
			}
		}
		lonLat[i], drawn[i] = rest, back
	}
	if len(lonLat) > 0 {
		points := replaced(p.LonLat, lonLat).Points
		p.Drawn = replaced(p.Drawn, drawn)
		p.LonLat = p.Drawn.WithPoints(points)
	}
	return nil
}

// cutFrom cuts the owners out of a zone, and reports whether what is left is whole.
func cutFrom(zones *geo.Shapes, zone int, owners []int) (orb.MultiPolygon, bool) {
	rest, ok := joined(zones.Shape(zone))
	for _, owner := range owners {
		ground, whole := joined(zones.Shape(owner))
		if !ok || !whole {
			return nil, false
		}
		var err error
		rest, err = geo.Subtract(rest, ground)
		ok = err == nil
	}
	rest = withoutShreds(rest)
	return rest, ok && geo.Valid(rest) == nil
}

// joined joins the parts of a zone where they share ground, and reports whether that
// makes it whole.
func joined(parts orb.MultiPolygon) (orb.MultiPolygon, bool) {
	if geo.Valid(parts) == nil {
		return parts, true
	}
	one, err := unionOf(parts)
	return one, err == nil && geo.Valid(one) == nil
}

// shredWidth is how wide ground is that comes of rounding alone, as a part of the largest
// coordinate: some 10 µm in meters and in degrees. Drawn in another system, it can fold.
const shredWidth = 2e-12

// withoutShreds leaves out the polygons and holes that cutting made of the last bits of
// coordinates.
func withoutShreds(mp orb.MultiPolygon) orb.MultiPolygon {
	var out orb.MultiPolygon
	for _, polygon := range mp {
		if len(polygon) == 0 || isShred(polygon[0]) {
			continue
		}
		out = append(out, slices.DeleteFunc(slices.Clone(polygon), isShred))
	}
	return out
}

// isShred reports whether a ring is no wider than rounding: a long and narrow one is as
// wide as twice its area over its length around.
func isShred(ring orb.Ring) bool {
	var around, largest float64
	for i := 1; i < len(ring); i++ {
		p, q := ring[i-1], ring[i]
		around += samebits.Hypot(q[0]-p[0], q[1]-p[1])
		largest = max(largest, math.Abs(q[0]), math.Abs(q[1]))
	}
	return math.Abs(geo.TwiceArea(ring)) <= around*largest*shredWidth // twice an area over a length
}

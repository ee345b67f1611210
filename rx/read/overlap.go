package read

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// ParseOverlap reads a choice; the empty text is [OverlapError].
func ParseOverlap(s string) (Overlap, error) {
	switch o := Overlap(s); o {
	case "":
		return OverlapError, nil
	case OverlapError, OverlapFirst, OverlapLast, OverlapMax:
		return o, nil
	}
	return "", &Error{File: "--overlap", What: fmt.Sprintf("%q is none of error, first, last, max", s), Hint: "it says which zone owns ground that two zones cover"}
}

// settle gives ground that two zones cover to one of them and cuts it out of the
// other, joins the parts of a zone that cover ground in common, then looks again.
func (f *File) settle(p *rx.Prescription, rates []unit.DryRate, pairs []geo.Overlap, total unit.Area, by Overlap) error {
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
	p.Findings = append(p.Findings, settled(pairs, total, shapes, by))
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

func unionOf(parts orb.MultiPolygon) (joined orb.MultiPolygon, err error) {
	for _, part := range parts {
		if joined, err = geo.Union(joined, orb.MultiPolygon{part}); err != nil {
			return nil, err
		}
	}
	return joined, nil
}

func owner(pair geo.Overlap, by Overlap, rate func(int) unit.DryRate) (owner, loser int) {
	first, last := min(pair.A, pair.B), max(pair.A, pair.B)
	switch {
	case by == OverlapLast:
		return last, first
	case by == OverlapMax && higher(rate(last), rate(first)):
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

func settled(pairs []geo.Overlap, total unit.Area, shapes map[int]orb.MultiPolygon, by Overlap) rx.Finding {
	f := rx.Finding{Rule: "overlap-settled", Severity: rx.Note, About: rx.AboutFile, Area: total}
	own := 0 // parts of one zone
	for _, pair := range pairs {
		if pair.A == pair.B {
			own++
		}
	}
	if own > 0 {
		f.Text = fmt.Sprintf("%s of one zone overlapped and were joined", count(own, "pair of parts", "pairs of parts"))
	}
	if n := len(pairs) - own; n > 0 {
		if f.Text != "" {
			f.Text += "; "
		}
		f.Text += fmt.Sprintf("%s overlapped: the ground went to the zone that --overlap %s names and was cut out of the other", count(n, "pair of zones", "pairs of zones"), by)
	}
	f.Text += fmt.Sprintf("; %s in total", acres(total))
	for _, i := range slices.Sorted(maps.Keys(shapes)) {
		f.Zones = append(f.Zones, i+1)
	}
	return f
}

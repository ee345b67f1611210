package read

import (
	"fmt"
	"slices"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Overlap says which zone owns ground that two zones cover.
type Overlap string

// The choices.
const (
	OverlapError Overlap = "error" // nobody: it is an error of the file
	OverlapFirst Overlap = "first" // the zone that comes first in the file
	OverlapLast  Overlap = "last"  // the zone that comes last
	OverlapMax   Overlap = "max"   // the one with the higher dry rate
)

// Tolerance is how close two vertices must be to be taken for one when zones are
// joined: well above the noise of exports, far below what a machine can steer.
const Tolerance = 3 * unit.Millimeter

// narrowGap is the width under which bare ground between zones is taken for a
// slip of drawing: less than any machine can leave out on purpose.
const narrowGap = 1 * unit.Meter

// listed is how many places of one kind are told apart; the rest is counted.
const listed = 20

// geometry checks rings, overlaps and gaps, and keeps the topology for later.
func (f *File) geometry(p *rx.Prescription, rates []unit.DryRate, overlap Overlap) error {
	meshed := make(chan error, 1)
	go func() { meshed <- f.mesh(p) }()
	rings, unlisted := geo.RingProblems(p.LonLat, listed)
	if err := <-meshed; err != nil {
		return err
	}
	p.Findings = append(p.Findings, ringFindings(rings, unlisted)...)
	jumps := acrossMeridian(p.LonLat)
	p.Findings = append(p.Findings, jumps...)
	if unlisted > 0 || inDoubt(rings) || jumps != nil {
		return nil // overlap and gap mean nothing until each ring is sound
	}
	pairs, total, more, err := p.Mesh.Overlaps(1 << 20)
	if err != nil {
		return f.unmeasured(err)
	}
	if len(pairs) > 0 && overlap != "" && overlap != OverlapError {
		return f.settle(p, rates, pairs, total, overlap)
	}
	p.Findings = append(p.Findings, overlapFindings(pairs, total, more)...)
	p.Findings = append(p.Findings, gapFindings(p.Mesh.Gaps(narrowGap))...)
	return nil
}

func (f *File) unmeasured(err error) error {
	return &Error{File: f.Source.Name, What: "its overlaps can't be measured: " + err.Error(), Hint: "repair the polygons where the prescription was made", Err: err}
}

func (f *File) mesh(p *rx.Prescription) error {
	opt := geo.MeshOptions{Tolerance: Tolerance}
	if f.System.SameAsWGS84() {
		opt.Scale = geo.LonLatScale(p.Drawn.Extent())
	} else {
		opt.Scale = geo.Scale{X: f.System.MetersPerUnit(), Y: f.System.MetersPerUnit()}
		if f.System.LonLat() {
			opt.Scale = geo.LonLatScale(p.Drawn.Extent())
		}
		opt.LonLat, opt.ToLonLat = p.LonLat, f.System.ToLonLat
	}
	mesh, err := geo.NewMesh(p.Drawn, opt)
	if err != nil {
		return &Error{File: f.Source.Name, What: err.Error(), Hint: "repair the polygons where the prescription was made", Err: err}
	}
	p.Mesh = mesh
	return nil
}

func inDoubt(problems []geo.RingProblem) bool {
	for _, r := range problems {
		if ringSeverity(r) == rx.Error {
			return true
		}
	}
	return false
}

func ringFindings(problems []geo.RingProblem, more int) []rx.Finding {
	var out []rx.Finding
	for _, r := range problems {
		place := r.Place
		out = append(out, rx.Finding{
			Rule: string(r.Rule), Severity: ringSeverity(r), About: rx.AboutFile, Zones: []int{r.Record + 1}, Place: &place,
			Text: fmt.Sprintf("zone %d: %s", r.Record+1, ringText(r.Rule)),
			Hint: "repair the polygon where the prescription was made, and export it again",
		})
	}
	if more > 0 {
		out = append(out, rx.Finding{
			Rule: "rings", Severity: rx.Error, About: rx.AboutFile,
			Text: fmt.Sprintf("%d more rings break a rule; the first %d are listed", more, listed),
			Hint: "repair the polygons where the prescription was made, and export it again",
		})
	}
	return out
}

// ringText says what is wrong with a ring.
func ringText(rule geo.RingRule) string {
	switch rule {
	case geo.TooFewPoints:
		return "a ring has fewer than three corners"
	case geo.OpenRing:
		return "a ring does not end where it began"
	case geo.NotFinite:
		return "a ring has a coordinate that is no number"
	case geo.RepeatedRing:
		return "a ring stands twice"
	case geo.ZeroArea:
		return "a ring encloses no ground"
	case geo.Spike:
		return "a ring runs out along a line and back on it"
	case geo.SelfCrossing:
		return "a ring crosses itself: which ground it encloses, and its acres, are in doubt"
	case geo.SelfTouching:
		return "a ring touches itself at a point"
	case geo.HoleOutside:
		return "a hole lies outside its outline"
	case geo.HolesOverlap:
		return "two holes share ground"
	case geo.CutThrough:
		return "holes that touch cut the ground in pieces"
	}
	return string(rule)
}

func overlapFindings(pairs []geo.Overlap, total unit.Area, more int) []rx.Finding {
	var out []rx.Finding
	for i, o := range pairs {
		if i == listed {
			break
		}
		place := o.Place
		zones, who := []int{o.A + 1, o.B + 1}, fmt.Sprintf("zones %d and %d", o.A+1, o.B+1)
		hint := "say which zone owns it with --overlap first, last or max, or repair the file"
		if o.A == o.B {
			zones, who = zones[:1], fmt.Sprintf("two parts of zone %d", o.A+1)
			hint = "have its parts joined with --overlap first, last or max, or repair the file"
		}
		out = append(out, rx.Finding{
			Rule: "overlap", Severity: rx.Error, About: rx.AboutFile,
			Zones: zones, Area: o.Area, Place: &place,
			Text: fmt.Sprintf("%s cover the same %s: it would be treated twice", who, acres(o.Area)),
			Hint: hint,
		})
	}
	if n := len(pairs) + more; n > listed {
		out = append(out, rx.Finding{
			Rule: "overlap", Severity: rx.Error, About: rx.AboutFile, Area: total,
			Text: fmt.Sprintf("%d pairs of zones overlap, by %s in total; the first %d are listed", n, acres(total), listed),
			Hint: "say which zone owns the ground with --overlap first, last or max, or repair the file",
		})
	}
	return out
}

func gapFindings(gaps []geo.Gap) []rx.Finding {
	if len(gaps) == 0 {
		return nil
	}
	var total unit.Area
	var zones []int
	for _, g := range gaps {
		total += g.Area
		zones = append(zones, g.A+1, g.B+1)
	}
	slices.Sort(zones)
	zones = slices.Compact(zones)
	place := gaps[0].Place
	return []rx.Finding{{
		Rule: "gap", Severity: rx.Warning, About: rx.AboutFile, Zones: zones, Area: total, Place: &place,
		Text: fmt.Sprintf("%s at %s, %s in total: no zone gives a rate there", count(len(gaps), "narrow gap", "narrow gaps"), rx.ZonesNamed(zones), acres(total)),
		Hint: "look at the place; a machine may spread its default rate in a gap",
	}}
}

func acres(a unit.Area) string {
	if a < 0.01 {
		return fmt.Sprintf("%.2g ac", float64(a))
	}
	return fmt.Sprintf("%.2f ac", float64(a))
}

// ringSeverity says how bad a ring's fault is: one that leaves in doubt which
// ground is meant is an error.
func ringSeverity(r geo.RingProblem) rx.Severity {
	switch r.Rule {
	case geo.Spike, geo.SelfTouching, geo.ZeroArea, geo.CutThrough:
		return rx.Warning
	}
	return rx.Error
}

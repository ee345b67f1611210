package read

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// overlapChoice says which zone owns ground that two zones cover.
type overlapChoice string

// The choices.
const (
	OverlapError overlapChoice = "error" // nobody: it is an error of the file
	overlapFirst overlapChoice = "first" // the zone that comes first in the file
	overlapLast  overlapChoice = "last"  // the zone that comes last
	overlapMax   overlapChoice = "max"   // the one with the higher dry rate
)

// Tolerance is how close two vertices must be to be taken for one when zones are
// joined: well above the noise of exports, far below what a machine can steer.
const Tolerance = 3 * unit.Millimeter

// narrowGap is the width under which bare ground between zones is taken for a
// slip of drawing: less than any machine can leave out on purpose.
const narrowGap = 1 * unit.Meter

// listed is how many places of one kind are told apart; the rest is counted.
const listed = 20

// beginMesh begins to find the topology of a prescription, most of which is work for one core,
// and returns what waits for it.
func (f *File) beginMesh(p *rx.Prescription) func() error {
	meshed := make(chan error, 1)
	go func() { meshed <- f.mesh(p) }()
	return func() error { return <-meshed }
}

// geometry checks rings, overlaps and gaps, and keeps the topology, which was begun, for later.
func (f *File) geometry(p *rx.Prescription, meshed func() error, rates []unit.DryRate, overlap overlapChoice) error {
	rings, unlisted := geo.RingProblems(p.LonLat, listed)
	if err := meshed(); err != nil {
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

// ringRules are what is told of rings that break a rule.
var ringRules = map[geo.RingRule]rx.Rule[rx.Nothing]{
	geo.TooFewPoints: ringRule("too-few-points"),
	geo.OpenRing:     ringRule("open-ring"),
	geo.NotFinite:    ringRule("not-finite"),
	geo.RepeatedRing: ringRule("repeated-ring"),
	geo.ZeroArea:     ringRule("zero-area"),
	geo.Spike:        ringRule("spike"),
	geo.SelfCrossing: ringRule("self-crossing"),
	geo.SelfTouching: ringRule("self-touching"),
	geo.HoleOutside:  ringRule("hole-outside/of a zone"),
	geo.HolesOverlap: ringRule("holes-overlap"),
	geo.CutThrough:   ringRule("cut-through"),
}

func ringRule(key string) rx.Rule[rx.Nothing] {
	return rx.NewRule[rx.Nothing](key, rx.AboutFile, rx.EveryPlan)
}

// The geometry of the zones.
var (
	moreRings    = rx.NewRule[uncounted]("rings", rx.AboutFile, rx.EveryPlan)
	overlapping  = rx.NewRule[sharedGround]("overlap", rx.AboutFile, rx.EveryPlan)
	moreOverlaps = rx.NewRule[unlistedGround]("overlap/more", rx.AboutFile, rx.EveryPlan)
	gaps         = rx.NewRule[bareGround](gapRule, rx.AboutFile, rx.EveryPlan)
	antimeridian = rx.NewRule[rx.Nothing]("antimeridian", rx.AboutFile, rx.EveryPlan)
)

// uncounted is how many there are, beside those that are listed or in all.
type uncounted struct{ Count, Listed int }

func ringFindings(problems []geo.RingProblem, more int) []rx.Finding {
	out := each.Of(problems, ringFinding)
	if more > 0 {
		out = append(out, moreRings.Find(rx.Error, uncounted{more, listed}))
	}
	return out
}

func ringFinding(r geo.RingProblem) rx.Finding {
	f := ringRules[r.Rule].Find(ringSeverity(r), rx.Nothing{})
	f.Zones, f.Place = []int{r.Record + 1}, &r.Place
	return f
}

// littleShared is what two zones share at most along half a mile of a border on which they have
// not the same corners: a line that is straight in one system is bent in another, by an inch.
const littleShared = 0.005 * unit.Acre

// sharedGround is covered twice.
type sharedGround struct {
	OneZone bool // by two of its parts
	Little  bool // it is less than [littleShared]
}

// unlistedGround is how many pairs of zones overlap, beside those that are listed.
type unlistedGround struct {
	Count, Listed int
	Little        bool // each shares less than [littleShared]
}

// littleAll reports whether each pair shares less than [littleShared].
func littleAll(pairs []geo.Overlap) bool {
	return !slices.ContainsFunc(pairs, func(o geo.Overlap) bool { return o.Area >= littleShared })
}

func overlapFindings(pairs []geo.Overlap, total unit.Area, more int) []rx.Finding {
	var out []rx.Finding
	for _, o := range pairs[:min(len(pairs), listed)] {
		f := overlapping.Find(rx.Error, sharedGround{o.A == o.B, o.Area < littleShared})
		f.Zones, f.Area, f.Place = []int{o.A + 1, o.B + 1}, o.Area, &o.Place
		if o.A == o.B {
			f.Zones = f.Zones[:1]
		}
		out = append(out, f)
	}
	if n := len(pairs) + more; n > listed {
		f := moreOverlaps.Find(rx.Error, unlistedGround{n, listed, littleAll(pairs)})
		f.Area = total
		out = append(out, f)
	}
	return out
}

const gapRule = "gap"

// bareGround is how many narrow gaps there are.
type bareGround struct{ Gaps int }

func gapFindings(found []geo.Gap) []rx.Finding {
	if len(found) == 0 {
		return nil
	}
	f := gaps.Find(rx.Warning, bareGround{len(found)})
	f.Place = &found[0].Place
	for _, g := range found {
		f.Area += g.Area
		f.Zones = append(f.Zones, g.A+1, g.B+1)
	}
	slices.Sort(f.Zones)
	f.Zones = slices.Compact(f.Zones)
	return []rx.Finding{f}
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

// acrossMeridian finds zones with an edge that jumps from one side of the 180°
// meridian to the other: whoever draws it draws it around the globe, so a zone has
// to be cut there (RFC 7946, 3.1.9). Longitudes that run on beyond 180° don't jump.
func acrossMeridian(lonlat *geo.Shapes) []rx.Finding {
	if extent := lonlat.Extent(); extent.Max[0]-extent.Min[0] <= 180 {
		return nil
	}
	var zones []int
	var place orb.Point
	for i := range lonlat.Len() {
		if at, jumps := jump(lonlat, i); jumps {
			if zones == nil {
				place = at
			}
			zones = append(zones, i+1)
		}
	}
	if zones == nil {
		return nil
	}
	f := antimeridian.Find(rx.Error, rx.Nothing{})
	f.Zones = zones
	return at(place, f)
}

// jump returns where an edge of a record leaves for the other side of the globe.
func jump(s *geo.Shapes, record int) (from orb.Point, jumps bool) {
	r, end := s.ShapeRings(record)
	for ; r < end; r++ {
		ring := s.Ring(r)
		for i := 1; i < len(ring); i++ {
			if math.Abs(ring[i][0]-ring[i-1][0]) > 180 {
				return ring[i-1], true
			}
		}
	}
	return from, false
}

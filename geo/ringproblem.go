package geo

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/internal/cores"
)

// RingRule is a rule of valid polygons (OGC 06-103r4, 6.1.11) that rings can break.
type RingRule string

// The rules, in the order in which a ring is checked.
const (
	TooFewPoints  RingRule = "too-few-points" // fewer than three distinct ones
	OpenRing      RingRule = "open-ring"      // the first point doesn't stand at the end
	NotFinite     RingRule = "not-finite"     // a coordinate is no number
	RepeatedRing  RingRule = "repeated-ring"  // the same ring came before in the record
	ZeroArea      RingRule = "zero-area"      // all points on one line
	Spike         RingRule = "spike"          // goes out along a line and back on it
	SelfCrossing  RingRule = "self-crossing"  // crosses itself, or runs along itself
	SelfTouching  RingRule = "self-touching"  // meets itself at a point
	HoleOutside   RingRule = "hole-outside"   // a hole not inside its shell
	HolesOverlap  RingRule = "holes-overlap"  // two holes of a polygon share ground
	CutThrough    RingRule = "cut-through"    // holes that touch cut the ground in pieces
	fewestCorners          = 3
)

// RingProblem is a ring that breaks a rule.
type RingProblem struct {
	Record int       // from 0
	Ring   int       // of the record, from 0, counted over all its polygons
	Rule   RingRule  //
	Place  orb.Point // in the coordinates that were checked
}

func (p RingProblem) String() string {
	return fmt.Sprintf("record %d: ring %d: %s: %s", p.Record+1, p.Ring+1, placeText(p.Place), p.Rule)
}

// RingProblems checks the rings of each record and returns the first max problems
// in file order and how many more there are. A ring that breaks a rule in several
// places is listed once, with the first of them. Coordinates are taken as plane,
// and decisions are exact. Points that repeat one right before are no problem.
// Polygons of one record that overlap are found by [Mesh.Overlaps].
//
// A million quadrangles take a fraction of a second; rings of a hundred thousand
// vertices and polygons of ten thousand holes are searched by place.
func RingProblems(s *Shapes, max int) (list []RingProblem, more int) {
	size := min(s.Len()/64+1, 1024) // a few large records spread over the cores as well
	found := cores.Collect(s.Len(), size, func(from, to int) []RingProblem {
		var c ringChecker
		for record := from; record < to; record++ {
			c.checkRecord(s, record)
		}
		return c.problems
	})
	listed := min(len(found), max)
	return slices.Clone(found[:listed]), len(found) - listed
}

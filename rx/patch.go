package rx

import (
	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// Patch is connected ground of one verdict, off label: zones that share an edge.
type Patch struct {
	Verdict Verdict
	Season  bool  // on label in this pass, but above the season maximum
	Zones   []int // their numbers, ascending; one of several parts can be in several patches
	Area    unit.Area
	Dry     Range[unit.DryRate] // of what is impregnated
	Place   orb.Point           // well inside, lon/lat
}

// Package report shows results: as text for a terminal, as JSON for programs, as
// a table of zones, and as a page. It only renders: every function takes what was
// worked out and a writer.
package report

import (
	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Result is a checked prescription, and the plan if one was made.
type Result struct {
	Prescription *rx.Prescription
	Assessment   *rx.Assessment
	Ways         []rx.Way
	Plan         *rx.Plan // nil for a check
	Findings     []rx.Finding
	Units        unit.System
	Command      string           // the check's own words, for "what to do next"
	Sheets       []rx.Sheet       // of the plan
	Origin       Origin           // for the page
	KeptOut      orb.MultiPolygon // ground inside keep-outs that gets dry, lon/lat
	KeepOut      *rx.Finding      // what keep-outs mean for it, one of Findings; nil without any
}

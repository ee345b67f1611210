// Package report holds a result that is to be shown, and the words that all who show
// it use. Package text prints it for a terminal, data for programs, page for people;
// package svg draws the page's maps and charts. They only render: every function takes
// what was worked out and a writer.
package report

import (
	"encoding/json"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/write"
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

// Origin says what a result was made from and with.
type Origin struct {
	Version    string          // of the program
	Inputs     []write.Input   // all files that were read; those of the prescription if empty
	Parameters json.RawMessage // a flat object, as the manifest keeps it
}

// Planned prints the loading of a layer or way, as a meter reads it.
func (r Result) Planned(l unit.Loading) string { return r.Assessment.Terms.LoadingText(l) }

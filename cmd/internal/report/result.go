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
	"rxsplit/rx/record"
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

// LayerProduct says what a layer applies.
func LayerProduct(l rx.Layer) string {
	switch {
	case l.Product == rx.Liquid:
		if len(l.Further) > 0 {
			return "stabilizer and " + furtherNames(&l) + " in water"
		}
		return "stabilizer in water"
	case ProductCount(&l) > 1:
		return "dry, all together"
	}
	if l.Treated && l.Loading == 0 {
		return "dry with " + furtherNames(&l)
	}
	return dryApplied(l.Treated)
}

func dryApplied(treated bool) string {
	if treated {
		return "treated dry"
	}
	return "untreated dry"
}

// productOfLayer is one of the products that a layer spreads side by side.
type productOfLayer struct {
	*rx.Spread
	Name    string // of the product
	Applies string // as [LayerProduct] says it
}

// ProductCount returns of how many products a layer spreads some, side by side; 0 for
// one blend.
func ProductCount(l *rx.Layer) int {
	n := 0
	for _, c := range l.Columns {
		if c.Spread != nil && c.Spread.Zones > 0 {
			n++
		}
	}
	return n
}

// ProductsOf lists what a layer spreads of each of several products; none for one
// blend, or where it spreads one of them alone.
func ProductsOf(p *rx.Prescription, l *rx.Layer) []productOfLayer {
	if ProductCount(l) < 2 {
		return nil
	}
	var list []productOfLayer
	for _, c := range l.Columns {
		if c.Spread.Zones > 0 {
			list = append(list, productOfLayer{c.Spread, p.Fields[c.Field].Name, dryApplied(c.Spread.Treated)})
		}
	}
	return list
}

// Reason returns why a doubt was accepted; empty if it was not.
func (r Result) Reason(f rx.Finding) string {
	if r.Plan == nil {
		return ""
	}
	return r.Plan.Reason(f)
}

// Record is what is known of an application, with what it was put together from.
type Record struct {
	record.Record
	Field   string
	Plan    string // the digest of its manifest
	Version string
	Inputs  []write.Input

	Approved bool // the plan is
}

// RecordCautions are what whoever keeps such a record must know.
var RecordCautions = []string{
	"This is a check of completeness and no claim of compliance: which records must be kept, and for how long, is for the law of the place and the licensed applicator to say.",
	"Which federal rule asks for which entry stands here from memory: read the rule. States ask for more.",
	"The label in hand and local rules come first.",
}

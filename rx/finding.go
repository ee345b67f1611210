package rx

import (
	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// Severity says how bad a finding is.
type Severity uint8

// The severities, from merely worth knowing to not to be worked with.
const (
	Note Severity = iota
	Warning
	Error
)

// String returns "note", "warning" or "error".
func (s Severity) String() string { return [...]string{"note", "warning", "error"}[s] }

// MarshalText returns what [Severity.String] does.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// About says what a finding is about.
type About string

// What findings are about.
const (
	AboutFile      About = "file"
	AboutLabel     About = "label"
	AboutEquipment About = "equipment"
	AboutPlan      About = "plan"
)

// Finding is one thing that was found: about the file, against the label, on the
// equipment, or in the plan. Text stands alone; the rest is for programs, and
// Hint says what to do next.
type Finding struct {
	Rule     string // the rule's name, such as "below" or "overlap"
	Severity Severity
	About    About
	Zones    []int     // numbers of the zones meant; empty if the whole is meant
	Area     unit.Area // of those zones, or of the ground meant
	Place    *orb.Point
	Field    string
	Got      string
	Want     string
	Text     string
	Hint     string
}

// Worst returns the highest severity among the findings for which keep is true.
func Worst(findings []Finding, keep func(Finding) bool) Severity {
	worst := Note
	for _, f := range findings {
		if keep(f) && f.Severity > worst {
			worst = f.Severity
		}
	}
	return worst
}

// Flagged reports whether any finding is worse than a note.
func Flagged(findings []Finding) bool {
	return Worst(findings, func(Finding) bool { return true }) > Note
}

// RuleRun says whether a rule looked, so that no finding does not mean that
// nobody looked.
type RuleRun struct {
	Rule string
	Ran  bool
	Why  string // it did not run
}

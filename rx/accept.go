package rx

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Answer says why what a rule puts in doubt is meant as it stands.
type Answer struct{ Rule, Reason string }

// Accepted is a doubt that somebody has answered. It holds for this finding alone: for its
// rule, its zones, and the source in which it was found.
type Accepted struct {
	Finding
	Reason string
}

// Accept gives each doubt among findings its answer. It returns those that have one, those
// that are open, and the answers that answer nothing.
func Accept(findings []Finding, answers []Answer) (accepted []Accepted, open []Finding, idle []Answer) {
	used := make([]bool, len(answers))
	for _, f := range findings {
		if !f.Doubt() {
			continue
		}
		at := slices.IndexFunc(answers, func(a Answer) bool { return a.Rule == f.Rule() })
		if at < 0 {
			open = append(open, f)
			continue
		}
		used[at] = true
		accepted = append(accepted, Accepted{f, answers[at].Reason})
	}
	for i, a := range answers {
		if !used[i] {
			idle = append(idle, a)
		}
	}
	return accepted, open, idle
}

// DoubtsFirst puts the doubts before the other findings, and leaves their order else.
func DoubtsFirst(findings []Finding) {
	slices.SortStableFunc(findings, func(a, b Finding) int {
		switch {
		case a.Doubt() == b.Doubt():
			return 0
		case a.Doubt():
			return -1
		}
		return 1
	})
}

// Reason returns why a doubt was accepted for the plan; empty if it was not.
func (p *Plan) Reason(f Finding) string {
	for _, a := range p.Accepted {
		if a.Finding.Equal(f) {
			return a.Reason
		}
	}
	return ""
}

// Approval is who released a plan, when, and by which way. It is a record and no lock:
// nobody is kept from working without one, and nobody proves by it who they are.
type Approval struct {
	Plan    string    // the plan's digest of itself, 64 hex digits, as its manifest has it
	Way     WayName   // the way that the plan takes
	By      string    // whoever approves
	License string    // of the applicator, as written; may be empty
	Note    string    // may be empty
	At      time.Time // to the second
}

// longestSaid is how many bytes a name, a license or a note may have: a line or a short
// paragraph, which fits on the release card.
const longestSaid = 400

// Check returns what is wrong with what a person has said of an approval: no name, text
// that is longer than 400 bytes, or that has line breaks and other characters that don't print.
func (a Approval) Check() error {
	if strings.TrimSpace(a.By) == "" {
		return errors.New("nobody is named who approves")
	}
	for _, said := range []struct{ what, text string }{{"name", a.By}, {"license", a.License}, {"note", a.Note}} {
		if len(said.text) > longestSaid {
			return fmt.Errorf("the %s has %d bytes, the most is %d", said.what, len(said.text), longestSaid)
		}
		if strings.ContainsFunc(said.text, func(r rune) bool { return !unicode.IsPrint(r) }) || !utf8.ValidString(said.text) {
			return fmt.Errorf("the %s has a line break or another character that doesn't print", said.what)
		}
	}
	return nil
}

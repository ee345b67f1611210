package rx

import "slices"

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

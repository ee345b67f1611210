package app

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// parseAnswers reads answers to doubts, RULE=reason each.
func parseAnswers(list []string) (answers []rx.Answer, err error) {
	const form = `write the rule and why it is meant so, such as --accept rate-unit="the export names its fields wrong"`
	for _, text := range list {
		rule, reason, ok := strings.Cut(text, "=")
		rule, reason = strings.TrimSpace(rule), strings.Join(strings.Fields(reason), " ")
		again := slices.ContainsFunc(answers, func(a rx.Answer) bool { return a.Rule == rule })
		switch {
		case !ok || rule == "":
			return nil, &Error{What: fmt.Sprintf("%q names no rule and reason", text), Hint: form}
		case reason == "":
			return nil, &Error{What: rule + " is given no reason", Hint: form}
		case again:
			return nil, &Error{What: rule + " is answered twice", Hint: "give one reason for it"}
		}
		answers = append(answers, rx.Answer{Rule: rule, Reason: reason})
	}
	return answers, nil
}

// answered returns the doubts about the input with their answers. It refuses while one is
// open, and an answer to what is not in doubt.
func (c *checked) answered() ([]rx.Accepted, error) {
	accepted, open, idle := rx.Accept(c.found(), c.given)
	var rules []string
	for _, f := range open {
		if !slices.Contains(rules, f.Rule()) {
			rules = append(rules, f.Rule())
		}
	}
	if len(idle) > 0 {
		hint := "leave it out: nothing is in doubt"
		if len(rules) > 0 {
			hint = "in doubt, and not answered: " + strings.Join(rules, ", ")
		} else if len(accepted) > 0 {
			hint = "leave it out: all that is in doubt has its answer"
		}
		return nil, &Error{What: "--" + acceptName + ": " + idle[0].Rule + " is not in doubt here", Hint: hint}
	}
	if len(open) == 0 {
		return accepted, nil
	}
	refused := c.refusal(open, c.assessment.Terms.Units)
	for _, rule := range rules {
		refused.Hint += fmt.Sprintf("\n  or, if it is meant so, say why with --%s %s=\"reason\"", acceptName, rule)
	}
	return nil, refused
}

// found is what was found in the file and against the label and the job.
func (c *checked) found() []rx.Finding {
	return slices.Concat(c.prescription.Findings, c.assessment.Findings)
}

// refuseFile stops a split of a file that stands in error: a doubt is for an answer.
func (c *checked) refuseFile() error {
	var wrong []rx.Finding
	for _, f := range c.found() {
		if f.About() == rx.AboutFile && f.Severity == rx.Error && !f.Doubt() {
			wrong = append(wrong, f)
		}
	}
	if len(wrong) == 0 {
		return nil
	}
	return c.refusal(wrong, c.assessment.Terms.Units)
}

// refusal tells of findings that stop a split, a line each.
func (c *checked) refusal(findings []rx.Finding, s unit.System) *Error {
	var lines, hints []string
	name := c.prescription.Source.Name
	for _, f := range findings {
		said := tell.Finding(f, s)
		line := name + ": " + said.Text
		if f.Place != nil {
			line += fmt.Sprintf(" (at latitude %.6f, longitude %.6f)", f.Place[1], f.Place[0])
		}
		lines = append(lines, line)
		if !slices.Contains(hints, said.Hint) {
			hints = append(hints, said.Hint)
		}
	}
	return &Error{What: strings.Join(lines, "\n"), Hint: strings.Join(hints, "\n  ")}
}

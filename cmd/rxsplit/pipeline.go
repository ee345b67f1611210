package main

import (
	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/report"
	"rxsplit/rx"
	"rxsplit/rx/check"
	"rxsplit/rx/read"
	"rxsplit/rx/split"
)

// checked is a prescription on its way through the stages.
type checked struct {
	request      *request
	prescription *rx.Prescription
	kept         []rx.Finding // about the keep-outs
	assessment   *rx.Assessment
	keepOut      orb.MultiPolygon
	keptOut      orb.MultiPolygon // ground inside them that gets dry
}

// assess reads a file and holds it against the label.
func assess(u *ui, path string, q *request) (*checked, error) {
	terms, err := q.terms()
	if err != nil {
		return nil, err
	}
	options, err := q.readOptions()
	if err != nil {
		return nil, err
	}
	c := &checked{request: q}
	u.begin("read")
	if c.keepOut, err = q.keepOutPolygons(); err != nil {
		return nil, err
	}
	file, err := read.Open(path, q.fileOptions(u))
	if err != nil {
		return nil, err
	}
	if file.Layer.Shapes.Len() > largeFile {
		collect(largeGarbage)
		limit(len(file.Layer.Shapes.Points))
	}
	u.begin("zones")
	if c.prescription, err = read.Prescription(file, options); err != nil {
		return nil, err
	}
	u.begin("check")
	if c.assessment, err = check.Grade(c.prescription, terms); err != nil {
		return nil, err
	}
	c.keptOut, c.kept = split.KeepOut(c.prescription, c.assessment, c.keepOut)
	return c, nil
}

// findings joins what the stages found, the file first.
func (c *checked) findings() []rx.Finding {
	var all []rx.Finding
	all = append(all, c.prescription.Findings...)
	all = append(all, c.assessment.Findings...)
	return append(all, c.kept...)
}

func (c *checked) ways() []rx.Way {
	return split.Ways(c.prescription, c.assessment, c.keepOut)
}

func (c *checked) result(command string) report.Result {
	return report.Result{
		Prescription: c.prescription, Assessment: c.assessment, Findings: c.findings(), KeptOut: c.keptOut,
		Units: c.assessment.Terms.Units, Command: command,
	}
}

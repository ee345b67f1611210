package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/page"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/sheet"
	"rxsplit/rx/split"
	"rxsplit/rx/tell"
	"rxsplit/rx/write"
)

// Target is where and how a plan is written.
type Target struct {
	Dir   string    // to be written; it must not exist
	Force bool      // replace a plan that stands there, if nothing else lies in it
	Stamp time.Time // put into the plan; zero for none
	KML   bool      // also write each layer as KML
}

// Split works out one way to release a prescription, writes its plan, proves it from
// the disk and gives the folder its name last: all or nothing.
func (r Run) Split(ctx context.Context, path string, q *Request, to Target) (report.Result, *write.Manifest, error) {
	if to.Dir == "" {
		return report.Result{}, nil, &Error{What: "no folder is given", Hint: "name a new folder with --out DIR"}
	}
	name, err := split.ParseWay(q.values.one(wayName))
	if err != nil {
		return report.Result{}, nil, &Error{What: err.Error(), Hint: "see the ways that are possible with: rxsplit check"}
	}
	if err := outsideOf(to.Dir, append(q.furtherPaths(), path, q.values.one(keepOutName), q.label.path, q.job.path)...); err != nil {
		return report.Result{}, nil, err
	}
	var result report.Result
	var job write.Job
	c, err := r.assess(ctx, path, q)
	if err == nil {
		result, job, err = r.worked(ctx, c, name, to)
	}
	if err != nil {
		return report.Result{}, nil, err
	}
	job.Context = ctx
	job.Stage = func(stage string, done, total int) { r.tell(ctx, Step{stage, done, total}) }
	manifest, err := write.Plan(to.Dir, job)
	return result, manifest, canceled(ctx, err)
}

// worked works out one way to release a prescription, and what is to be written of it.
func (r Run) worked(ctx context.Context, c *checked, name rx.WayName, to Target) (report.Result, write.Job, error) {
	if err := c.refuseFile(); err != nil {
		return report.Result{}, write.Job{}, err
	}
	accepted, err := c.answered()
	if err == nil {
		err = r.tell(ctx, Step{Stage: "split"})
	}
	if err != nil {
		return report.Result{}, write.Job{}, err
	}
	result, err := c.planned(name, accepted)
	if err != nil {
		return report.Result{}, write.Job{}, err
	}
	job, err := writeJob(c, result, to)
	return result, job, err
}

// planned works out one way, with its work sheets and all that is to be told of it.
func (c *checked) planned(name rx.WayName, accepted []rx.Accepted) (report.Result, error) {
	plan, err := c.release.Plan(name)
	if err != nil {
		return report.Result{}, err
	}
	if err := refusePlan(plan, c.assessment.Terms.Units); err != nil {
		return report.Result{}, err
	}
	plan.Accepted = accepted
	if c.tasks.Wanted {
		if plan.TaskData, err = c.release.TaskData(plan, c.tasks); err != nil {
			return report.Result{}, err
		}
	}
	result, err := c.result()
	result.Plan = plan
	result.Ways = c.release.Ways()
	result.Sheets = append([]rx.Sheet{sheet.Release(c.prescription, c.assessment, plan, result.Ways, nil)}, sheet.For(c.prescription, c.assessment, plan)...)
	result.KeepOut = plan.KeepOut
	// Of the keep-outs the plan itself says what it does about them.
	result.Findings = slices.Concat(c.found(), plan.Findings)
	rx.DoubtsFirst(result.Findings)
	return result, err
}

// outsideOf makes sure that no input lies in the folder that is to be written:
// where it replaces a plan, that plan's own files go.
func outsideOf(out string, inputs ...string) error {
	folder, err := os.Stat(out)
	if err != nil || !folder.IsDir() {
		return nil // nothing can lie in it
	}
	for _, path := range inputs {
		if path == "" || path == "-" {
			continue
		}
		whole, err := filepath.Abs(path)
		if err == nil {
			whole, err = filepath.EvalSymlinks(whole)
		}
		if err != nil {
			continue // whoever reads it says what is wrong with it
		}
		for dir := filepath.Dir(whole); ; dir = filepath.Dir(dir) {
			if info, err := os.Stat(dir); err == nil && os.SameFile(info, folder) {
				return &Error{What: fmt.Sprintf("%s: lies in %s, which is to be written", path, out), Hint: "choose a new folder with --out"}
			}
			if dir == filepath.Dir(dir) {
				break
			}
		}
	}
	return nil
}

// refusePlan stops a split whose plan would be wrong.
func refusePlan(plan *rx.Plan, s unit.System) error {
	for _, f := range plan.Findings {
		if f.Severity == rx.Error {
			said := tell.Finding(f, s)
			return &Error{What: fmt.Sprintf("way %s: %s", plan.Way.Name, said.Text), Hint: said.Hint}
		}
	}
	return nil
}

// writeJob gathers what is to be written.
func writeJob(c *checked, result report.Result, to Target) (write.Job, error) {
	units := result.Units
	job := write.Job{
		Prescription: result.Prescription, Plan: result.Plan, Units: units, Force: to.Force,
		Extras: extras(result, to.KML),
	}
	m := &job.Manifest
	m.Tool = write.Tool{Name: "rxsplit", Version: Version}
	m.Way = string(result.Plan.Way.Name)
	if !to.Stamp.IsZero() {
		m.Stamp = to.Stamp.UTC().Format(time.RFC3339)
	}
	m.Inputs = c.inputs(to.Dir)
	m.Parameters = result.Origin.Parameters
	var err1, err2, err3 error
	m.Units, err1 = json.Marshal(data.UnitsOf(units))
	m.Summary, err2 = data.Way(result.Plan.Way, units)
	if s := result.Plan.Strips; s != nil {
		m.Strips, err3 = data.Strips(s, units)
	}
	job.Findings = func() ([]byte, error) { return data.Findings(result) }
	return job, errors.Join(err1, err2, err3)
}

// extras lists the files beside the layers.
func extras(r report.Result, kml bool) []write.Extra {
	list := []write.Extra{
		{Name: "zones.csv", Render: func(w io.Writer) error { return data.ZonesCSV(w, r) }},
		{Name: "sheets.txt", Render: func(w io.Writer) error { return text.Sheets(w, r.Sheets) }},
		{Name: "report.html", Render: func(w io.Writer) error { return page.Write(w, r) }},
	}
	if s := r.Plan.Strips; s != nil {
		list = append(list, write.Extra{Name: data.StripsName, Render: func(w io.Writer) error { return data.StripsGeoJSON(w, s) }})
	}
	if !kml {
		return list
	}
	for i, l := range r.Plan.Layers {
		list = append(list, write.Extra{Name: l.Name + ".kml", Render: func(w io.Writer) error { return data.KML(w, r, i) }})
	}
	return list
}

// filesRead are files that were read for one option.
type filesRead struct {
	role  string
	files []rx.SourceFile
}

// otherFiles lists the files that were read beside the prescription's.
func (c *checked) otherFiles() []filesRead {
	return []filesRead{{keepOutName, c.keepOutFiles}, {alreadyName, c.alreadyFiles}, {alreadyMap, c.alreadyMap}}
}

// inputs lists the files that a result was made from, with paths relative to a folder.
func (c *checked) inputs(from string) []write.Input {
	var list []write.Input
	for _, f := range c.prescription.Source.Files {
		path := c.prescription.Source.Path
		if path != "-" {
			path = relativePath(from, filepath.Join(filepath.Dir(path), f.Name))
		}
		list = append(list, write.Input{Role: "prescription", Path: path, Name: f.Name, SHA256: f.SHA256, Size: f.Size})
	}
	for _, read := range c.otherFiles() {
		seen, _ := seenFrom(from, inputsOf(read.role, c.request.values.one(read.role), read.files), nil)
		list = append(list, seen...)
	}
	add := func(role string, d document) {
		if d.text != nil {
			seen, _ := seenFrom(from, []write.Input{inputOf(role, d.path, d.text)}, nil)
			list = append(list, seen...)
		}
	}
	add("label", c.request.label)
	add("job", c.request.job)
	for _, d := range c.request.further {
		add("further label", d)
	}
	if w := c.request.written; w != nil { // the names are of then
		for i := range min(len(list), len(w.inputs)) {
			list[i].Path, list[i].Name = w.inputs[i].Path, w.inputs[i].Name
		}
	}
	return list
}

// relativePath returns path as seen from a folder, with forward slashes.
func relativePath(from, path string) string {
	dir, err := filepath.Abs(from)
	if err != nil {
		return filepath.ToSlash(path)
	}
	to, err := filepath.Abs(path)
	if err != nil {
		return filepath.ToSlash(path)
	}
	rel, err := filepath.Rel(dir, to)
	if err != nil {
		return filepath.ToSlash(to)
	}
	return filepath.ToSlash(rel)
}

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

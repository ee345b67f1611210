package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/report"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/sheet"
	"rxsplit/rx/split"
	"rxsplit/rx/write"
)

// newSplit writes the layers of one way to release a prescription.
func newSplit(u *ui) *cobra.Command {
	o := &options{}
	s := &splitOptions{}
	cmd := &cobra.Command{
		Use:   "split FILE",
		Short: "Write the layers, work sheets and report of one way to release it",
		Long: `split works out one way to release the prescription, writes its layers as
shapefile and GeoJSON with the work sheets, the page and a manifest, reads them
back to prove them, and only then gives the folder its name.

The ways:
` + equip.WaysHelp(),
		Args: exactly(1, "one file"),
		RunE: func(_ *cobra.Command, args []string) error {
			q, err := o.resolve()
			if err != nil {
				return err
			}
			return runSplit(u, args[0], q, s)
		},
	}
	o.flags(cmd)
	f := cmd.Flags()
	f.StringVar(&s.way, "way", "", equip.WayChoice()+" (default "+string(equip.Ways()[0].Name)+")")
	f.StringVar(&s.out, "out", "", "folder to write; it must not exist")
	f.BoolVar(&s.force, "force", false, "replace a plan that stands in the folder, if nothing else lies in it")
	f.BoolVar(&s.stamp, "stamp", false, "put date and time into the plan")
	f.BoolVar(&s.kml, "kml", false, "also write each layer as KML, for a look on a phone")
	f.BoolVar(&s.asJSON, "json", false, "print the manifest as one JSON document")
	f.BoolVar(&u.timings, "timings", false, "print the seconds of each stage")
	return cmd
}

type splitOptions struct {
	way    string
	out    string
	force  bool
	stamp  bool
	kml    bool
	asJSON bool
	quiet  bool
}

// runSplit does the whole job for one file.
func runSplit(u *ui, path string, q *request, s *splitOptions) error {
	if s.out == "" {
		return &hinted{"no folder is given", "name a new folder with --out DIR"}
	}
	name, err := splitWay(s.way, q)
	if err != nil {
		return err
	}
	if err := outsideOf(s.out, path, q.KeepOut, q.label.path, q.job.path); err != nil {
		return err
	}
	c, err := assess(u, path, q)
	if err != nil {
		return err
	}
	if err := refuseFile(c); err != nil {
		return err
	}
	u.begin("split")
	result, err := planned(c, name)
	if err != nil {
		return err
	}
	if result.Origin, err = q.origin(c.prescription.Source, s.out); err != nil {
		return err
	}
	job, err := writeJob(result, q, s)
	if err != nil {
		return err
	}
	job.Stage = func(name string, done, _ int) {
		if done == 0 {
			u.begin(name)
		}
	}
	manifest, err := write.Plan(s.out, job)
	if err != nil {
		return err
	}
	u.end()
	if s.quiet {
		return nil
	}
	if s.asJSON {
		return printed(report.ManifestJSON(u.out, manifest), s.out)
	}
	return printed(report.PlanText(u.out, result, s.out, manifest), s.out)
}

// planned works out one way, with its work sheets and all that is to be told of it.
func planned(c *checked, name rx.WayName) (report.Result, error) {
	plan, err := split.Plan(c.prescription, c.assessment, c.keepOut, name)
	if err != nil {
		return report.Result{}, err
	}
	if err := refusePlan(plan); err != nil {
		return report.Result{}, err
	}
	if note, some := leftBehind(c.prescription); some {
		plan.Findings = append(plan.Findings, note)
	}
	result := c.result("")
	result.Plan = plan
	result.Sheets = sheet.For(c.prescription, c.assessment, plan)
	result.Ways = c.ways()
	// Of the keep-outs the plan itself says what it does about them.
	result.Findings = slices.Concat(c.prescription.Findings, c.assessment.Findings, plan.Findings)
	return result, nil
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
				return &hinted{fmt.Sprintf("%s: lies in %s, which is to be written", path, out), "choose a new folder with --out"}
			}
			if dir == filepath.Dir(dir) {
				break
			}
		}
	}
	return nil
}

func splitWay(given string, q *request) (rx.WayName, error) {
	if given == "" && q.jobWay != "" {
		given = q.jobWay
	}
	name, err := split.ParseWay(given)
	if err != nil {
		return "", &hinted{err.Error(), "see the ways that are possible with: rxsplit check"}
	}
	return name, nil
}

// refuseFile stops a split of a file that stands in error.
func refuseFile(c *checked) error {
	var lines, hints []string
	for _, f := range c.prescription.Findings {
		if f.About != rx.AboutFile || f.Severity != rx.Error {
			continue
		}
		line := c.prescription.Source.Name + ": " + f.Text
		if f.Place != nil {
			line += fmt.Sprintf(" (at latitude %.6f, longitude %.6f)", f.Place[1], f.Place[0])
		}
		lines = append(lines, line)
		if !slices.Contains(hints, f.Hint) {
			hints = append(hints, f.Hint)
		}
	}
	if len(lines) == 0 {
		return nil
	}
	return &hinted{strings.Join(lines, "\n"), strings.Join(hints, "\n  ")}
}

// refusePlan stops a split whose plan would be wrong.
func refusePlan(plan *rx.Plan) error {
	for _, f := range plan.Findings {
		if f.Severity == rx.Error {
			return &hinted{fmt.Sprintf("way %s: %s", plan.Way.Name, f.Text), f.Hint}
		}
	}
	return nil
}

// writeJob gathers what is to be written.
func writeJob(result report.Result, q *request, s *splitOptions) (write.Job, error) {
	units := result.Units
	job := write.Job{
		Prescription: result.Prescription, Plan: result.Plan, Units: units, Force: s.force,
		Extras: extras(result, s.kml),
	}
	m := &job.Manifest
	m.Tool = write.Tool{Name: "rxsplit", Version: version}
	m.Way = string(result.Plan.Way.Name)
	if s.stamp {
		m.Stamp = time.Now().UTC().Format(time.RFC3339)
	}
	m.Inputs = q.inputs(result.Prescription.Source, s.out)
	var err error
	if m.Units, err = json.Marshal(report.UnitsOf(units)); err != nil {
		return job, err
	}
	if m.Parameters, err = q.parameters(); err != nil {
		return job, err
	}
	if m.Summary, err = report.WayJSON(result.Plan.Way, units); err != nil {
		return job, err
	}
	m.Findings, err = report.FindingsJSON(result.Findings, units)
	return job, err
}

// parameters prints the request for the manifest, without HTML escapes.
func (q *request) parameters() (json.RawMessage, error) {
	var buf strings.Builder
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	err := enc.Encode(q)
	return json.RawMessage(buf.String()), err
}

package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/paulmach/orb"

	"rxsplit/geo/shapefile"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/read"
)

// request is what the options amount to: everything that decides a result, and
// nothing else. It is kept in the manifest of a plan, so that the plan can be made
// again from the source.
type request struct {
	CRS            string           `json:"crs,omitempty"`
	Layer          string           `json:"layer,omitempty"`
	RateFields     []string         `json:"rate_fields,omitempty"`
	RateUnit       string           `json:"rate_unit,omitempty"`
	RateOf         string           `json:"rate_of,omitempty"`
	Analysis       []string         `json:"analysis,omitempty"`
	Carrier        string           `json:"carrier,omitempty"`
	Overlap        string           `json:"overlap,omitempty"`
	StabilizerRate string           `json:"stabilizer_rate,omitempty"`
	Loading        string           `json:"loading,omitempty"`
	RateError      string           `json:"rate_error,omitempty"`
	AlreadyApplied string           `json:"already_applied,omitempty"`
	Units          string           `json:"units"`
	LeaveOff       bool             `json:"leave_off,omitempty"`
	Label          string           `json:"label"`         // the profile's text
	Job            string           `json:"job,omitempty"` // the job file's text
	KeepOut        string           `json:"keep_out,omitempty"`
	Zip            shapefile.Limits `json:"zip"` // what a zip may hold

	label, job   document
	keepOutFiles []rx.SourceFile
	jobWay       string
	folders      *read.Folders // shared by many files; else nil
}

// document is a file of text that a request was made from.
type document struct {
	path string
	text []byte
}

// resolve joins flags and job file.
func (o *options) resolve() (*request, error) {
	q := &request{
		CRS: o.crs, Layer: o.layer, RateFields: o.rateFields, RateUnit: o.rateUnit, RateOf: o.rateOf, Analysis: o.analysis,
		Carrier: o.carrier, Overlap: o.overlap, StabilizerRate: o.stabilizerRate, Loading: o.loading, RateError: o.rateError,
		AlreadyApplied: o.alreadyApplied, Units: o.units, LeaveOff: o.leaveOff, KeepOut: o.keepOut, Zip: o.zip,
	}
	labelPath := o.label
	if o.job != "" {
		text, err := readText(o.job)
		if err != nil {
			return nil, err
		}
		job, err := o.parseJob(text)
		if err != nil {
			return nil, jobError(o.job, text, err)
		}
		q.Job, q.job = string(text), document{o.job, text}
		q.fill(job)
		beside := filepath.Dir(o.job)
		if labelPath == "" && job.Label != "" {
			labelPath = relativeTo(beside, job.Label)
		}
		if o.keepOut == "" && job.KeepOut != "" {
			q.KeepOut = relativeTo(beside, job.KeepOut)
		}
	}
	if labelPath == "" {
		return nil, &hinted{"no label profile is given", "give one with --label FILE; rxsplit label new writes one to fill in from the label in hand"}
	}
	text, err := readText(labelPath)
	if err != nil {
		return nil, err
	}
	q.Label, q.label = string(text), document{labelPath, text}
	if q.Units == "" {
		q.Units = unit.US.String()
	}
	return q, nil
}

func relativeTo(dir, path string) string {
	if filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(dir, path)
}

// parseJob reads the job file; what is wrong with it is told in the units of the flag,
// if that is given.
func (o *options) parseJob(text []byte) (*equip.Job, error) {
	units, err := o.system()
	if o.units == "" || err != nil { // a wrong flag is told where it is used
		return equip.ParseJob(o.job, text)
	}
	job, _, err := equip.CheckJobIn(units, o.job, text)
	return job, err
}

// fill takes from the job file what no flag says.
func (q *request) fill(job *equip.Job) {
	for _, s := range []struct {
		into *string
		from string
	}{
		{&q.CRS, job.CRS}, {&q.Layer, job.Layer}, {&q.Carrier, job.Carrier},
		{&q.RateUnit, string(job.RateUnit)}, {&q.RateOf, string(job.RateOf)}, {&q.Overlap, string(job.Overlap)},
		{&q.StabilizerRate, known(job.StabilizerRate)}, {&q.Loading, known(job.Loading)},
		{&q.AlreadyApplied, known(job.AlreadyApplied)}, {&q.Units, known(job.Units)},
	} {
		if *s.into == "" {
			*s.into = s.from
		}
	}
	if e, ok := job.SpreadError(); ok && q.RateError == "" {
		q.RateError = e.String()
	}
	if len(q.RateFields) == 0 {
		q.RateFields = job.RateFields
	}
	if len(q.Analysis) == 0 {
		for _, g := range job.Analysis {
			q.Analysis = append(q.Analysis, g.String())
		}
	}
	q.LeaveOff = q.LeaveOff || job.LeaveOff
	q.jobWay = string(job.Way)
}

func known[T fmt.Stringer](k label.Known[T]) string {
	if v, ok := k.Get(); ok {
		return v.String()
	}
	return ""
}

const hintText = "name a YAML file; rxsplit label new writes one"

func readText(path string) ([]byte, error) {
	const most = 1 << 20
	info, err := os.Stat(path)
	if err != nil {
		return nil, &hinted{fmt.Sprintf("%s: %s", path, systemSays(err)), "check the name and the folder"}
	}
	if info.IsDir() || info.Size() > most || isOtherFile(path) {
		return nil, &hinted{path + ": is no label or job file", hintText}
	}
	text, err := readUpTo(path, most+1) // a pipe or a device states no size
	if err != nil {
		return nil, &hinted{fmt.Sprintf("%s: %s", path, systemSays(err)), ""}
	}
	if len(text) > most {
		return nil, &hinted{path + ": is no label or job file", hintText}
	}
	return text, nil
}

func readUpTo(path string, most int64) ([]byte, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, most))
}

func systemSays(err error) string {
	if os.IsNotExist(err) {
		return "no such file"
	}
	text := err.Error()
	if i := strings.LastIndex(text, ": "); i >= 0 {
		return text[i+2:]
	}
	return text
}

// fileOptions says how the prescription's file is opened.
func (q *request) fileOptions(u *ui) read.FileOptions {
	return read.FileOptions{Stdin: u.in, Layer: q.Layer, CRS: q.CRS, Archive: q.Zip, Folders: q.folders}
}

func (q *request) readOptions() (read.Options, error) {
	overlap, err := read.ParseOverlap(q.Overlap)
	if err != nil {
		return read.Options{}, err
	}
	if q.Units == unit.Metric.String() && q.RateUnit == "" {
		return read.Options{}, &hinted{"--units metric: the rates may count kg/ha or lb/ac, and the file does not say it", "say it with --rate-unit kg/ha or --rate-unit lb/ac"}
	}
	return read.Options{
		RateFields: q.RateFields, RateUnit: q.RateUnit, RateOf: q.RateOf, Analysis: q.Analysis,
		Carrier: q.Carrier, Overlap: overlap,
	}, nil
}

// terms reads the label, the job and the quantities.
func (q *request) terms() (rx.Terms, error) {
	var t rx.Terms
	var err error
	if t.Units, err = unit.ParseSystem(q.Units); err != nil {
		return t, &hinted{"--units: " + err.Error(), ""}
	}
	if t.Label, err = label.Parse(nameOr(q.label.path, "label"), []byte(q.Label)); err != nil {
		return t, labelError(q.label.path, []byte(q.Label), err)
	}
	if q.Job != "" {
		if t.Job, err = equip.ParseJob(nameOr(q.job.path, "job"), []byte(q.Job)); err != nil {
			return t, err
		}
	}
	t.Intended = t.Label.Rate.Middle()
	t.LeaveOff = q.LeaveOff
	for _, f := range []func() error{
		quantity("--stabilizer-rate", q.StabilizerRate, &t.Intended, unit.ParseLiquidRate),
		quantity("--loading", q.Loading, &t.Loading, unit.ParseLoading),
		quantity("--rate-error", q.RateError, &t.RateError, unit.ParseRatio),
		quantity("--already-applied", q.AlreadyApplied, &t.AlreadyApplied, unit.ParseLiquidRate),
	} {
		if err := f(); err != nil {
			return t, err
		}
	}
	if q.Loading != "" && t.Loading == 0 { // which stands for one that is not fixed
		return t, &hinted{"--loading: " + q.Loading + " is not above 0", "give what the plant has fixed, or leave it out"}
	}
	return t, nil
}

func nameOr(path, other string) string {
	if path == "" {
		return other
	}
	return path
}

// quantity reads a flag into a quantity, if the flag is given.
func quantity[Q any](flag, text string, into *Q, parse func(string) (Q, error)) func() error {
	return func() error {
		if text == "" {
			return nil
		}
		q, err := parse(text)
		if err != nil {
			return &hinted{flag + ": " + err.Error(), ""}
		}
		*into = q
		return nil
	}
}

// keepOutPolygons reads the polygons of a keep-out file, in lon/lat.
func (q *request) keepOutPolygons() (orb.MultiPolygon, error) {
	if q.KeepOut == "" {
		return nil, nil
	}
	f, err := read.Open(q.KeepOut, read.FileOptions{Archive: q.Zip})
	if err != nil {
		return nil, err
	}
	q.keepOutFiles = f.Source.Files
	return f.Union()
}

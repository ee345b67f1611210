package app

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/label"
	"rxsplit/rx/equip"
	"rxsplit/rx/read"
)

const notText = ": is no label or job file"

const hintText = "name a YAML file; rxsplit label new writes one"

func readText(path string) ([]byte, error) {
	const most = 1 << 20
	info, err := os.Stat(path)
	if err != nil {
		return nil, &Error{What: path + ": " + SystemSays(err), Hint: hintName}
	}
	if info.IsDir() || info.Size() > most || isOtherFile(path) {
		return nil, &Error{What: path + notText, Hint: hintText}
	}
	text, err := readUpTo(path, most+1) // a pipe or a device states no size
	if err != nil {
		return nil, &Error{What: path + ": " + SystemSays(err)}
	}
	if len(text) > most {
		return nil, &Error{What: path + notText, Hint: hintText}
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

// isOtherFile reports whether a name ends as a prescription's or a page's does: no label
// or job file is named so. JSON may be one, as it is YAML, too.
func isOtherFile(path string) bool {
	others := slices.Concat(read.Endings(), read.Parts(), []string{".html", read.Table})
	ending := strings.ToLower(filepath.Ext(path))
	return slices.Contains(others, ending) && ending != ".json"
}

// Label reads a label profile, and returns what is odd in it.
func Label(path string) (*label.Profile, []label.Problem, error) {
	text, err := readText(path)
	if err != nil {
		return nil, nil, err
	}
	p, problems, err := label.Check(path, text)
	if err != nil {
		return nil, nil, textError(IsLabel, path, text, err)
	}
	return p, problems, nil
}

// Job reads a job file, and returns what is odd in it, in words of a system of units, and
// that system: the one that the values ask for, or else the job's own.
func Job(path string, v Values) (*equip.Job, []label.Problem, error) {
	text, err := readText(path)
	if err != nil {
		return nil, nil, err
	}
	units, err := v.System()
	if err != nil {
		return nil, nil, err
	}
	job, problems, err := equip.CheckJob(path, text)
	if v.one(unitsName) != "" {
		job, problems, err = equip.CheckJobIn(units, path, text)
	}
	if err != nil {
		return nil, nil, textError(IsJob, path, text, err)
	}
	if v.one(unitsName) != "" {
		job.Units = label.Know(units)
	}
	return job, slices.Concat(problems, refused(Options(), text, job), missing(path, text, job)), nil
}

// refused tells of what a job says and the flag of that name would refuse: a check of a
// field would stop at it.
func refused(options []Option, text []byte, job *equip.Job) (list []label.Problem) {
	s := newSettings()
	for _, o := range options {
		said := o.said(job)
		if o.act == nil || len(said) == 0 {
			continue
		}
		if err := o.act(s, said); err != nil {
			list = append(list, problemAt(text, o.Name, label.Error, err.Error()))
		}
	}
	return list
}

// problemAt is a problem at a key of the first level of a file, or at its head.
func problemAt(text []byte, key string, severity label.Severity, what string) label.Problem {
	p := label.Problem{Key: key, Severity: severity, Text: what, Line: 1, Column: 1}
	for i, line := range strings.Split(string(text), "\n") {
		if strings.HasPrefix(line, key+":") {
			p.Line = i + 1
		}
	}
	return p
}

// missing tells of files that a job names and that are not there, beside it or where it
// says: a check of a field would stop at them.
func missing(path string, text []byte, job *equip.Job) (list []label.Problem) {
	for _, f := range filesOf(path, job) {
		if _, err := os.Stat(f.Path); !os.IsNotExist(err) {
			continue
		}
		list = append(list, problemAt(text, f.Key, label.Warning, "there is no file "+report.Name(f.Path)+": names count from where the job file lies"))
	}
	return list
}

// Named is a file that a job file names.
type Named struct {
	Key  string // that names it
	Path string // counted from where the job file lies
}

// JobFiles lists the files that a job file names. It reads none of them.
func JobFiles(path string) ([]Named, error) {
	job, err := ReadJob(path)
	if err != nil {
		return nil, err
	}
	return filesOf(path, job), nil
}

// ReadJob reads a job file, whose mistakes are the error.
func ReadJob(path string) (*equip.Job, error) {
	text, err := readText(path)
	if err != nil {
		return nil, err
	}
	job, err := equip.ParseJob(path, text)
	if err != nil {
		return nil, textError(IsJob, path, text, err)
	}
	return job, nil
}

func filesOf(path string, job *equip.Job) (list []Named) {
	for _, o := range Options() {
		if said := o.said(job); (o.Kind == File || o.Kind == Document) && len(said) > 0 {
			list = append(list, Named{o.Name, fromFolder(filepath.Dir(path), said[0])})
		}
	}
	for _, l := range job.FurtherLiquids {
		if l.Label != "" {
			list = append(list, Named{"further-liquids", fromFolder(filepath.Dir(path), l.Label)})
		}
	}
	return list
}

// WriteNew writes a text into a file that must not exist; other is a name to advise
// where it does.
func WriteNew(path, text, other string) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if os.IsExist(err) {
		return &Error{What: path + ": is there already", Hint: "choose another name, such as " + other}
	}
	if err != nil {
		return &Error{What: path + ": " + SystemSays(err), Hint: hintPlace}
	}
	_, err = io.WriteString(file, text)
	if closed := file.Close(); err == nil {
		err = closed
	}
	if err != nil {
		os.Remove(path)
		return &Error{What: path + ": " + SystemSays(err), Hint: hintPlace}
	}
	return nil
}

// hintPlace is for a file that can't be written where it was to be.
const hintPlace = "choose another place for it"

// JobTemplate returns a job file to fill in, with a comment on every key.
func JobTemplate() string {
	var text strings.Builder
	for _, o := range Options() {
		if !o.InJob() {
			continue
		}
		fmt.Fprintf(&text, "\n%s#%s: %s\n", comment(o.About), o.Name, o.Example)
	}
	return equip.JobTemplate(text.String())
}

// comment wraps a text to lines that begin with "# ".
func comment(text string) string {
	const width = 79
	out, line := "", "#"
	for _, word := range strings.Fields(text) {
		if len(line)+1+len(word) > width {
			out += line + "\n"
			line = "#"
		}
		line += " " + word
	}
	return out + line + "\n"
}

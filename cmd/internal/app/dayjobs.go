package app

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"

	"rxsplit/cmd/internal/report/data"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// plantJob is a job that fields of a day go by.
type plantJob struct {
	name    string // of its file; empty for the day's own
	request *Request
}

// ResolveDay joins what was asked for with what the day's job says, as [Resolve] does. Where no
// job and no label is given and each field of the list has its own job, the first of these is
// the day's.
func ResolveDay(given Values, list DayList) (*Request, error) {
	own := !slices.ContainsFunc(list.Fields, func(f DayFile) bool { return f.JobFile == "" })
	if given.one(jobName) != "" || given.one(labelName) != "" || !own || len(list.Fields) == 0 {
		return Resolve(given)
	}
	given = maps.Clone(given)
	var first error
	for _, f := range list.Fields {
		given[jobName] = []string{f.JobFile}
		q, err := Resolve(given)
		if err == nil {
			return q, nil
		}
		first = cmp.Or(first, err)
	}
	return nil, first
}

// jobsOf reads the jobs that a list names, each once, the day's own not again, and has its entries count from them; those of one
// that can't be read have the reason. What is shown is in the day's units.
func (q *Request) jobsOf(list *DayList) []plantJob {
	jobs := []plantJob{{request: q}}
	at, wrong := map[string]int{"": 0}, map[string]error{}
	file := func(path string) string { // one name of a file, however it is written
		if whole, err := filepath.Abs(path); err == nil && path != "" {
			return whole
		}
		return path
	}
	at[file(q.given.one(jobName))] = 0
	find := func(path string) (int, error) {
		name := file(path)
		if n, ok := at[name]; ok {
			return n, wrong[name]
		}
		given := maps.Clone(q.given)
		given[jobName] = []string{path}
		if units := q.values[unitsName]; len(units) > 0 {
			given[unitsName] = units
		}
		one, err := Resolve(given)
		if err != nil {
			at[name], wrong[name] = noJobRead, err
			return noJobRead, err
		}
		at[name], jobs = len(jobs), append(jobs, plantJob{filepath.Base(path), one})
		return at[name], nil
	}
	list.Fields, list.Left = slices.Clone(list.Fields), slices.Clone(list.Left)
	for i := range list.Fields {
		f := &list.Fields[i]
		f.Job, f.wrong = find(f.JobFile)
	}
	for i := range list.Left {
		l := &list.Left[i]
		l.Job, l.wrong = find(l.file)
		l.Named = l.file != "" && l.Job == 0
	}
	return jobs
}

// noJobRead stands for a job that can't be read.
const noJobRead = -1

// terms returns what fields that go by the job are held against.
func (j plantJob) terms() (rx.Terms, error) {
	s, err := j.request.settingsOfMany()
	if err != nil {
		return rx.Terms{}, err
	}
	for _, l := range s.terms.FurtherOn(equip.OnBlend) {
		if l.Loading == 0 {
			return s.terms, &Error{
				What: fmt.Sprintf("%s goes onto the blend at a rate, and fields that share a loading of stabilizer can't each have their own loading of it", l.Name),
				Hint: "give its loading in the job, further-liquids, loading, such as 40 fl oz/ton: fields that it doesn't suit go another way",
			}
		}
	}
	return s.terms, nil
}

// kept is what a written day keeps of its further jobs.
func (d *Day) keptJobs() (list []data.DayJob, err error) {
	for _, j := range d.jobs[1:] {
		parameters, wrong := j.request.parameters()
		list, err = append(list, data.DayJob{File: j.name, Parameters: parameters}), errors.Join(err, wrong)
	}
	return list, err
}

// jobsIn reads the jobs that a written day keeps.
func jobsIn(told *data.DayFile) ([]plantJob, error) {
	kept := append([]data.DayJob{{Parameters: told.Parameters}}, told.Jobs...)
	jobs := make([]plantJob, len(kept))
	for i, k := range kept {
		q, err := requestOf(k.Parameters)
		if err != nil {
			return nil, &Error{What: dayName + ": its parameters can't be read", Hint: hintDayAgain}
		}
		jobs[i] = plantJob{k.File, q}
	}
	return jobs, nil
}

package app

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/rx/write"
)

// dayIn reads what a folder says of a day; nil where it holds none.
func dayIn(dir string) *data.DayFile {
	text, err := readUpTo(filepath.Join(dir, dayName), 1<<28)
	if err != nil {
		return nil
	}
	f, err := data.ParseDay(text)
	if err != nil {
		return nil
	}
	return f
}

// isDay reports whether a folder holds a plant's day.
func isDay(dir string) bool { return dayIn(dir) != nil }

// proveDay proves the plan of each field as [Run.Verify] does, works the day out again and
// compares its own files byte for byte.
func (r Run) proveDay(ctx context.Context, dir string) (p Proved, err error) {
	told := dayIn(dir)
	jobs, err := jobsIn(told)
	if err != nil {
		return p, err
	}
	list := DayList{Date: told.Date}
	for _, f := range told.Fields {
		file := DayFile{Path: fromFolder(dir, f.File), DayDiffers: f.Differs(), found: foundAt(dir, f.Inputs)}
		needs := append(slices.Sorted(maps.Values(f.Inputs)), f.File)
		for _, name := range needs {
			path := fromFolder(dir, name)
			if _, err := os.Stat(path); f.Folder != "" && err != nil {
				return p, &Error{What: path + ": is not there, and the plan in " + f.Folder + " was made from it", Hint: "put it back where it was, or prove the plans one by one with: rxsplit verify " + report.Word(filepath.Join(dir, f.Folder)) + " --source FILE"}
			}
		}
		if (file.Job == noJobRead || f.Refused) && f.Error != "" && f.Folder == "" {
			file.wrong, file.refused = &Error{What: f.Error, Hint: f.Hint}, f.Refused
		} else if file.Job < 0 || file.Job >= len(jobs) {
			return p, noJob(file.Job)
		}
		list.Fields = append(list.Fields, file)
	}
	for _, l := range told.LeftOver {
		one := leftOver{DayLeftOver: l}
		if l.Job == noJobRead && l.Wrong != "" {
			one.wrong = errors.New(l.Wrong)
		} else if l.Job < 0 || l.Job >= len(jobs) {
			return p, noJob(l.Job)
		}
		list.Left = append(list.Left, one)
	}
	d, err := r.day(ctx, list, jobs, DayAsked{Boom: told.Boom, Blender: told.Blender, Spreader: told.Spreader, Change: told.Change, Packages: told.Packages})
	if err == nil {
		err = d.name()
	}
	if err != nil {
		return p, err
	}
	return r.compareDay(ctx, dir, d)
}

func noJob(n int) error {
	return &Error{What: fmt.Sprintf("%s: it keeps no job %d", dayName, n), Hint: hintDayAgain}
}

// wholeDay returns what tells a day in a folder from any other, or why it may not be replaced.
func wholeDay(dir string) (self string, err error) {
	f := dayIn(dir)
	if f == nil {
		return "", errors.New("it holds no day")
	}
	ours := []string{dayName}
	for _, sum := range f.Files {
		text, err := readUpTo(filepath.Join(dir, filepath.FromSlash(sum.Name)), 1<<28)
		if err != nil || write.Digest(text) != sum.SHA256 {
			return "", fmt.Errorf("%s was changed since it was written", sum.Name)
		}
		ours = append(ours, sum.Name)
	}
	for _, field := range f.Fields {
		if field.Folder == "" {
			continue
		}
		ours = append(ours, field.Folder)
		if err := onlyPlan(filepath.Join(dir, field.Folder)); err != nil {
			return "", fmt.Errorf("%s: %w", field.Folder, err)
		}
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return "", err
	}
	for _, e := range entries {
		if !slices.Contains(ours, e.Name()) {
			return "", fmt.Errorf("%s is not of its day and would go with it", e.Name())
		}
	}
	text, err := readUpTo(filepath.Join(dir, dayName), 1<<28)
	return write.Digest(text), err
}

// onlyPlan makes sure that a folder holds a plan as it was written, and nothing that would be
// missed.
func onlyPlan(dir string) error {
	m, err := write.ReadManifest(dir)
	if err != nil {
		return err
	}
	if wrong := m.CheckFiles(dir); len(wrong) > 0 {
		return wrong[0]
	}
	if others := m.Others(dir); len(others) > 0 {
		return fmt.Errorf("%s is not of its plan and would go with it", others[0])
	}
	if _, err := os.Lstat(filepath.Join(dir, write.ApprovalName)); err == nil {
		return errors.New("somebody has approved it, and that would go with it")
	}
	return nil
}

const hintDayAgain = "write the day again with: rxsplit day"

// compareDay holds what lies in a folder against a day.
func (r Run) compareDay(ctx context.Context, dir string, d *Day) (p Proved, err error) {
	seen, plans := d.seenFrom(dir), newDayPlans(d)
	folder := write.Folder{Dir: dir, Manifest: dayName}
	var wrong []write.Mismatch
	files, others := 0, []string(nil)
	for _, i := range plans.fields {
		name := d.Shown.Fields[i].Folder
		m, c, result, err := r.quiet().prove(ctx, filepath.Join(dir, name), InputsAt{})
		var proof *write.VerifyError
		switch {
		case errors.As(err, &proof):
			for _, one := range proof.Mismatches {
				one.File = name + "/" + one.File
				wrong = append(wrong, one)
			}
			continue
		case err != nil:
			return p, &InFolder{filepath.Join(dir, name), err}
		}
		wrong = append(wrong, d.isOf(i, m, c)...)
		files += len(m.Files) + 1
		for _, other := range m.Others(filepath.Join(dir, name)) {
			others = append(others, name+"/"+other)
		}
		folder.Plans = append(folder.Plans, write.Nested{Name: name})
		if err := plans.add(ctx, r, i, result); err != nil {
			return p, err
		}
	}
	if len(wrong) > 0 {
		return p, &write.VerifyError{Dir: dir, Mismatches: wrong}
	}
	p, err = proveResults(*d.files(&folder, &seen, plans), nil)
	p.Files, p.Others = p.Files+files, append(p.Others, others...)
	return p, err
}

// isOf makes sure that a plan, which is whole by itself, is the one that the day asks for.
func (d *Day) isOf(i int, m *write.Manifest, c *checked) (wrong []write.Mismatch) {
	if v := m.Tool.Version; v != Version { // of which a proof leaves open what the sheets say
		wrong = append(wrong, write.Mismatch{File: d.Shown.Fields[i].Folder + "/plan.json", What: fmt.Sprintf("says that version %q wrote it, and the day is of version %s", v, Version)})
	}
	want, err := d.requestOf(i).parameters()
	if got, _ := c.request.parameters(); err != nil || string(got) != string(want) {
		wrong = append(wrong, write.Mismatch{File: d.Shown.Fields[i].Folder + "/plan.json", What: "was written by other parameters than the day's"})
	}
	if source := c.prescription.Source.Path; filepath.Clean(source) != filepath.Clean(d.Shown.Fields[i].Path) {
		wrong = append(wrong, write.Mismatch{File: d.Shown.Fields[i].Folder + "/plan.json", What: "is of another prescription than the day's"})
	}
	return wrong
}

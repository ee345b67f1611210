package app

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rxsplit/cmd/internal/report"
	"rxsplit/rx"
	"rxsplit/rx/sheet"
	"rxsplit/rx/write"
)

// InputsAt says where the inputs of a plan lie, if not where its manifest says.
type InputsAt struct{ Source, KeepOut string }

// Verify proves a written plan. The manifest is not trusted: its request is planned again
// from the source, the layers are read back and compared zone by zone, and every file is
// made again and compared byte by byte, the manifest too. A plan of another version of the
// program would differ without harm: of that one the layers and totals are compared, and
// the manifest's digests; [write.Manifest.Unproved] says what that leaves open.
// It returns the manifest, with the records that were read and the approval that stands.
// A difference is a [*write.VerifyError]; so is an approval that doesn't fit the plan.
func (r Run) Verify(ctx context.Context, dir string, moved InputsAt) (*write.Manifest, error) {
	manifest, _, _, err := r.prove(ctx, dir, moved)
	return manifest, err
}

// prove does the work of [Run.Verify], and returns what the plan was worked out again from.
func (r Run) prove(ctx context.Context, dir string, moved InputsAt) (*write.Manifest, *checked, report.Result, error) {
	none := report.Result{}
	if err := r.tell(ctx, Step{Stage: "files"}); err != nil {
		return nil, nil, none, err
	}
	manifest, err := write.ReadManifest(dir)
	if errors.Is(err, fs.ErrNotExist) {
		err = &Error{What: report.Name(dir) + ": holds no plan and no results", Hint: "name the folder that rxsplit split, day, passes, applied, readout or record wrote", Err: err}
	}
	if err != nil {
		return nil, nil, none, err
	}
	wrong := manifest.CheckFiles(dir)
	var unfit []write.Mismatch
	manifest.Approval, unfit = manifest.CheckApproval(dir)
	wrong = append(wrong, unfit...)
	if err := r.tell(ctx, Step{Stage: "source"}); err != nil {
		return nil, nil, none, err
	}
	c, result, err := r.replan(ctx, dir, moved, manifest)
	switch {
	case ctx.Err() != nil:
		return nil, nil, none, ctx.Err()
	case err != nil && len(wrong) > 0:
		return nil, nil, none, &write.VerifyError{Dir: dir, Mismatches: wrong}
	case err != nil:
		return nil, nil, none, digestsAlone(err, manifest)
	}
	differ, err := r.compare(ctx, dir, manifest, c, result)
	if err != nil {
		return nil, nil, none, canceled(ctx, err)
	}
	if wrong = append(differ, others(wrong, differ)...); len(wrong) > 0 {
		return nil, nil, none, &write.VerifyError{Dir: dir, Mismatches: wrong}
	}
	manifest.Records = write.ReadTwice(result.Prescription, result.Plan)
	manifest.Changed = changedSince(dir, manifest)
	return manifest, c, result, nil
}

// compare holds what lies in a folder against the plan that its request gives: the layers
// as a reader reads them, then every byte.
func (r Run) compare(ctx context.Context, dir string, m *write.Manifest, c *checked, result report.Result) ([]write.Mismatch, error) {
	if err := r.tell(ctx, Step{Stage: "layers"}); err != nil {
		return nil, err
	}
	p, plan, units := result.Prescription, result.Plan, result.Units
	var wrong []write.Mismatch
	var proof *write.VerifyError
	if err := write.Verify(dir, p, plan, units); errors.As(err, &proof) {
		wrong = proof.Mismatches
	} else if err != nil {
		return nil, err
	}
	if m.Tool.Version != Version {
		m.Unproved = unprovedOf(m)
		wrong = append(wrong, write.CompareTotals(m, p, plan, units)...)
		return append(wrong, write.CompareAccepted(m, p, plan)...), nil
	}
	if err := r.tell(ctx, Step{Stage: "bytes"}); err != nil {
		return nil, err
	}
	hasKML := slices.ContainsFunc(m.Files, func(f write.FileSum) bool { return filepath.Ext(f.Name) == ".kml" })
	job, unmade := writeJob(c, result, Target{Dir: dir, KML: hasKML})
	job.Context, job.Manifest.Stamp, job.Read = ctx, m.Stamp, m.Read
	bytes, err := write.Same(dir, job)
	if err := cmp.Or(unmade, err); err != nil {
		return nil, err
	}
	bytes = slices.DeleteFunc(bytes, func(m write.Mismatch) bool {
		return slices.ContainsFunc(wrong, func(told write.Mismatch) bool { return told.File == m.File })
	})
	return slices.Concat(wrong, bytes, c.neverWritten(m)), nil
}

// neverWritten tells what no split writes, though all else agrees: a plan whose source is
// in error or in doubt, inputs whose names and paths differ, a stamp that is no time.
func (c *checked) neverWritten(m *write.Manifest) (wrong []write.Mismatch) {
	tell := func(what string) { wrong = append(wrong, write.Mismatch{File: "plan.json", What: what}) }
	if err := c.refuseFile(); err != nil {
		tell("is of a source that is refused: " + err.Error())
	}
	if _, err := c.answered(); err != nil {
		tell("is of a source in doubt: " + err.Error())
	}
	for _, in := range m.Inputs {
		if in.Path != "-" && path.Base(in.Path) != in.Name {
			tell(fmt.Sprintf("names an input %q, and its path %q", in.Name, in.Path))
		}
	}
	if at, err := time.Parse(time.RFC3339, m.Stamp); m.Stamp != "" && (err != nil || at.UTC().Format(time.RFC3339) != m.Stamp) {
		tell(fmt.Sprintf("its stamp %q is no time", m.Stamp))
	}
	return wrong
}

// digestsAlone adds to an error of making the plan again what is known of it all the same.
func digestsAlone(err error, m *write.Manifest) error {
	var ours *Error
	if !errors.As(err, &ours) {
		return err
	}
	told := *ours
	told.Hint += fmt.Sprintf("\nuntil then no more is proved than that plan.json and the %d files that it lists fit each other", len(m.Files))
	told.Hint = strings.TrimPrefix(told.Hint, "\n")
	return &told
}

// unprovedOf lists what of a plan of another version nothing but a digest speaks for.
func unprovedOf(m *write.Manifest) (list []string) {
	for _, f := range m.Files {
		if path.Dir(f.Name) == "." && !slices.Contains([]string{".shp", ".shx", ".dbf", ".prj", ".cpg", ".geojson"}, filepath.Ext(f.Name)) {
			list = append(list, f.Name)
		}
	}
	return append(list, "the findings and costs in plan.json")
}

// changedSince lists the texts that a plan was made by and that stand otherwise now where its
// manifest says: the plan keeps what they were.
func changedSince(dir string, m *write.Manifest) (list []write.Input) {
	for _, in := range m.Inputs {
		if in.Role == "prescription" || in.Role == "keep-out" {
			continue // read already
		}
		path := fromFolder(dir, in.Path)
		if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() {
			continue // a plan that was sent elsewhere goes without
		}
		if text, err := readText(path); err == nil && write.Digest(text) != in.SHA256 {
			list = append(list, in)
		}
	}
	return list
}

// others returns the mismatches without files that are missing, where told says so
// already.
func others(wrong, told []write.Mismatch) []write.Mismatch {
	return slices.DeleteFunc(wrong, func(m write.Mismatch) bool {
		return slices.ContainsFunc(told, func(t write.Mismatch) bool { return m.What == write.Missing && t.File == m.File })
	})
}

// replan works the plan out again from the source and the parameters that the
// manifest keeps.
func (r Run) replan(ctx context.Context, dir string, moved InputsAt, m *write.Manifest) (*checked, report.Result, error) {
	none := report.Result{}
	q, err := requestOf(m.Parameters)
	if err != nil {
		return nil, none, &Error{What: "plan.json: its parameters can't be read", Hint: hintAgain}
	}
	source, err := inputPath(dir, m, "prescription", moved.Source, "--source")
	if err != nil {
		return nil, none, err
	}
	if err := q.findInputs(dir, moved, m); err != nil {
		return nil, none, err
	}
	q.written.inputs = m.Inputs
	c, err := r.assess(ctx, source, q)
	if err != nil {
		return nil, none, err
	}
	for _, read := range c.otherFiles() {
		if err := sameSource(read.files, m.Inputs, read.role); err != nil {
			return nil, none, err
		}
	}
	accepted, _, _ := rx.Accept(c.found(), c.given)
	result, err := c.planned(rx.WayName(m.Way), accepted)
	return c, result, err
}

// findInputs finds what a request that was written needs beside the prescription.
func (q *Request) findInputs(dir string, moved InputsAt, m *write.Manifest) (err error) {
	q.written = &written{}
	if q.values.one(keepOutName) != "" || moved.KeepOut != "" {
		if q.written.keepOut, err = inputPath(dir, m, "keep-out", moved.KeepOut, "--keep-out"); err != nil {
			return err
		}
	}
	if isAlreadyLayer(q.values.one(alreadyName)) {
		if q.written.already, err = inputPath(dir, m, alreadyName, "", ""); err != nil {
			return err
		}
		if q.values.one(alreadyMap) != "" {
			if q.written.mapped, err = inputPath(dir, m, alreadyMap, "", ""); err != nil {
				return err
			}
		}
	}
	return nil
}

const hintAgain = "write the plan again with: rxsplit split"

// inputPath returns where an input lies: where a flag says, or else the manifest.
func inputPath(dir string, m *write.Manifest, role, given, flag string) (string, error) {
	at := slices.IndexFunc(m.Inputs, func(in write.Input) bool { return in.Role == role })
	if at < 0 && given != "" {
		return "", &Error{What: "plan.json: names no " + role, Hint: "leave out " + flag}
	}
	if at < 0 {
		return "", &Error{What: "plan.json: names no " + role, Hint: hintAgain}
	}
	if given != "" {
		return given, nil
	}
	stored := m.Inputs[at].Path
	if stored == "-" {
		return "", &Error{What: "the " + role + " came from standard input", Hint: "name its file with " + flag + " FILE"}
	}
	path := fromFolder(dir, stored)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return "", &Error{What: path + ": the " + role + " of the plan is not there", Hint: flagged("name its file", flag)}
	}
	return path, nil
}

// fromFolder returns where an input lies by the path that a manifest in a folder has.
func fromFolder(dir, stored string) string {
	path := filepath.FromSlash(stored)
	if !filepath.IsAbs(path) {
		path = filepath.Join(dir, path)
	}
	return path
}

// sameSource holds the parts of an input against the manifest. Parts of a
// shapefile are told by their endings, as the file may have got another name; what
// is one file is that file, whatever its name.
func sameSource(files []rx.SourceFile, inputs []write.Input, role string) error {
	var want []write.Input
	for _, in := range inputs {
		if in.Role == role {
			want = append(want, in)
		}
	}
	var lines []string
	part := func(in write.Input) int {
		if at := slices.IndexFunc(files, func(f rx.SourceFile) bool { return f.Name == in.Name }); at >= 0 {
			return at
		}
		return slices.IndexFunc(files, func(f rx.SourceFile) bool {
			return len(files) == 1 && len(want) == 1 || strings.EqualFold(filepath.Ext(f.Name), filepath.Ext(in.Name))
		})
	}
	for _, in := range want {
		switch at := part(in); {
		case len(files) > 0 && !slices.ContainsFunc(want, func(in write.Input) bool { return part(in) >= 0 }):
			lines = []string{fmt.Sprintf("%s: is not the file that the plan was made from, which was %s", files[0].Name, in.Name)}
		case at < 0:
			lines = append(lines, in.Name+": the plan was made with it, and it is missing")
		case files[at].SHA256 != in.SHA256:
			lines = append(lines, files[at].Name+": is not the file that the plan was made from")
		}
	}
	if len(lines) == 0 {
		return nil
	}
	flag := map[string]string{"prescription": "--source", "keep-out": "--keep-out"}[role]
	return &Error{What: strings.Join(lines, "\n"), Hint: strings.TrimSuffix(flagged("name the right file", flag), " FILE") + ", or " + hintAgain}
}

// flagged says how an input is named that lies elsewhere, or is another now.
func flagged(name, flag string) string {
	if flag == "" {
		return "put it there again as it was"
	}
	return name + " with " + flag + " FILE"
}

// Approve proves a written plan and adds an approval to its folder: who, with which
// license and note, and when, as said has it. It returns the approval and the release
// card. Where said names nobody, it returns those of the approval that stands. A plan that
// is not whole, or approved already, is refused.
func (r Run) Approve(ctx context.Context, dir string, moved InputsAt, said rx.Approval) (*rx.Approval, rx.Sheet, error) {
	again := said.By == "" && said.License == "" && said.Note == ""
	if err := said.Check(); err != nil && !again {
		return nil, rx.Sheet{}, &Error{What: err.Error(), Hint: `say who approves with --by "NAME"`, Err: err}
	}
	m, c, result, err := r.prove(ctx, dir, moved)
	if err != nil {
		return nil, rx.Sheet{}, err
	}
	stands := m.Approval
	switch {
	case again && stands == nil:
		return nil, rx.Sheet{}, &Error{What: dir + ": is not approved", Hint: `to approve it, say who does with --by "NAME"`}
	case again:
		said = *stands
	case stands != nil:
		return nil, rx.Sheet{}, &Error{
			What: fmt.Sprintf("%s: is approved already, by %s", dir, stands.By),
			Hint: "print that release card by leaving out --by; to approve the plan anew, move " + write.ApprovalName + " elsewhere first",
		}
	default:
		said.Plan, said.Way = m.Self, rx.WayName(m.Way)
		if err := r.tell(ctx, Step{Stage: "approve"}); err != nil {
			return nil, rx.Sheet{}, err
		}
		if err := write.Approve(ctx, dir, said); err != nil {
			return nil, rx.Sheet{}, canceled(ctx, err)
		}
	}
	return &said, sheet.Release(c.prescription, c.assessment, result.Plan, result.Ways, &said), nil
}

package app

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/rx"
	"rxsplit/rx/split"
	"rxsplit/rx/write"
)

// InputsAt says where the inputs of a plan lie, if not where its manifest says.
type InputsAt struct{ Source, KeepOut string }

// Verify proves a written plan: it holds every file against the manifest, works the
// plan out again from its source, and compares zone by zone. The manifest is not trusted for
// rates: its request is planned again, and every cell and vertex on disk is held against that;
// its digests find what no comparison can see. It returns the manifest, with the records that
// were read and the approval that stands.
// A difference is a [*write.VerifyError]; so is an approval that doesn't fit the plan.
func (r Run) Verify(ctx context.Context, dir string, moved InputsAt) (*write.Manifest, error) {
	manifest, _, _, err := r.prove(ctx, dir, moved)
	return manifest, err
}

// prove does the work of [Run.Verify], and returns what the plan was worked out again from.
func (r Run) prove(ctx context.Context, dir string, moved InputsAt) (*write.Manifest, *checked, *rx.Plan, error) {
	if err := r.tell(ctx, Step{Stage: "files"}); err != nil {
		return nil, nil, nil, err
	}
	manifest, err := write.ReadManifest(dir)
	if err != nil {
		return nil, nil, nil, err
	}
	wrong := manifest.CheckFiles(dir)
	var unfit []write.Mismatch
	manifest.Approval, unfit = manifest.CheckApproval(dir)
	wrong = append(wrong, unfit...)
	if err := r.tell(ctx, Step{Stage: "source"}); err != nil {
		return nil, nil, nil, err
	}
	c, plan, err := r.replan(ctx, dir, moved, manifest)
	switch {
	case ctx.Err() != nil:
		return nil, nil, nil, ctx.Err()
	case err != nil && len(wrong) > 0:
		return nil, nil, nil, &write.VerifyError{Dir: dir, Mismatches: wrong}
	case err != nil:
		return nil, nil, nil, err
	}
	if err := r.tell(ctx, Step{Stage: "layers"}); err != nil {
		return nil, nil, nil, err
	}
	p, units := c.prescription, c.assessment.Terms.Units
	if err := write.Verify(dir, p, plan, units); err != nil {
		if proof, ok := err.(*write.VerifyError); ok {
			proof.Mismatches = append(proof.Mismatches, others(wrong, proof.Mismatches)...)
		}
		return nil, nil, nil, err
	}
	wrong = append(wrong, write.CompareTotals(manifest, p, plan, units)...)
	wrong = append(wrong, write.CompareAccepted(manifest, p, plan)...)
	if len(wrong) > 0 {
		return nil, nil, nil, &write.VerifyError{Dir: dir, Mismatches: wrong}
	}
	manifest.Records = write.ReadTwice(p, plan)
	return manifest, c, plan, nil
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
func (r Run) replan(ctx context.Context, dir string, moved InputsAt, m *write.Manifest) (*checked, *rx.Plan, error) {
	q, err := requestOf(m.Parameters)
	if err != nil {
		return nil, nil, &Error{What: "plan.json: its parameters can't be read", Hint: hintAgain}
	}
	source, err := inputPath(dir, m, "prescription", moved.Source, "--source")
	if err != nil {
		return nil, nil, err
	}
	if q.values.one(keepOutName) != "" || moved.KeepOut != "" {
		path, err := inputPath(dir, m, "keep-out", moved.KeepOut, "--keep-out")
		if err != nil {
			return nil, nil, err
		}
		q.values[keepOutName] = []string{path}
	}
	c, err := r.assess(ctx, source, q)
	if err != nil {
		return nil, nil, err
	}
	if err := sameSource(c.prescription.Source.Files, m, "prescription"); err != nil {
		return nil, nil, err
	}
	if err := sameSource(c.keepOutFiles, m, "keep-out"); err != nil {
		return nil, nil, err
	}
	plan, err := split.Plan(c.prescription, c.assessment, c.keepOut, rx.WayName(m.Way))
	if err == nil {
		plan.Accepted, _, _ = rx.Accept(c.found(), c.given)
	}
	return c, plan, err
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
	path := filepath.FromSlash(stored)
	if !filepath.IsAbs(path) {
		path = filepath.Join(dir, path)
	}
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return "", &Error{What: path + ": the " + role + " of the plan is not there", Hint: "name its file with " + flag + " FILE"}
	}
	return path, nil
}

// sameSource holds the parts of an input against the manifest. Parts of a
// shapefile are told by their endings, as the file may have got another name; what
// is one file is that file, whatever its name.
func sameSource(files []rx.SourceFile, m *write.Manifest, role string) error {
	var want []write.Input
	for _, in := range m.Inputs {
		if in.Role == role {
			want = append(want, in)
		}
	}
	var lines []string
	part := func(in write.Input) int {
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
	return &Error{What: strings.Join(lines, "\n"), Hint: "name the right file with " + flag + ", or " + hintAgain}
}

package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/split"
	"rxsplit/rx/write"
)

// newVerify proves a written plan.
func newVerify(u *ui) *cobra.Command {
	var moved inputsAt
	cmd := &cobra.Command{
		Use:   "verify DIR",
		Short: "Prove a written plan against its manifest and its source",
		Long: `verify reads a written plan from the disk, holds every file against the
manifest, works the plan out again from the source file, and compares zone by
zone.`,
		Args: exactly(1, "one folder"),
		RunE: func(_ *cobra.Command, args []string) error {
			return runVerify(u, args[0], moved)
		},
	}
	cmd.Flags().StringVar(&moved.source, "source", "", "the prescription's file (default the one that the manifest names)")
	cmd.Flags().StringVar(&moved.keepOut, "keep-out", "", "the keep-outs' file (default the one that the manifest names)")
	cmd.Flags().BoolVar(&u.timings, "timings", false, "print the seconds of each stage")
	return cmd
}

// inputsAt says where the inputs of a plan lie, if not where its manifest says.
type inputsAt struct{ source, keepOut string }

func runVerify(u *ui, dir string, moved inputsAt) error {
	u.begin("files")
	manifest, err := write.ReadManifest(dir)
	if err != nil {
		return err
	}
	wrong := manifest.CheckFiles(dir)
	u.begin("source")
	plan, p, units, err := replan(u, dir, moved, manifest)
	if err != nil {
		if len(wrong) > 0 {
			return &write.VerifyError{Dir: dir, Mismatches: wrong}
		}
		return err
	}
	u.begin("layers")
	if err := write.Verify(dir, p, plan, units); err != nil {
		if proof, ok := err.(*write.VerifyError); ok {
			proof.Mismatches = append(proof.Mismatches, others(wrong, proof.Mismatches)...)
		}
		return err
	}
	wrong = append(wrong, write.CompareTotals(manifest, p, plan, units)...)
	if len(wrong) > 0 {
		return &write.VerifyError{Dir: dir, Mismatches: wrong}
	}
	u.end()
	return report.VerifiedText(u.out, dir, manifest, manifest.Others(dir))
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
func replan(u *ui, dir string, moved inputsAt, m *write.Manifest) (*rx.Plan, *rx.Prescription, unit.System, error) {
	var q request
	if err := json.Unmarshal(m.Parameters, &q); err != nil {
		return nil, nil, 0, &hinted{"plan.json: its parameters can't be read", "write the plan again with: rxsplit split"}
	}
	source, err := inputPath(dir, m, "prescription", moved.source, "--source")
	if err != nil {
		return nil, nil, 0, err
	}
	if q.KeepOut != "" || moved.keepOut != "" {
		if q.KeepOut, err = inputPath(dir, m, "keep-out", moved.keepOut, "--keep-out"); err != nil {
			return nil, nil, 0, err
		}
	}
	c, err := assess(u, source, &q)
	if err != nil {
		return nil, nil, 0, err
	}
	if err := sameSource(c.prescription.Source.Files, m, "prescription"); err != nil {
		return nil, nil, 0, err
	}
	if err := sameSource(q.keepOutFiles, m, "keep-out"); err != nil {
		return nil, nil, 0, err
	}
	plan, err := split.Plan(c.prescription, c.assessment, c.keepOut, rx.WayName(m.Way))
	return plan, c.prescription, c.assessment.Terms.Units, err
}

// inputPath returns where an input lies: where a flag says, or else the manifest.
func inputPath(dir string, m *write.Manifest, role, given, flag string) (string, error) {
	at := slices.IndexFunc(m.Inputs, func(in write.Input) bool { return in.Role == role })
	if at < 0 && given != "" {
		return "", &hinted{"plan.json: names no " + role, "leave out " + flag}
	}
	if at < 0 {
		return "", &hinted{"plan.json: names no " + role, "write the plan again with: rxsplit split"}
	}
	if given != "" {
		return given, nil
	}
	stored := m.Inputs[at].Path
	if stored == "-" {
		return "", &hinted{"the " + role + " came from standard input", "name its file with " + flag + " FILE"}
	}
	path := filepath.FromSlash(stored)
	if !filepath.IsAbs(path) {
		path = filepath.Join(dir, path)
	}
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return "", &hinted{path + ": the " + role + " of the plan is not there", "name its file with " + flag + " FILE"}
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
	return &hinted{strings.Join(lines, "\n"), "name the right file with " + flag + ", or write the plan again with: rxsplit split"}
}

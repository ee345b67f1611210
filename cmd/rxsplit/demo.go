package main

import (
	_ "embed"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/report"
	"rxsplit/label"
)

//go:embed demo/field.zip
var demoField []byte

//go:embed demo/job.yaml
var demoJob []byte

// newDemo runs the whole job on an invented field.
func newDemo(u *ui) *cobra.Command {
	return &cobra.Command{
		Use:   "demo [DIR]",
		Short: "Run the whole job on a built-in invented field",
		Long: `demo writes an invented field, an invented label and an invented job file into
DIR (default rxsplit-demo), checks the field, and writes and proves the plan of
a wet boom into DIR/plan.`,
		Args: atMostOne("one folder"),
		RunE: func(_ *cobra.Command, args []string) error {
			dir := "rxsplit-demo"
			if len(args) == 1 {
				dir = args[0]
			}
			return runDemo(u, dir)
		},
	}
}

func runDemo(u *ui, dir string) (err error) {
	if err := os.Mkdir(dir, 0o777); err != nil {
		hint := "choose another place: rxsplit demo DIR"
		if os.IsExist(err) {
			return &hinted{dir + ": is there already", hint}
		}
		return &hinted{dir + ": " + systemSays(err), hint}
	}
	defer func() {
		if err != nil {
			os.RemoveAll(dir) // made above, and of no use half full
		}
	}()
	for name, text := range map[string][]byte{"field.zip": demoField, "label.yaml": label.DemoYAML(), "job.yaml": demoJob} {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o666); err != nil {
			return &hinted{filepath.Join(dir, name) + ": " + systemSays(err), ""}
		}
	}
	o := &options{job: filepath.Join(dir, "job.yaml")}
	q, err := o.resolve()
	if err != nil {
		return err
	}
	field := filepath.Join(dir, "field.zip")
	if err := checkOne(u, field, q, false, "", report.Word(field)+" --job "+report.Word(o.job)); err != nil && err != errFlagged {
		return err
	}
	return runSplit(u, field, q, &splitOptions{out: filepath.Join(dir, "plan")})
}

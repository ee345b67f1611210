package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/label"
	"rxsplit/label/unit"
)

// newLabel groups the commands on label profiles.
func newLabel(u *ui) *cobra.Command {
	cmd := &cobra.Command{Use: "label", Short: "Write, show or check a label profile"}
	show := &cobra.Command{
		Use:   "show FILE",
		Short: "Show what a label profile says, and what it leaves unknown",
		Args:  takes(1, 1, "one file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			p, _, err := app.Label(args[0])
			if err != nil {
				return err
			}
			units, err := valuesOf(cmd).System()
			if err != nil {
				return err
			}
			_, err = io.WriteString(u.out, p.Text(units))
			return err
		},
	}
	showUnits(show, "us")
	cmd.AddCommand(
		newTemplate(u, "a label profile", "label.yaml", label.Template),
		show,
		&cobra.Command{
			Use:   "check FILE",
			Short: "Check that a label profile can be read and makes sense",
			Args:  takes(1, 1, "one file"),
			RunE: func(_ *cobra.Command, args []string) error {
				_, problems, err := app.Label(args[0])
				if err != nil {
					return err
				}
				return tellProblems(u, args[0], problems)
			},
		},
	)
	return cmd
}

// newJob groups the commands on job files.
func newJob(u *ui) *cobra.Command {
	cmd := &cobra.Command{Use: "job", Short: "Write or check a job file"}
	check := &cobra.Command{
		Use:   "check FILE",
		Short: "Check that a job file can be read and makes sense",
		Args:  takes(1, 1, "one file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			job, problems, err := app.Job(args[0], valuesOf(cmd))
			if err != nil {
				return err
			}
			flagged := tellProblems(u, args[0], problems)
			if err := text.PanTests(u.out, job, job.Units.Or(unit.US)); err != nil {
				return err
			}
			return flagged
		},
	}
	showUnits(check, "those of the file")
	cmd.AddCommand(newTemplate(u, "a job file", "job.yaml", app.JobTemplate), check)
	return cmd
}

// newTemplate writes a commented file to fill in.
func newTemplate(u *ui, what, name string, text func() string) *cobra.Command {
	return &cobra.Command{
		Use:   "new [FILE]",
		Short: "Write " + what + " with comments, to be filled in",
		Long:  "new writes " + what + " with comments, to be filled in:\nto FILE, which must not exist, or to standard output.",
		Args:  takes(0, 1, "one file at most"),
		RunE:  func(_ *cobra.Command, args []string) error { return writeTemplate(u, args, text(), name) },
	}
}

func tellProblems(u *ui, path string, problems []label.Problem) error {
	for _, p := range problems {
		line := fmt.Sprintf("%s:%d:%d: %s: %s: %s", report.Name(path), p.Line, p.Column, p.Severity, p.Key, p.Text)
		if err := wrapTo(u.out, report.Plain(line), "    "); err != nil {
			return err
		}
	}
	if len(problems) > 0 {
		return errFlagged
	}
	return wrapTo(u.out, report.Plain(report.Name(path)+": can be read, and nothing in it contradicts anything else"), "    ")
}

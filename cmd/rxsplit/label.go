package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/report"
	"rxsplit/label"
	"rxsplit/rx/equip"
)

// newLabel groups the commands on label profiles.
func newLabel(u *ui) *cobra.Command {
	cmd := &cobra.Command{Use: "label", Short: "Write, show or check a label profile"}
	o := &options{}
	show := &cobra.Command{
		Use:   "show FILE",
		Short: "Show what a label profile says, and what it leaves unknown",
		Args:  exactly(1, "one file"),
		RunE: func(_ *cobra.Command, args []string) error {
			p, err := readLabel(args[0])
			if err != nil {
				return err
			}
			units, err := o.system()
			if err != nil {
				return err
			}
			_, err = io.WriteString(u.out, p.Text(units))
			return err
		},
	}
	show.Flags().StringVar(&o.units, "units", "", "units to show: us or metric (default us)")
	cmd.AddCommand(
		newTemplate(u, "a label profile", "label.yaml", label.Template()),
		show,
		&cobra.Command{
			Use:   "check FILE",
			Short: "Check that a label profile can be read and makes sense",
			Args:  exactly(1, "one file"),
			RunE: func(_ *cobra.Command, args []string) error {
				text, err := readText(args[0])
				if err != nil {
					return err
				}
				_, problems, err := label.Check(args[0], text)
				if err != nil {
					return labelError(args[0], text, err)
				}
				return tellProblems(u, args[0], problems)
			},
		},
	)
	return cmd
}

func readLabel(path string) (*label.Profile, error) {
	text, err := readText(path)
	if err != nil {
		return nil, err
	}
	p, err := label.Parse(path, text)
	if err != nil {
		return nil, labelError(path, text, err)
	}
	return p, nil
}

// newJob groups the commands on job files.
func newJob(u *ui) *cobra.Command {
	cmd := &cobra.Command{Use: "job", Short: "Write or check a job file"}
	o := &options{}
	check := &cobra.Command{
		Use:   "check FILE",
		Short: "Check that a job file can be read and makes sense",
		Args:  exactly(1, "one file"),
		RunE:  func(_ *cobra.Command, args []string) error { return checkJob(u, args[0], o) },
	}
	check.Flags().StringVar(&o.units, "units", "", "units to show: us or metric (default those of the file)")
	cmd.AddCommand(newTemplate(u, "a job file", "job.yaml", equip.JobTemplate()), check)
	return cmd
}

// checkJob tells of a job file what is odd in it, and what its pan tests come to.
func checkJob(u *ui, path string, o *options) error {
	text, err := readText(path)
	if err != nil {
		return err
	}
	units, err := o.system()
	if err != nil {
		return err
	}
	read := equip.CheckJob
	if o.units != "" {
		read = func(name string, data []byte) (*equip.Job, []label.Problem, error) {
			return equip.CheckJobIn(units, name, data)
		}
	}
	job, problems, err := read(path, text)
	if err != nil {
		return jobError(path, text, err)
	}
	if o.units == "" {
		units = job.Units.Or(units)
	}
	flagged := tellProblems(u, path, append(problems, missing(path, text, job)...))
	if err := report.PanTests(u.out, job, units); err != nil {
		return err
	}
	return flagged
}

// missing tells of files that a job names and that are not there, beside it or where it
// says: a check of a field would stop at them.
func missing(path string, text []byte, job *equip.Job) (list []label.Problem) {
	for _, f := range []struct{ key, name string }{{"label", job.Label}, {"keep-out", job.KeepOut}} {
		if f.name == "" {
			continue
		}
		where := relativeTo(filepath.Dir(path), f.name)
		if _, err := os.Stat(where); !os.IsNotExist(err) {
			continue
		}
		p := label.Problem{Key: f.key, Severity: label.Warning, Text: "there is no file " + report.Name(where) + ": names count from where the job file lies", Line: 1, Column: 1}
		for i, line := range strings.Split(string(text), "\n") {
			if strings.HasPrefix(line, f.key+":") {
				p.Line = i + 1
			}
		}
		list = append(list, p)
	}
	return list
}

// newTemplate writes a commented file to fill in.
func newTemplate(u *ui, what, name, text string) *cobra.Command {
	return &cobra.Command{
		Use:   "new [FILE]",
		Short: "Write " + what + " with comments, to be filled in",
		Long:  "new writes " + what + " with comments, to be filled in: to FILE, which must\nnot exist, or to standard output.",
		Args:  atMostOne("one file"),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				_, err := io.WriteString(u.out, text)
				return err
			}
			file, err := os.OpenFile(args[0], os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
			if err != nil {
				if os.IsExist(err) {
					return &hinted{args[0] + ": is there already", "choose another name, such as " + name}
				}
				return &hinted{args[0] + ": " + systemSays(err), ""}
			}
			_, err = io.WriteString(file, text)
			if closed := file.Close(); err == nil {
				err = closed
			}
			if err != nil {
				return &hinted{args[0] + ": " + systemSays(err), ""}
			}
			u.note("wrote %s: fill it in from what you have in hand", args[0])
			return nil
		},
	}
}

func tellProblems(u *ui, path string, problems []label.Problem) error {
	for _, p := range problems {
		line := fmt.Sprintf("%s:%d:%d: %s: %s: %s\n", report.Name(path), p.Line, p.Column, p.Severity, p.Key, p.Text)
		if _, err := io.WriteString(u.out, report.Plain(line)); err != nil {
			return err
		}
	}
	if len(problems) > 0 {
		return errFlagged
	}
	_, err := io.WriteString(u.out, report.Plain(report.Name(path)+": can be read, and nothing in it contradicts anything else\n"))
	return err
}

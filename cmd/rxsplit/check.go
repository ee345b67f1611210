package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/report"
	"rxsplit/rx"
)

// newCheck gives the verdict for each zone and the ways to release them.
func newCheck(u *ui) *cobra.Command {
	o := &options{}
	asJSON, page := false, ""
	cmd := &cobra.Command{
		Use:   "check FILE...",
		Short: "Give each zone its verdict, and the ways to release them",
		Long: `check holds a prescription against a label as if the whole blend were
impregnated: which zones leave the label range and by how much, which loadings
would serve all zones, and which ways to release it exist. Several files or
folders make a table; with --json, a document a line for each file.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return &hinted{"wants a file, got nothing", "see: rxsplit check --help"}
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			q, err := o.resolve()
			if err != nil {
				return err
			}
			if many, err := isMany(args); err != nil {
				return err
			} else if many {
				return checkMany(u, args, q, asJSON)
			}
			return checkOne(u, args[0], q, asJSON, page, commandWords(cmd, args[0]))
		},
	}
	o.flags(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document; of several files, one a line")
	cmd.Flags().StringVar(&page, "report", "", "also write the page, as one HTML file")
	cmd.Flags().BoolVar(&u.timings, "timings", false, "print the seconds of each stage")
	return cmd
}

func checkOne(u *ui, path string, q *request, asJSON bool, page, words string) error {
	c, err := assess(u, path, q)
	if err != nil {
		return err
	}
	u.begin("ways")
	result := c.result(words)
	result.Ways = c.ways()
	if page != "" {
		u.begin("page")
		if result.Origin, err = q.origin(c.prescription.Source, filepath.Dir(page)); err != nil {
			return err
		}
		if err := writeNew(page, path, func(w io.Writer) error { return report.Page(w, result) }); err != nil {
			return err
		}
	}
	u.begin("print")
	if asJSON {
		err = report.JSON(u.out, result)
	} else {
		err = report.Text(u.out, result)
	}
	u.end()
	if err != nil {
		return err
	}
	if c.flagged() {
		return errFlagged
	}
	return nil
}

// flagged reports whether anything found is worse than a note.
func (c *checked) flagged() bool { return rx.Flagged(c.findings()) }

// writeNew writes a page whole or not at all; of what stands there it replaces a page
// alone, never a file that somebody made.
func writeNew(path, source string, render func(io.Writer) error) error {
	if sameFile(path, source) {
		return &hinted{path + ": is the prescription itself", "choose another name for the page"}
	}
	if isOther(path) {
		return &hinted{path + ": is there already and is no page, so it is not replaced", "choose another name for the page"}
	}
	tmp := path + ".part"
	file, err := os.OpenFile(tmp, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return &hinted{path + ": " + systemSays(err), "choose another place for the page"}
	}
	err = render(file)
	if closed := file.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(tmp, path)
	}
	if err != nil {
		os.Remove(tmp)
		return &hinted{path + ": " + systemSays(err), "choose another place for the page"}
	}
	return nil
}

// isOther reports whether something else than a page, or an empty file, stands under a name.
func isOther(path string) bool {
	file, err := os.Open(path)
	if err != nil {
		return false // whoever writes it says what is wrong
	}
	defer file.Close()
	const page = "<!doctype html>"
	head := make([]byte, len(page))
	n, _ := io.ReadFull(file, head)
	return n > 0 && !strings.EqualFold(string(head[:n]), page)
}

func sameFile(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}

package main

import (
	"context"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// newCheck gives the verdict for each zone and the ways to release them.
func newCheck(u *ui) *cobra.Command {
	asJSON, full, page := false, false, ""
	cmd := &cobra.Command{
		Use:   "check FILE...",
		Short: "Give each zone its verdict, and the ways to release them",
		Long: `check holds a prescription against a label as if the whole blend were
impregnated: which zones leave the label range and by how much, which loadings
would serve all zones, and which ways to release it exist. Several files or
folders make a table; with --json, a document a line for each file.`,
		Args: takes(1, many, "a file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			given := valuesOf(cmd)
			q, err := app.Resolve(given)
			if err != nil {
				return err
			}
			if many, err := app.Several(args); err != nil {
				return err
			} else if many {
				return checkMany(cmd.Context(), u, args, q, asJSON, page)
			}
			return checkOne(cmd.Context(), u, args[0], q, form{asJSON, full}, page, app.Command(args[0], given))
		},
	}
	addFlags(cmd, func(o app.Option) bool { return !o.Splits })
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document; of several files, one a line")
	cmd.Flags().BoolVar(&full, "full", false, "print all that was found, not the decision on one look alone")
	cmd.Flags().StringVar(&page, "report", "", "also write the page, as one HTML file; of several files, the page of all of them")
	u.timingsFlag(cmd)
	return cmd
}

// form is how a check is printed.
type form struct{ json, full bool }

func checkOne(ctx context.Context, u *ui, path string, q *app.Request, as form, page, words string) error {
	result, err := u.run().Check(ctx, path, q)
	if err != nil {
		return err
	}
	result.Command = words
	if page != "" {
		u.begin("page")
		if err := app.WritePage(page, result); err != nil {
			return err
		}
	}
	u.begin("print")
	switch {
	case as.json:
		err = data.Check(u.out, result)
	case as.full:
		err = text.Check(u.out, result)
	default:
		err = text.Brief(u.out, result)
	}
	u.end()
	if err == nil && rx.Flagged(result.Findings) {
		return errFlagged
	}
	return err
}

// row is what one of many files comes to.
type row struct {
	text.Row
	flagged bool // by more than a note
	field   app.SeasonField
}

// rowOf is the row of a file, with what the page of all says of it where one is written.
func rowOf(path string, result report.Result, err error, onPage bool) (one row) {
	if onPage {
		one.field = app.SeasonFieldOf(path, result, err)
	}
	if err != nil {
		one.Row = text.Failed(path, err)
		return one
	}
	one.Row, one.flagged = text.RowOf(path, result), rx.Flagged(result.Findings)
	return one
}

// seasonTitle names the page of many files.
func seasonTitle(args []string) string {
	if len(args) == 1 {
		return "Prescriptions in " + filepath.Base(args[0])
	}
	return "Prescriptions"
}

// checkMany checks the files side by side and tells of them in their order; a bad
// one is reported and the rest go on.
func checkMany(ctx context.Context, u *ui, args []string, q *app.Request, asJSON bool, page string) error {
	files, err := app.Prescriptions(args)
	if err != nil {
		return err
	}
	rows, err := app.Each(ctx, u.run(), files, q, page != "", func(path string, result report.Result, err error) row {
		return rowOf(path, result, err, page != "")
	})
	if err != nil {
		return err
	}
	table := text.NewTable(u.out, asJSON)
	flagged, failed := 0, 0
	var fields []app.SeasonField
	for row := range rows {
		u.settle()
		switch {
		case row.Err != nil:
			failed++
			u.fail(&app.InFolder{Path: row.Path, Err: row.Err})
		case row.flagged:
			flagged++
		}
		table.Add(row.Row)
		fields = append(fields, row.field)
	}
	u.end()
	if err := table.Close(); err != nil {
		return err
	}
	if page != "" && ctx.Err() == nil {
		if err := app.WriteSeason(page, seasonTitle(args), fields); err != nil {
			return err
		}
	}
	switch {
	case failed > 0:
		return &app.Error{What: fmt.Sprintf("%d of %d files could not be checked", failed, len(files)), Hint: "the reasons stand above"}
	case flagged > 0:
		return errFlagged
	}
	return ctx.Err()
}

// newInspect says what a file holds, before anybody asks for rates.
func newInspect(u *ui) *cobra.Command {
	asJSON := false
	cmd := &cobra.Command{
		Use:   "inspect FILE",
		Short: "Say what a file holds: system, polygons, acres, fields",
		Args:  takes(1, 1, "one file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			given := valuesOf(cmd)
			content, err := u.run().Inspect(cmd.Context(), args[0], given)
			if err != nil {
				return err
			}
			u.end()
			units, err := given.System()
			if err != nil {
				return err
			}
			if asJSON {
				err = data.Inspect(u.out, content, units)
			} else {
				words := app.Command(args[0], given)
				if units == unit.Metric {
					words += " --rate-unit UNIT" // which check wants to be told then
				}
				err = text.Inspect(u.out, content, units, words)
			}
			if err == nil && rx.Flagged(content.Findings) {
				return errFlagged
			}
			return err
		},
	}
	addFlags(cmd, func(o app.Option) bool { return o.Opens })
	showUnits(cmd, "us")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document")
	return cmd
}

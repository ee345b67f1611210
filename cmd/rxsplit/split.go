package main

import (
	"context"
	"errors"
	"path/filepath"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/rx/equip"
)

// newSplit writes the layers of one way to release a prescription.
func newSplit(u *ui) *cobra.Command {
	var to app.Target
	asJSON, stamp := false, false
	cmd := &cobra.Command{
		Use:   "split FILE",
		Short: "Write the layers, work sheets and report of one way to release it",
		Long: `split works out one way to release the prescription, writes its layers as
shapefile and GeoJSON with the work sheets, the page and a manifest, reads them
back to prove them, and only then gives the folder its name.

The ways:
` + equip.WaysHelp(),
		Args: takes(1, 1, "one file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			q, err := app.Resolve(valuesOf(cmd))
			if err != nil {
				return err
			}
			if stamp {
				to.Stamp = now()
			}
			return runSplit(cmd.Context(), u, args[0], q, to, asJSON)
		},
	}
	addFlags(cmd, func(app.Option) bool { return true })
	f := cmd.Flags()
	f.StringVar(&to.Dir, "out", "", "folder to write; it must not exist")
	f.BoolVar(&to.Force, "force", false, "replace a plan that stands in the folder, if nothing else lies in it")
	f.BoolVar(&stamp, "stamp", false, "put date and time into the plan")
	f.BoolVar(&to.KML, "kml", false, "also write each layer as KML, for a look on a phone")
	f.BoolVar(&asJSON, "json", false, "print the manifest as one JSON document")
	u.timingsFlag(cmd)
	return cmd
}

func runSplit(ctx context.Context, u *ui, path string, q *app.Request, to app.Target, asJSON bool) error {
	result, manifest, err := u.run().Split(ctx, path, q, to)
	if err != nil {
		return err
	}
	u.end()
	if a := manifest.Dropped; a != nil {
		u.note("the approval by %s went with the plan that was replaced; this one is not approved", a.By)
	}
	if asJSON {
		err = data.Manifest(u.out, manifest)
	} else {
		err = text.Plan(u.out, result, to.Dir, manifest)
	}
	if err != nil {
		return &app.Error{What: err.Error(), Hint: "the plan is whole all the same; look at it with: rxsplit verify " + report.Word(to.Dir), Err: err}
	}
	return nil
}

// newDemo runs the whole job on an invented field.
func newDemo(u *ui) *cobra.Command {
	return &cobra.Command{
		Use:   "demo [DIR]",
		Short: "Run the whole job on a built-in invented field",
		Long: `demo writes an invented field, an invented label and an invented job file into
DIR (default rxsplit-demo), checks the field, and writes and proves the plan of
a wet boom into DIR/plan. An invented log of its boom lies in DIR/logs then, for
rxsplit applied.`,
		Args: takes(0, 1, "one folder at most"),
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := "rxsplit-demo"
			if len(args) == 1 {
				dir = args[0]
			}
			return app.Demo(dir, func(field, job string) error { return runDemo(cmd.Context(), u, dir, field, job) })
		},
	}
}

func runDemo(ctx context.Context, u *ui, dir, field, job string) error {
	given := app.Values{"job": {job}}
	q, err := app.Resolve(given)
	if err != nil {
		return err
	}
	if err := checkOne(ctx, u, field, q, form{full: false}, "", app.Command(field, given)); err != nil && !errors.Is(err, errFlagged) {
		return err
	}
	if err := runSplit(ctx, u, field, q, app.Target{Dir: filepath.Join(dir, "plan")}, false); err != nil {
		return err
	}
	return app.DemoLog(filepath.Join(dir, "logs"))
}

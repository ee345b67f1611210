package main

import (
	"context"
	"errors"
	"path/filepath"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
)

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

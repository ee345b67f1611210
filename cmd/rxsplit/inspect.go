package main

import (
	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

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

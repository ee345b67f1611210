package main

import (
	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/text"
)

// newDay plans a plant's day over many fields.
func newDay(u *ui) *cobra.Command {
	asJSON, asked := false, app.DayAsked{}
	cmd := &cobra.Command{
		Use:   "day FILE...",
		Short: "Plan a day of many fields: who shares a loading, what to order",
		Long: `day takes the prescriptions of a day, files or folders of them, for one blend and
one label, and says which fields share a loading, which go another way, and what
to have at hand.

A field may share a loading that keeps all of it on label, with room for the
rate error. With prices the day is that of the least whole cost; without them
that of the fewest loadings, and the boom is kept for fields that no loading
serves, unless --boom-day says what it can do. Ways that ask the agronomist
first are not taken. Nothing is written: release each field with split.

A file that fails does not stop the others; the exit status is 1 then.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return misused(cmd, "wants a file or a folder, got nothing")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			q, err := app.Resolve(valuesOf(cmd))
			if err != nil {
				return err
			}
			d, err := u.run().Day(cmd.Context(), args, q, asked)
			if err != nil {
				return err
			}
			u.begin("print")
			print := text.Day
			if asJSON {
				print = data.Day
			}
			err = print(u.out, d)
			u.end()
			if err == nil && !d.Whole() {
				return errFlagged
			}
			return err
		},
	}
	addFlags(cmd, func(o app.Option) bool { return !o.Splits })
	f := cmd.Flags()
	f.BoolVar(&asJSON, "json", false, "print one JSON document")
	f.StringVar(&asked.Boom, "boom-day", "", "most ground that the wet boom covers in the day, such as \"300 ac\"")
	f.StringVar(&asked.Change, "change-over", "", "what a change of loading costs, such as \"60 $\" (default 0)")
	f.StringArrayVar(&asked.Packages, "package", nil, "a size that the stabilizer comes in, such as \"2.5 gal\"; repeatable")
	u.timingsFlag(cmd)
	return cmd
}

package main

import (
	"time"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/rx"
)

// newVerify proves a written plan.
func newVerify(u *ui) *cobra.Command {
	var moved app.InputsAt
	cmd := &cobra.Command{
		Use:   "verify DIR",
		Short: "Prove a written plan against its manifest and its source",
		Long: `verify reads a written plan from the disk, holds every file against the
manifest, works the plan out again from the source file, and compares zone by
zone. It says whether an approval stands with the plan, and refuses one that is
of another plan.`,
		Args: takes(1, 1, "one folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if proved, ok, err := u.run().VerifyResults(cmd.Context(), args[0], moved); ok || err != nil {
				if err != nil {
					return err
				}
				u.end()
				return text.ResultsVerified(u.out, args[0], proved.Files, proved.Others)
			}
			manifest, err := u.run().Verify(cmd.Context(), args[0], moved)
			if err != nil {
				return err
			}
			u.end()
			return text.Verified(u.out, args[0], manifest, manifest.Others(args[0]))
		},
	}
	sourceFlags(cmd, &moved)
	u.timingsFlag(cmd)
	return cmd
}

// now is the clock, which tests fix.
var now = time.Now

// newApprove adds an approval to a written plan, and prints its release card.
func newApprove(u *ui) *cobra.Command {
	var moved app.InputsAt
	var said rx.Approval
	asJSON := false
	cmd := &cobra.Command{
		Use:   "approve DIR",
		Short: "Approve a written plan, and print the release card to sign",
		Long: `approve proves a written plan as verify does, puts into its folder who approves
it, and when, and prints the release card: one page with the decision, the ways
side by side, what was found, and lines to sign. Without --by it prints the
card of the approval that stands.

An approval is a record and no lock: nobody is kept from working without one,
and nobody proves by it who they are. It is of this very plan; a changed one
has none.`,
		Args: takes(1, 1, "one folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			said.At = now().UTC().Truncate(time.Second)
			approval, sheet, err := u.run().Approve(cmd.Context(), args[0], moved, said)
			if err != nil {
				return err
			}
			u.end()
			if asJSON {
				err = data.Approval(u.out, *approval)
			} else {
				err = text.Sheets(u.out, []rx.Sheet{sheet})
			}
			if err != nil {
				return &app.Error{What: err.Error(), Hint: "the approval stands all the same; print its sheet again with: rxsplit approve " + report.Word(args[0]), Err: err}
			}
			return nil
		},
	}
	f := cmd.Flags()
	f.StringVar(&said.By, "by", "", "name of whoever approves the plan")
	f.StringVar(&said.License, "license", "", "number of the applicator's license")
	f.StringVar(&said.Note, "note", "", "what else is to be kept with the approval")
	f.BoolVar(&asJSON, "json", false, "print the approval as one JSON document")
	sourceFlags(cmd, &moved)
	u.timingsFlag(cmd)
	return cmd
}

// sourceFlags say where the inputs of a written plan lie now.
func sourceFlags(cmd *cobra.Command, moved *app.InputsAt) {
	cmd.Flags().StringVar(&moved.Source, "source", "", "the prescription's file (default the one that the manifest names)")
	cmd.Flags().StringVar(&moved.KeepOut, "keep-out", "", "the keep-outs' file (default the one that the manifest names)")
}

package main

import (
	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report/text"
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

package main

import (
	"context"

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
		Args: exactly(1, "one folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if prove := resultsIn(u, args[0]); prove != nil {
				files, err := prove(cmd.Context(), args[0], moved)
				if err != nil {
					return err
				}
				u.end()
				return text.GroundVerified(u.out, args[0], files)
			}
			if app.IsReadout(args[0]) {
				files, err := u.run().VerifyReadout(cmd.Context(), args[0])
				if err != nil {
					return err
				}
				u.end()
				return text.ReadoutVerified(u.out, args[0], files)
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

// resultsIn returns what proves a folder that holds no plan but results; nil for a plan.
func resultsIn(u *ui, dir string) func(context.Context, string, app.InputsAt) (files int, err error) {
	switch {
	case app.IsGround(dir):
		return u.run().VerifyGround
	case app.IsRecord(dir):
		return u.run().VerifyRecord
	}
	return nil
}

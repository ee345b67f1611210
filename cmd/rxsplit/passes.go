package main

import (
	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
)

// newPasses drives a plan on paper.
func newPasses(u *ui) *cobra.Command {
	var moved app.InputsAt
	var asked app.PassesAsked
	var to results
	cmd := &cobra.Command{
		Use:   "passes DIR",
		Short: "Drive a plan on paper: what each acre would get",
		Long: `passes takes a written plan and the machines of its job, drives straight
parallel passes over the field, and says what would land: which acres leave the
label at the seams of zones, where swaths overlap or leave ground bare, and by
how much earlier rate changes are to be called for so that the least ground
misses its target.

A lap around the field is driven first; the passes, which begin at the field's
edge, then treat what it leaves. The boom is shut where all under it is covered
already; so is each of the sections, where the job says how many close by
themselves. Turns are off. The machine knows one rate at a time, that of the
zone under the middle of its boom.`,
		Args: takes(1, 1, "one folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			g, err := u.run().Passes(cmd.Context(), args[0], moved, asked)
			if err != nil {
				return err
			}
			return tellGround(cmd.Context(), u, to, g)
		},
	}
	f := cmd.Flags()
	f.StringVar(&asked.Job, "job", "", "job file with the machines; label and rates stay those of the plan (default its own job)")
	f.StringVar(&asked.Azimuth, "azimuth", "", "direction of the passes, degrees clockwise from north (default that of the plan's strips, or 0)")
	f.StringVar(&asked.Offset, "offset", "", "how far outside the field's edge the first pass begins, such as 20 ft (default that of the plan's strips, or 0)")
	f.StringVar(&asked.Ahead, "look-ahead", "", "how much earlier rate changes are called for, such as 2 s (default 0)")
	f.StringVar(&asked.Laps, "headland", "", "laps that are driven around the field first (default 1)")
	to.flags(cmd, groundFiles)
	sourceFlags(cmd, &moved)
	u.timingsFlag(cmd)
	return cmd
}

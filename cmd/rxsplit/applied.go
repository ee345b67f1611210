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
	"rxsplit/rx"
)

// newApplied says what logs put on each acre.
func newApplied(u *ui) *cobra.Command {
	var moved app.InputsAt
	var logs app.Logs
	var to results
	cmd := &cobra.Command{
		Use:   "applied DIR LOG...",
		Short: "Lay the machines' logs over a plan: what every acre got",
		Long: `applied proves a written plan, lays the logs of the machines over it, and says
what landed: acres none, below, within and above the label, bare, covered twice,
outside and in keep-outs, what is off target, and where all of the product is.

A log is points or swath polygons in a shapefile, GeoJSON or CSV, or the time
logs of a folder of task data (ISO 11783-10). Which of its columns hold what
says a small YAML file, one for each log: rxsplit applied new LOG writes
one from the log's own columns.`,
		Args: takes(2, many, "the folder of a plan and at least one log"),
		RunE: func(cmd *cobra.Command, args []string) error {
			logs.Paths = args[1:]
			g, err := u.run().Applied(cmd.Context(), args[0], moved, logs)
			if err != nil {
				return err
			}
			err = tellGround(cmd.Context(), u, to, g)
			if dir := to.out; dir != "" && (err == nil || errors.Is(err, errFlagged)) {
				u.note("next: rxsplit record %s --applied %s", report.Word(args[0]), report.Word(dir))
				u.note("for a further pass this season: check and split take --already-applied %s", report.Word(filepath.Join(dir, "applied.shp")))
			}
			return err
		},
	}
	cmd.Flags().StringArrayVar(&logs.Maps, "map", nil, "what a log's columns hold, a YAML file; repeat it in the order of the logs")
	cmd.Flags().StringVar(&logs.CRS, "crs", "", "coordinate system of the logs, such as EPSG:26915")
	to.flags(cmd, groundFiles)
	sourceFlags(cmd, &moved)
	u.timingsFlag(cmd)
	cmd.AddCommand(newLogMap(u))
	return cmd
}

// tellGround tells what lands on a field.
func tellGround(ctx context.Context, u *ui, to results, g report.Ground) error {
	return told[report.Ground]{u.run().WriteGround, text.Ground, data.Ground}.tell(ctx, u, to, g, rx.Flagged(g.Findings))
}

// groundFiles are what is written of it.
const groundFiles = "the page, the JSON and the layers"

// newLogMap writes a map from a log's own columns.
func newLogMap(u *ui) *cobra.Command {
	return &cobra.Command{
		Use:   "new LOG [FILE]",
		Short: "Write the map of a log's columns, to be filled in",
		Long:  "new writes what a log's columns hold, as far as their names say it, with\ncomments, to FILE, which must not exist, or to standard output.",
		Args:  takes(1, 2, "a log, and a file at most"),
		RunE: func(cmd *cobra.Command, args []string) error {
			map_, err := u.run().NewLogMap(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			return writeTemplate(u, args[1:], map_, "map.yaml")
		},
	}
}

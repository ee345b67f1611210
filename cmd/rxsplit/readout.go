package main

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/text"
)

// newReadout says what untreated strips were worth.
func newReadout(u *ui) *cobra.Command {
	var h app.Harvest
	together, out, asJSON := false, "", false
	cmd := &cobra.Command{
		Use:   "readout [DIR]",
		Short: "Tell from untreated strips what treating was worth",
		Long: `readout compares strips that were left untreated with the treated ground on both
their sides, and says whether treating yielded more, less, or that it cannot be
told, with an interval; and whether it paid. The strips are those of the plan in
DIR, which rxsplit split --strips left; --applied leaves out those that a log says
were sprayed all the same. Strips that were left otherwise are polygons with the
fields rep (a number) and treated (0 or 1), in --strips FILE: one untreated strip
and two treated ones a replicate. What the columns of the other files hold says a
small YAML file: rxsplit readout new writes one to fill in.

readout --together DIR... joins what several fields or years said.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 && !together {
				return misused(cmd, "wants one folder of a plan, got "+quoteArgs(args))
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			var r report.Readout
			var err error
			if together {
				r, err = u.run().Together(cmd.Context(), args, h.Map)
			} else {
				if len(args) > 0 {
					h.Plan = args[0]
				}
				r, err = u.run().Readout(cmd.Context(), h)
			}
			if err != nil {
				return err
			}
			return tellReadout(cmd.Context(), u, r, out, asJSON)
		},
	}
	f := cmd.Flags()
	f.StringVar(&h.Applied, "applied", "", "folder of rxsplit applied: strips that were sprayed are left out")
	f.StringVar(&h.Strips, "strips", "", "the strips: polygons with the fields rep and treated")
	f.StringVar(&h.Yield, "yield", "", "points of a yield monitor: shapefile, GeoJSON or CSV")
	f.StringVar(&h.Index, "index", "", "points of a vegetation index")
	f.StringVar(&h.Stalks, "stalks", "", "stalk nitrate, one composite sample a strip: CSV")
	f.StringVar(&h.Map, "map", "", "what the columns hold, with header, price and cost: a YAML file")
	f.StringVar(&h.CRS, "crs", "", "coordinate system of the points, such as EPSG:26915")
	f.BoolVar(&together, "together", false, "join the folders of several fields or years")
	f.StringVar(&out, "out", "", "also write the page and the JSON into this new folder")
	f.BoolVar(&asJSON, "json", false, "print one JSON document")
	u.timingsFlag(cmd)
	cmd.AddCommand(newYieldMap(u))
	return cmd
}

func tellReadout(ctx context.Context, u *ui, r report.Readout, out string, asJSON bool) error {
	if out != "" {
		if err := u.run().WriteReadout(ctx, out, r); err != nil {
			return err
		}
	}
	u.end()
	print := text.Readout
	if asJSON {
		print = data.Readout
	}
	if err := print(u.out, r); err != nil {
		return err
	}
	if out != "" {
		u.note("wrote %s; to prove it again: rxsplit verify %s", out, report.Word(out))
	}
	for _, one := range r.Results {
		if len(report.ReadoutRemarks(r, one)) > 0 {
			return errFlagged
		}
	}
	return nil
}

// newYieldMap writes a map to fill in.
func newYieldMap(u *ui) *cobra.Command {
	return &cobra.Command{
		Use:   "new [FILE]",
		Short: "Write the map of columns, to be filled in",
		Long:  "new writes what the columns of yields, index and stalk samples hold, with\ncomments, to FILE, which must not exist, or to standard output.",
		Args:  atMostOne("a file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				_, err := io.WriteString(u.out, app.NewYieldMap)
				return err
			}
			if err := app.WriteNew(args[0], app.NewYieldMap, "map.yaml"); err != nil {
				return err
			}
			u.note("wrote %s: fill in what its comments leave open", args[0])
			return nil
		},
	}
}

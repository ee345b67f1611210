package main

import (
	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/text"
)

// newReadout says what untreated strips were worth.
func newReadout(u *ui) *cobra.Command {
	var h app.Harvest
	together := false
	var to results
	cmd := &cobra.Command{
		Use:   "readout [DIR]",
		Short: "Tell from untreated strips what treating was worth",
		Long: `readout compares strips that were left untreated with the treated ground on both
their sides, and says whether treating yielded more, less, or that it cannot be
told, with an interval; and whether it paid. The strips are those of the plan in
DIR, which rxsplit split --strips left; --applied leaves out those that a log
says were sprayed all the same. Strips that were left otherwise are polygons
with the fields rep (a number) and treated (0 or 1), in --strips FILE: one
untreated strip and two treated ones a replicate. What the columns of the other
files hold says a small YAML file: rxsplit readout new writes one to fill in.

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
			return told[report.Readout]{u.run().WriteReadout, text.Readout, data.Readout}.tell(cmd.Context(), u, to, r, r.Flagged())
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
	to.flags(cmd, "the page and the JSON")
	u.timingsFlag(cmd)
	cmd.AddCommand(newTemplate(u, "a map of columns of yields", "map.yaml", app.YieldMapTemplate))
	return cmd
}

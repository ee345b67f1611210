package main

import (
	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/read"
)

// newInspect says what a file holds, before anybody asks for rates.
func newInspect(u *ui) *cobra.Command {
	o := &options{}
	asJSON := false
	cmd := &cobra.Command{
		Use:   "inspect FILE",
		Short: "Say what a file holds: system, polygons, acres, fields",
		Args:  exactly(1, "one file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			u.begin("read")
			file, err := read.Open(args[0], read.FileOptions{Stdin: u.in, Layer: o.layer, CRS: o.crs, Archive: o.zip})
			if err != nil {
				return err
			}
			content, err := read.Inspect(file)
			if err != nil {
				return err
			}
			u.end()
			units, err := o.system()
			if err != nil {
				return err
			}
			if asJSON {
				err = report.ContentJSON(u.out, content, units)
			} else {
				words := commandWords(cmd, args[0])
				if units == unit.Metric {
					words += " --rate-unit UNIT" // which check wants to be told then
				}
				err = report.ContentText(u.out, content, units, words)
			}
			if err == nil && rx.Flagged(content.Findings) {
				return errFlagged
			}
			return err
		},
	}
	o.fileFlags(cmd)
	cmd.Flags().StringVar(&o.units, "units", "", "units to show: us or metric (default us)")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document")
	return cmd
}

package main

import (
	"strconv"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
)

// addFlags gives a command the flags of those options that it takes.
func addFlags(cmd *cobra.Command, takes func(app.Option) bool) {
	f := cmd.Flags()
	for _, o := range app.Options() {
		if !takes(o) {
			continue
		}
		switch o.Kind {
		case app.List:
			f.StringArray(o.Name, nil, o.Help)
		case app.Switch:
			f.Bool(o.Name, false, o.Help)
		case app.Number:
			n, _ := strconv.ParseInt(o.Default, 10, 64) // a default is a number
			f.Int64(o.Name, n, o.Help)
		default:
			f.String(o.Name, "", o.Help)
		}
	}
}

// showUnits gives a command the flag for the units to show alone.
func showUnits(cmd *cobra.Command, otherwise string) {
	cmd.Flags().String("units", "", "units to show: us or metric (default "+otherwise+")")
}

// valuesOf returns the options that a command line gives.
func valuesOf(cmd *cobra.Command) app.Values {
	v := app.Values{}
	for _, o := range app.Options() {
		flag := cmd.Flags().Lookup(o.Name)
		if flag == nil || !flag.Changed {
			continue
		}
		v[o.Name] = []string{flag.Value.String()}
		if list, ok := flag.Value.(interface{ GetSlice() []string }); ok {
			v[o.Name] = list.GetSlice()
		}
	}
	return v
}

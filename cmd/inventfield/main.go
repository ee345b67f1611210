// Inventfield writes an invented prescription layer: the demo's field, and layers
// of any size to test and measure with. It is a tool for developers.
//
//	inventfield -kind contours -seed 22 -epsg 32615 -format zip -out field.zip
//	inventfield -kind grid -cells 1000000 -format shp -out grid.shp
//	inventfield -kind four -format geojson -out four.geojson
//
// Same arguments, same bytes. Exit status 0 if the layer is written, else 2.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"

	"github.com/paulmach/orb"

	"rxsplit/geo/invent"
)

func main() { os.Exit(run(os.Args[1:], os.Stderr)) }

func run(args []string, stderr io.Writer) int {
	opt, err := parse(args, stderr)
	if err == flag.ErrHelp {
		return 0
	}
	if err == nil {
		err = write(opt)
	}
	if err != nil {
		fmt.Fprintf(stderr, "inventfield: error: %v\n", err)
		return 2
	}
	return 0
}

// options are the command's flags.
type options struct {
	kind   string
	format string
	out    string
	grid   invent.GridOptions // seed, system and center serve all kinds
}

func parse(args []string, stderr io.Writer) (options, error) {
	var o options
	f := flag.NewFlagSet("inventfield", flag.ContinueOnError)
	f.SetOutput(stderr)
	f.StringVar(&o.kind, "kind", "contours", "contours, grid or four")
	f.StringVar(&o.format, "format", "shp", "shp, zip or geojson")
	f.StringVar(&o.out, "out", "", "`file` to write; replaced if it is there")
	f.Uint64Var(&o.grid.Seed, "seed", 0, "another number, another field")
	f.IntVar(&o.grid.EPSG, "epsg", 4326, "EPSG `code` of the coordinates")
	var center orb.Point
	f.Float64Var(&center[0], "lon", 0, "longitude of the field's middle; with -lat 0, open water")
	f.Float64Var(&center[1], "lat", 0, "latitude of the field's middle")
	f.IntVar(&o.grid.Cells, "cells", 1000, "cells of a grid")
	f.Float64Var(&o.grid.CellSize, "size", 10, "side of a grid's cells in `meters`")
	f.Float64Var(&o.grid.Angle, "angle", 0, "`degrees` by which a grid is turned")
	f.BoolVar(&o.grid.Shift, "shift", false, "shift every other row of a grid by half a cell")
	f.BoolVar(&o.grid.CornersOnly, "corners-only", false, "leave out every other cell of a grid")
	f.Float64Var(&o.grid.Noise, "noise", 0, "move every vertex of a grid by up to this, in the layer's unit")
	f.Float64Var(&o.grid.Nulls, "nulls", 0, "`share` of a grid's cells without a rate")
	if err := f.Parse(args); err != nil {
		return o, err
	}
	o.grid.Center = center
	switch {
	case f.NArg() > 0:
		return o, fmt.Errorf("argument %q: only flags are taken", f.Arg(0))
	case o.out == "":
		return o, fmt.Errorf("-out: a file to write is needed")
	}
	return o, nil
}

// layer returns the layer that the options ask for.
func (o options) layer() (*invent.Layer, error) {
	switch o.kind {
	case "contours":
		return invent.Contours(invent.ContourOptions{Seed: o.grid.Seed, EPSG: o.grid.EPSG, Center: o.grid.Center})
	case "grid":
		return invent.Grid(o.grid)
	case "four":
		if o.grid.EPSG != 4326 {
			return nil, fmt.Errorf("-epsg %d: the four zones are in lon/lat, EPSG 4326", o.grid.EPSG)
		}
		return invent.FourZones(), nil
	}
	return nil, fmt.Errorf("-kind %q: want contours, grid or four", o.kind)
}

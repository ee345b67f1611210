// Inventfield writes an invented prescription of any number of cells, to measure with.
// It is a tool for developers.
//
//	inventfield -cells 1000000 -format shp -out grid.shp
//
// Same arguments, same bytes. Exit status 0 if the layer is written, else 2.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"rxsplit/geo/crs"
	"rxsplit/geo/geojson"
	"rxsplit/geo/invent"
	"rxsplit/geo/shapefile"
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
	format string
	out    string
	grid   invent.GridOptions
}

func parse(args []string, stderr io.Writer) (options, error) {
	var o options
	f := flag.NewFlagSet("inventfield", flag.ContinueOnError)
	f.SetOutput(stderr)
	f.StringVar(&o.format, "format", "shp", "shp or geojson")
	f.StringVar(&o.out, "out", "", "`file` to write; replaced if it is there")
	f.Uint64Var(&o.grid.Seed, "seed", 0, "another number, another field")
	f.IntVar(&o.grid.EPSG, "epsg", 4326, "EPSG `code` of the coordinates")
	f.IntVar(&o.grid.Cells, "cells", 1000, "cells of the grid")
	if err := f.Parse(args); err != nil {
		return o, err
	}
	switch {
	case f.NArg() > 0:
		return o, fmt.Errorf("argument %q: only flags are taken", f.Arg(0))
	case o.out == "":
		return o, fmt.Errorf("-out: a file to write is needed")
	}
	return o, nil
}

// write makes all files before it writes the first.
func write(o options) error {
	layer, err := invent.Grid(o.grid)
	if err != nil {
		return err
	}
	files, err := encode(layer, o.format, o.out)
	if err != nil {
		return err
	}
	for path, data := range files {
		if err := os.WriteFile(path, data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// encode returns the files of a layer by their paths.
func encode(layer *invent.Layer, format, path string) (map[string][]byte, error) {
	stem := strings.TrimSuffix(path, filepath.Ext(path))
	switch format {
	case "shp":
		system, err := crs.Parse(fmt.Sprintf("EPSG:%d", layer.EPSG))
		if err != nil {
			return nil, err
		}
		var shp, shx, dbf bytes.Buffer
		err = shapefile.Write(&shp, &shx, &dbf, &layer.Shapes, layer.Columns())
		return map[string][]byte{
			stem + ".shp": shp.Bytes(), stem + ".shx": shx.Bytes(), stem + ".dbf": dbf.Bytes(),
			stem + ".prj": []byte(system.WKT()), stem + ".cpg": []byte(shapefile.CPG),
		}, err
	case "geojson":
		if layer.EPSG != 4326 {
			return nil, fmt.Errorf("-epsg %d: GeoJSON is in lon/lat, EPSG 4326", layer.EPSG)
		}
		var buf bytes.Buffer
		id := func(row int) int64 { return int64(row) + 1 }
		err := geojson.Write(&buf, filepath.Base(stem), &layer.Shapes, id, layer.Columns())
		return map[string][]byte{path: buf.Bytes()}, err
	}
	return nil, fmt.Errorf("-format %q: want shp or geojson", format)
}

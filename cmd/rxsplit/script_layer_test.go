package main

import (
	"bytes"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
	"github.com/rogpeppe/go-internal/testscript"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/geo/geojson"
	"rxsplit/geo/invent"
	"rxsplit/geo/shapefile"
)

// writeLayer writes an invented layer: layer KIND FILE OPT...
//
//	KIND     four (40, 60, 45 and 15 acres at 100, 180, 250 and 300 lb/ac),
//	         small (these and something of everything), grid or demo
//	FILE     ends in .shp, .zip or .geojson
//	OPT      epsg=N, seed=N, cells=N, field=NAME and decimals=N (of the rates),
//	         fields=1 (the rates alone),
//	         at=N (so many steps of 0.02 degrees further east, of four zones),
//	         rates=LIST (of the first records; null is none), empty=N (record without a polygon)
func writeLayer(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: layer KIND FILE OPT...")
	}
	o := layerOptions{kind: args[0], epsg: 4326, cells: 100, field: invent.RateField}
	for _, arg := range args[2:] {
		name, value, _ := strings.Cut(arg, "=")
		ts.Check(o.set(name, value))
	}
	l, err := o.layer()
	ts.Check(err)
	columns := l.Columns()
	columns[0] = o.rateColumn(l.Rates)
	if o.fields > 0 {
		columns = columns[:o.fields]
	}
	path := ts.MkAbs(args[1])
	files, err := encodeLayer(path, l, columns)
	ts.Check(err)
	for name, data := range files {
		ts.Check(os.WriteFile(name, data, 0o666))
	}
}

type layerOptions struct {
	kind  string
	epsg  int
	at    int
	seed  uint64
	cells int
	field string
	rates []float64
	empty []int // records, from 1

	decimals int
	fields   int
}

// rateColumn is a column of rates, empty where a rate is NaN.
func (o *layerOptions) rateColumn(rates []float64) geo.Column {
	text := func(dst []byte, row int) []byte {
		if math.IsNaN(rates[row]) {
			return dst
		}
		return strconv.AppendFloat(dst, rates[row], 'f', o.decimals, 64)
	}
	return geo.Column{Name: o.field, Width: 6 + o.decimals, Decimals: o.decimals, Text: text, JSON: func(dst []byte, row int) []byte {
		if math.IsNaN(rates[row]) {
			return append(dst, "null"...)
		}
		return text(dst, row)
	}}
}

func (o *layerOptions) set(name, value string) (err error) {
	switch name {
	case "epsg":
		o.epsg, err = strconv.Atoi(value)
	case "at":
		o.at, err = strconv.Atoi(value)
	case "seed":
		o.seed, err = strconv.ParseUint(value, 10, 64)
	case "cells":
		o.cells, err = strconv.Atoi(value)
	case "field":
		o.field = value
	case "decimals":
		o.decimals, err = strconv.Atoi(value)
	case "fields":
		o.fields, err = strconv.Atoi(value)
	case "empty":
		var n int
		n, err = strconv.Atoi(value)
		o.empty = append(o.empty, n)
	case "rates":
		for word := range strings.SplitSeq(value, ",") {
			rate := math.NaN()
			if word != "null" {
				rate, err = strconv.ParseFloat(word, 64)
			}
			o.rates = append(o.rates, rate)
		}
	default:
		err = fmt.Errorf("layer has no option %s", name)
	}
	return err
}

func (o *layerOptions) layer() (l *invent.Layer, err error) {
	switch o.kind {
	case "four", "small":
		l = invent.FourZones()
		if o.kind == "small" {
			l = smallZones()
		}
		for i := range l.Shapes.Points {
			l.Shapes.Points[i][0] += 0.02 * float64(o.at)
		}
		err = reproject(l, o.epsg)
	case "grid":
		l, err = invent.Grid(invent.GridOptions{Seed: o.seed, EPSG: o.epsg, Cells: o.cells})
	case "demo":
		l, err = invent.Demo(o.epsg)
	default:
		err = fmt.Errorf("no layer is of the kind %s", o.kind)
	}
	if err != nil {
		return nil, err
	}
	copy(l.Rates, o.rates)
	l.Shapes = without(&l.Shapes, o.empty)
	return l, nil
}

// reproject moves a layer from lon/lat to another system.
func reproject(l *invent.Layer, epsg int) error {
	system, err := crs.Parse(fmt.Sprintf("EPSG:%d", epsg))
	if err != nil || epsg == l.EPSG {
		return err
	}
	l.EPSG = epsg
	return system.FromLonLat(l.Shapes.Points, l.Shapes.Points)
}

func without(s *geo.Shapes, records []int) geo.Shapes {
	var out geo.Shapes
	for i := range s.Len() {
		var shape orb.MultiPolygon
		if !slices.Contains(records, i+1) {
			shape = s.Shape(i)
		}
		out.Append(shape)
	}
	return out
}

// encodeLayer returns the files of a layer by their paths.
func encodeLayer(path string, l *invent.Layer, columns []geo.Column) (map[string][]byte, error) {
	ext := filepath.Ext(path)
	stem := strings.TrimSuffix(path, ext)
	if ext == ".geojson" {
		var buf bytes.Buffer
		id := func(row int) int64 { return int64(row) + 1 }
		err := geojson.Write(&buf, filepath.Base(stem), &l.Shapes, id, columns)
		return map[string][]byte{path: buf.Bytes()}, err
	}
	system, err := crs.Parse(fmt.Sprintf("EPSG:%d", l.EPSG))
	if err != nil {
		return nil, err
	}
	var shp, shx, dbf bytes.Buffer
	if err := shapefile.Write(&shp, &shx, &dbf, &l.Shapes, columns); err != nil {
		return nil, err
	}
	parts := map[string][]byte{
		stem + ".shp": shp.Bytes(), stem + ".shx": shx.Bytes(), stem + ".dbf": dbf.Bytes(),
		stem + ".prj": []byte(system.WKT()), stem + ".cpg": []byte(shapefile.CPG),
	}
	switch ext {
	case ".shp":
		return parts, nil
	case ".zip":
		var entries []entry
		for _, name := range slices.Sorted(maps.Keys(parts)) {
			entries = append(entries, entry{filepath.Base(name), parts[name]})
		}
		data, err := zipped(entries)
		return map[string][]byte{path: data}, err
	}
	return nil, fmt.Errorf("%s: a layer ends in .shp, .zip or .geojson", path)
}

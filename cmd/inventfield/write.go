package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rxsplit/geo/crs"
	"rxsplit/geo/geojson"
	"rxsplit/geo/invent"
	"rxsplit/geo/shapefile"
)

// file is a file to write, in memory until all of them are made.
type file struct {
	path string
	data []byte
}

func write(o options) error {
	layer, err := o.layer()
	if err != nil {
		return err
	}
	files, err := encode(layer, o.format, o.out)
	if err != nil {
		return err
	}
	for _, f := range files {
		if err := os.WriteFile(f.path, f.data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// encode returns the files of a layer in a format.
func encode(layer *invent.Layer, format, path string) ([]file, error) {
	stem := strings.TrimSuffix(path, filepath.Ext(path))
	switch format {
	case "shp":
		return parts(layer, stem)
	case "zip":
		files, err := parts(layer, filepath.Base(stem))
		if err != nil {
			return nil, err
		}
		data, err := pack(files)
		return []file{{path, data}}, err
	case "geojson":
		data, err := features(layer, filepath.Base(stem))
		return []file{{path, data}}, err
	}
	return nil, fmt.Errorf("-format %q: want shp, zip or geojson", format)
}

// parts returns the files of a shapefile.
func parts(layer *invent.Layer, stem string) ([]file, error) {
	system, err := crs.Parse(fmt.Sprintf("EPSG:%d", layer.EPSG))
	if err != nil {
		return nil, err
	}
	columns := layer.Columns()
	names, named := layer.NameColumn()
	if named {
		columns = append(columns, names)
	}
	var shp, shx, dbf bytes.Buffer
	if err := shapefile.Write(&shp, &shx, &dbf, &layer.Shapes, columns); err != nil {
		return nil, err
	}
	if named {
		declareText(dbf.Bytes(), len(columns)-1)
	}
	return []file{
		{stem + ".shp", shp.Bytes()},
		{stem + ".shx", shx.Bytes()},
		{stem + ".dbf", dbf.Bytes()},
		{stem + ".prj", []byte(system.WKT())},
		{stem + ".cpg", []byte(shapefile.CPG)},
	}, nil
}

// declareText makes a field of a DBF one of characters: the writer knows numbers
// only. Field descriptors of 32 bytes follow a header of 32; byte 11 is the type.
func declareText(dbf []byte, field int) { dbf[32+32*field+11] = 'C' }

// pack returns a zip archive of files, all of them of the same fixed time.
func pack(files []file) ([]byte, error) {
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for _, f := range files {
		w, err := z.CreateHeader(&zip.FileHeader{
			Name:     f.path,
			Method:   zip.Deflate,
			Modified: time.Date(2026, time.January, 1, 0, 0, 0, 0, time.UTC),
		})
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(f.data); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return buf.Bytes(), nil
}

// features returns a layer as GeoJSON, which is in lon/lat on WGS 84.
func features(layer *invent.Layer, name string) ([]byte, error) {
	if layer.EPSG != 4326 {
		return nil, fmt.Errorf("-epsg %d: GeoJSON is in lon/lat, EPSG 4326", layer.EPSG)
	}
	columns := layer.Columns()
	if names, ok := layer.NameColumn(); ok {
		columns = append(columns, names)
	}
	var buf bytes.Buffer
	id := func(row int) int64 { return int64(row) + 1 }
	err := geojson.Write(&buf, name, &layer.Shapes, id, columns)
	return buf.Bytes(), err
}

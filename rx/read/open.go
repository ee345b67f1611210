// Package read turns a file into a prescription: its fields, units, coordinates
// and rings. Every oddity that it survives becomes a finding; what can't be read
// is an error that lists every bad record.
package read

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/geo/geojson"
	"rxsplit/geo/shapefile"
	"rxsplit/rx"
)

// FileOptions say how a file is to be opened.
type FileOptions struct {
	Stdin   io.Reader        // read when the path is "-"
	Layer   string           // which shapefile of an archive; empty if there is just one
	CRS     string           // overrides what the file says: "EPSG:26915"
	Archive shapefile.Limits // the zero value takes the defaults
	Folders *Folders         // shared by the files of one run; may be nil
	Context context.Context  // cancels the reading; nil for never
}

// File is an opened file: what it holds, before anybody asks for rates.
type File struct {
	Source   rx.Source
	Layer    *geo.Layer
	System   crs.System
	LonLat   *geo.Shapes // WGS 84; the layer's own where no conversion is needed
	Findings []rx.Finding
}

// zipped is the format of a shapefile in an archive.
const zipped = "zipped shapefile"

// Error is a reason why a file can't be used, with what to do about it.
type Error struct {
	File string // base name
	What string
	Hint string
	Err  error // what lies behind it, if anything
}

func (e *Error) Error() string { return e.File + ": " + e.What }

// Unwrap returns what lies behind the error.
func (e *Error) Unwrap() error { return e.Err }

// Open reads a whole file and brings its coordinates to longitude and latitude.
// The format follows from the name's ending or, where that tells nothing, from
// the first bytes. Errors are [*Error], [*geo.BadFileError] or what the system
// said when it could not read.
func Open(path string, opt FileOptions) (*File, error) {
	f, err := decode(path, opt)
	if err != nil {
		return nil, err
	}
	if err := f.locate(opt.CRS); err != nil {
		return nil, err
	}
	f.remark()
	return f, nil
}

func decode(path string, opt FileOptions) (*File, error) {
	if path == "-" {
		return decodeGeoJSON(opt.Context, path, "standard input", opt.Stdin)
	}
	switch strings.ToLower(filepath.Ext(path)) {
	case ".shp":
		return decodeShapefile(path, opt)
	case ".zip":
		return decodeArchive(path, opt)
	case ".geojson", ".json":
		return decodeGeoJSONFile(opt.Context, path)
	case ".dbf", ".shx", ".prj", ".cpg":
		return nil, &Error{File: filepath.Base(path), What: "is one part of a shapefile", Hint: "name the .shp that it belongs to"}
	}
	head, err := firstBytes(path)
	switch {
	case err != nil:
		return nil, err
	case bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return decodeArchive(path, opt)
	case bytes.HasPrefix(bytes.TrimLeft(head, " \t\r\n\ufeff"), []byte("{")):
		return decodeGeoJSONFile(opt.Context, path)
	}
	return nil, &Error{
		File: filepath.Base(path),
		What: "is no prescription that can be read",
		Hint: "give a shapefile (.shp, or a .zip of one) or GeoJSON (.geojson, .json)",
	}
}

func decodeGeoJSONFile(ctx context.Context, path string) (f *File, err error) {
	err = reading(path, func(file *os.File, _ int64) error {
		f, err = decodeGeoJSON(ctx, path, filepath.Base(path), file)
		return err
	})
	return f, err
}

func decodeGeoJSON(ctx context.Context, path, name string, r io.Reader) (*File, error) {
	hash := newHash()
	layer, err := geojson.Decode(&hashed{r, hash, ctx}, name)
	if err != nil {
		hash.close()
		return nil, err
	}
	if _, err := io.Copy(hash, r); err != nil { // what stands behind the last bracket
		hash.close()
		return nil, err
	}
	sum, size := hash.close()
	return &File{
		Layer: layer,
		Source: rx.Source{
			Path: path, Name: name, Layer: layer.Name, Format: layer.Format, Records: layer.Shapes.Len(),
			Files: []rx.SourceFile{{Name: name, SHA256: sum, Size: size}},
		},
	}, nil
}

func decodeShapefile(path string, opt FileOptions) (*File, error) {
	parts, files, err := readParts(path, opt.Folders)
	if err != nil {
		return nil, err
	}
	sums := make(chan []rx.SourceFile, 1)
	go func() { sums <- digest(files) }()
	layer, err := shapefile.Decode(parts)
	if err != nil {
		<-sums
		return nil, err
	}
	return &File{
		Layer: layer,
		Source: rx.Source{
			Path: path, Name: filepath.Base(path), Layer: layer.Name, Format: layer.Format,
			Records: layer.Shapes.Len(), Files: <-sums,
		},
	}, nil
}

func decodeArchive(path string, opt FileOptions) (*File, error) {
	data, err := readAll(path)
	if err != nil {
		return nil, err
	}
	limits := opt.Archive
	if limits == (shapefile.Limits{}) {
		limits = shapefile.DefaultLimits()
	}
	parts, err := shapefile.Unzip(bytes.NewReader(data), int64(len(data)), opt.Layer, limits)
	if err != nil {
		return nil, inFile(filepath.Base(path), err)
	}
	name := filepath.Base(path)
	layer, err := shapefile.Decode(parts)
	if err != nil {
		return nil, inFile(name, err)
	}
	return &File{
		Layer: layer,
		Source: rx.Source{
			Path: path, Name: name, Layer: layer.Name, Format: zipped, Records: layer.Shapes.Len(),
			Files: digest([]part{{name, data}}),
		},
	}, nil
}

// inFile names the archive before an error that speaks of its inside.
func inFile(name string, err error) error {
	var bad *geo.BadFileError
	if errors.As(err, &bad) {
		inside := *bad
		inside.File = name + ": " + bad.File
		return &inside
	}
	return fmt.Errorf("%s: %w", name, err)
}

// tableName returns the name of the part that holds the fields, for messages.
func (f *File) tableName() string {
	switch f.Source.Format {
	case "shapefile":
		return f.Layer.Name + ".dbf"
	case zipped:
		return f.Source.Name + ": " + f.Layer.Name + ".dbf"
	}
	return f.Source.Name
}

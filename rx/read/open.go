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
	"io/fs"
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
	Stdin   io.Reader        // read when the path is "-"; nil where that is refused
	As      string           // the base name that it had; empty for its own. Findings and sheets go by it
	Layer   string           // which shapefile of an archive, or which task; empty if there is just one
	CRS     string           // overrides what the file says: "EPSG:26915"
	Archive shapefile.Limits // the zero value takes the defaults
	Folders *Folders         // shared by the files of one run; may be nil
	Context context.Context  // cancels the reading; nil for never

	points bool // a log is opened: points will do as well as polygons
}

// File is an opened file: what it holds, before anybody asks for rates.
type File struct {
	Source   rx.Source
	Layer    *geo.Layer
	System   crs.System
	LonLat   *geo.Shapes // WGS 84; the layer's own where no conversion is needed
	Findings []rx.Finding

	format *format
}

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
	if opt.As != "" {
		f.call(opt.As)
	}
	if err := f.locate(opt.CRS); err != nil {
		return nil, err
	}
	f.remark()
	return f, nil
}

// call gives a file the name that it had, and its layer too where that goes by the file's:
// the layer of an archive has a name of its own.
func (f *File) call(name string) {
	if f.format.file == "" && (f.format.table == "" || len(f.format.parts) > 0) {
		f.Layer.Name = strings.TrimSuffix(name, filepath.Ext(name))
	}
	f.Source.Name, f.Source.Layer = name, f.Layer.Name
}

func decode(path string, opt FileOptions) (*File, error) {
	if main := TaskData(path); main != "" {
		path = main
	}
	format, err := formatOf(path)
	if err != nil {
		return nil, err
	}
	f, err := format.decode(path, opt)
	if err != nil {
		return nil, err
	}
	if f.format == nil { // an archive may hold another
		f.format = format
	} else {
		format = f.format
	}
	f.Source.Path, f.Source.Format, f.Source.Layer, f.Source.Records = path, format.name, f.Layer.Name, f.Layer.Shapes.Len()
	return f, nil
}

func decodeGeoJSON(path string, opt FileOptions) (f *File, err error) {
	switch {
	case path == "-" && opt.Stdin == nil:
		return nil, &Error{File: path, What: "standard input is read as a prescription alone", Hint: "give a file"}
	case path == "-":
		return geoJSONFrom(opt.Stdin, "standard input", opt)
	}
	err = reading(path, func(file *os.File, size int64) error {
		if err := enough(filepath.Base(path), size, timesAny); err != nil {
			return err
		}
		f, err = geoJSONFrom(file, filepath.Base(path), opt)
		return err
	})
	return f, err
}

func geoJSONFrom(r io.Reader, name string, opt FileOptions) (*File, error) {
	decode := geojson.Decode
	if opt.points {
		var points bool
		if r, points = headOf(r); points {
			decode = geojson.DecodePoints
		}
	}
	hash := newHash()
	layer, err := decode(&hashed{r, hash, opt.Context}, name)
	if err == nil {
		_, err = io.Copy(hash, r) // what stands behind the last bracket
	}
	sum, size := hash.close()
	if err != nil {
		return nil, err
	}
	return &File{Layer: layer, Source: rx.Source{Name: name, Files: []rx.SourceFile{{Name: name, SHA256: sum, Size: size}}}}, nil
}

func decodeShapefile(path string, opt FileOptions) (*File, error) {
	parts, files, err := readParts(path, opt.Folders)
	if err != nil {
		return nil, err
	}
	sums := make(chan []rx.SourceFile, 1)
	go func() { sums <- digest(files) }()
	layer, err := opt.shapes(parts)
	if err != nil {
		<-sums
		return nil, err
	}
	return &File{Layer: layer, Source: rx.Source{Name: filepath.Base(path), Files: <-sums}}, nil
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
	if holdsTaskData(data) {
		return unzipTaskData(filepath.Base(path), data, opt, limits)
	}
	name := filepath.Base(path)
	parts, err := shapefile.Unzip(bytes.NewReader(data), int64(len(data)), opt.Layer, limits, roomFor)
	if err != nil {
		return nil, inFile(name, err)
	}
	layer, err := opt.shapes(parts)
	if err != nil {
		return nil, inFile(name, err)
	}
	return &File{Layer: layer, Source: rx.Source{Name: name, Files: digest([]part{{name, data}})}}, nil
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
	inside := f.Layer.Name + f.format.table
	switch {
	case f.format.table == "":
		return f.Source.Name
	case len(f.format.parts) > 0:
		return inside
	}
	return f.Source.Name + ": " + inside
}

// shapes decodes the parts of a shapefile, of points where a log is opened and it holds them.
func (opt FileOptions) shapes(parts shapefile.Files) (*geo.Layer, error) {
	if opt.points && shapefile.HoldsPoints(parts.Shp) {
		return shapefile.DecodePoints(parts)
	}
	return shapefile.Decode(parts)
}

// headOf reports whether the first geometry of a GeoJSON text is a point, and returns a
// reader of all of the text.
func headOf(r io.Reader) (whole io.Reader, points bool) {
	head := make([]byte, 1<<16)
	n, _ := io.ReadFull(r, head) // what is wrong shows again when the rest is read
	head = head[:n]
	point, polygon := bytes.Index(head, []byte(`"Point"`)), bytes.Index(head, []byte(`Polygon"`))
	return &rejoined{Reader: io.MultiReader(bytes.NewReader(head), r), from: r}, point >= 0 && (polygon < 0 || point < polygon)
}

// rejoined is a text whose head was looked at. It is as long as what it is read from.
type rejoined struct {
	io.Reader
	from io.Reader
}

// Stat describes the file that is read; a stream has none.
func (r *rejoined) Stat() (fs.FileInfo, error) {
	if file, ok := r.from.(interface{ Stat() (fs.FileInfo, error) }); ok {
		return file.Stat()
	}
	return nil, fs.ErrInvalid
}

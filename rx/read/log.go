package read

import (
	"bytes"
	"cmp"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/geo/track"
	"rxsplit/internal/each"
	"rxsplit/rx"
)

// logFile is a machine's log as it was read.
type logFile struct {
	Source rx.Source
	Log    *track.Log
	Swaths *geo.Shapes // lon/lat, one of each row, where the log holds polygons; nil for points
}

// Log reads a log: points or swath polygons in a shapefile or GeoJSON, points in CSV, or the
// time logs of task data. Every
// bad record is told in one [*geo.BadFileError].
func Log(path string, m *LogMap, opt FileOptions) (*logFile, error) {
	if isCSV(path) {
		return csvLog(path, m, opt)
	}
	switch logs, err := openTaskLogs(path, opt); {
	case err != nil:
		return nil, err
	case logs != nil:
		return logs.log(m)
	}
	f, err := openLog(path, opt)
	if err != nil {
		return nil, err
	}
	fields := f.Layer.Attributes.Fields()
	names := each.Of(fields, func(field geo.Field) string { return field.Name })
	r, err := newRowReader(f.Source.Name, names, m)
	if err != nil {
		return nil, err
	}
	out := &logFile{Source: f.Source}
	shapes := f.LonLat
	for i := range shapes.Len() {
		if shapes.Empty(i) {
			r.drop("no-place", i)
			continue
		}
		before := len(r.log.Rows)
		r.add(i, firstPoint(shapes, i), func(column int) string { return string(f.Layer.Attributes.Cell(i, column).Text) })
		if ring, _ := shapes.ShapeRings(i); len(r.log.Rows) > before && len(shapes.Ring(ring)) > 1 {
			if out.Swaths == nil {
				out.Swaths = &geo.Shapes{}
			}
			out.Swaths.Append(shapes.Shape(i))
		}
	}
	if out.Log, err = r.done(); err != nil {
		return nil, err
	}
	if out.Swaths != nil && out.Swaths.Len() != len(out.Log.Rows) {
		return nil, &Error{File: f.Source.Name, What: "holds points and polygons together", Hint: "give logs of points and of swaths one by one"}
	}
	return out, nil
}

// openLog opens a shapefile or GeoJSON of points or polygons.
func openLog(path string, opt FileOptions) (*File, error) {
	opt.points = true
	f, err := Open(path, opt)
	var own *Error
	if errors.As(err, &own) && strings.Contains(own.What, "no prescription") {
		return nil, &Error{File: own.File, What: "is no log that can be read", Hint: "give points or swath polygons: a shapefile (.shp, or a .zip of one), GeoJSON (.geojson, .json) or CSV (" + Table + ")"}
	}
	return f, err
}

// csvFile is an open CSV.
type csvFile struct {
	reader *csv.Reader
	names  []string
}

func isCSV(path string) bool {
	switch strings.ToLower(filepath.Ext(path)) {
	case Table, ".txt", ".tsv":
		return true
	}
	return false
}

// readCSV has a CSV read whole, with its digest.
func readCSV(path string, ctx context.Context, read func(c *csvFile) error) (rx.Source, error) {
	name := filepath.Base(path)
	source := rx.Source{Path: path, Name: name, Layer: strings.TrimSuffix(name, filepath.Ext(name)), Format: "CSV"}
	err := reading(path, func(file *os.File, size int64) error {
		if err := enough(filepath.Base(path), size, timesAny); err != nil {
			return err
		}
		hash := newHash()
		in := &hashed{file, hash, ctx}
		c, err := openCSV(in, name)
		if err == nil {
			err = read(c)
		}
		sum, size := hash.close()
		source.Files = []rx.SourceFile{{Name: name, SHA256: sum, Size: size}}
		return err
	})
	return source, err
}

// openCSV reads the line of names. What separates cells is what that line has most of.
func openCSV(r io.Reader, name string) (*csvFile, error) {
	head := make([]byte, 1<<16)
	n, err := io.ReadFull(r, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return nil, err
	}
	whole := io.MultiReader(bytes.NewReader(bytes.TrimPrefix(head[:n], []byte("\xef\xbb\xbf"))), r)
	line, _, _ := bytes.Cut(head[:n], []byte("\n"))
	if !utf8.Valid(line) || bytes.IndexByte(line, 0) >= 0 {
		return nil, &Error{File: name, What: "is no CSV in UTF-8", Hint: "save it as CSV in UTF-8"}
	}
	c := &csvFile{reader: csv.NewReader(whole)}
	c.reader.ReuseRecord = true
	for _, mark := range []rune{',', ';', '\t'} {
		if bytes.Count(line, []byte(string(mark))) > bytes.Count(line, []byte(string(c.reader.Comma))) {
			c.reader.Comma = mark
		}
	}
	names, err := c.reader.Read()
	if err != nil {
		return nil, &Error{File: name, What: "has no line of column names", Hint: "the first line of a CSV names its columns"}
	}
	for _, column := range names {
		c.names = append(c.names, strings.TrimSpace(column))
	}
	return c, nil
}

// each calls use for the records of a CSV, from 0.
func (c *csvFile) each(name string, use func(i int, cells []string)) error {
	for i := 0; ; i++ {
		cells, err := c.reader.Read()
		switch wrong := (*csv.ParseError)(nil); {
		case errors.Is(err, io.EOF):
			return nil
		case errors.As(err, &wrong):
			return &Error{File: name, What: fmt.Sprintf("line %d: %v", wrong.Line, wrong.Err), Hint: "every line has as many cells as the first one has names; the last line may be cut short", Err: err}
		case err != nil:
			return err
		}
		use(i, cells)
	}
}

// csvSystem is the coordinate system of a CSV: the one that was asked for, or that of its map;
// lon/lat where nobody says one.
func csvSystem(name string, m *LogMap, asked string) (crs.System, error) {
	system := crs.WGS84()
	if m.Columns.Lon == "" {
		return system, &Error{File: name, What: "is CSV, and the map names no columns for its places", Hint: "give columns: lon and lat"}
	}
	if said := cmp.Or(asked, m.CRS); said != "" {
		var err error
		if system, err = crs.Parse(said); err != nil {
			return system, &Error{File: "crs", What: whySystem(err), Hint: "name the system by its EPSG code, such as EPSG:26915", Err: err}
		}
	}
	return system, nil
}

func csvLog(path string, m *LogMap, opt FileOptions) (*logFile, error) {
	name := filepath.Base(path)
	system, err := csvSystem(name, m, opt.CRS)
	if err != nil {
		return nil, err
	}
	out := &logFile{}
	var r *rowReader
	out.Source, err = readCSV(path, opt.Context, func(c *csvFile) error {
		if r, err = newRowReader(name, c.names, m); err != nil {
			return err
		}
		return c.each(name, func(i int, cells []string) {
			r.add(i, r.place(i, cells, system), func(column int) string { return cells[column] })
		})
	})
	if err != nil {
		return nil, err
	}
	out.Source.Records = len(r.log.Rows)
	out.Log, err = r.done()
	return out, err
}

// place reads a place in the columns of a CSV; 0, 0 is none.
func (r *rowReader) place(record int, cells []string, system crs.System) orb.Point {
	var p orb.Point
	for k, column := range []int{r.at.lon, r.at.lat} {
		text := strings.TrimSpace(cells[column])
		if text == "" {
			return orb.Point{}
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || v-v != 0 {
			r.blame(record, column, text, "is not a number")
			return orb.Point{}
		}
		p[k] = v
	}
	at := []orb.Point{p}
	if p == (orb.Point{}) || system.ToLonLat(at, at) != nil {
		return orb.Point{}
	}
	return at[0]
}

// firstPoint returns the first point of a record that has one.
func firstPoint(s *geo.Shapes, i int) orb.Point {
	ring, _ := s.ShapeRings(i)
	return s.Ring(ring)[0]
}

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
	if !isCSV(path) {
		switch logs, err := openTaskLogs(path, opt, m.wanted()); {
		case err != nil:
			return nil, err
		case logs != nil:
			return logs.log(m)
		}
	}
	return rowsOf(path, m, opt)
}

// rowsOf reads the rows of a log and, where it holds polygons, their swaths.
func rowsOf(path string, m *LogMap, opt FileOptions) (*logFile, error) {
	out := &logFile{}
	var r *rowReader
	source, err := eachRecord(path, m, opt, func(name string, names []string) (_ *rowReader, err error) {
		r, err = newRowReader(name, names, m)
		return r, err
	}, func(shapes *geo.Shapes, i int, p orb.Point, cell func(int) string) {
		before := len(r.log.Rows)
		r.add(i, p, cell)
		if shapes == nil || len(r.log.Rows) == before {
			return
		}
		if ring, _ := shapes.ShapeRings(i); len(shapes.Ring(ring)) > 1 {
			if out.Swaths == nil {
				out.Swaths = &geo.Shapes{}
			}
			out.Swaths.Append(shapes.Shape(i))
		}
	})
	if err != nil {
		return nil, err
	}
	if out.Source = source; source.Records == 0 { // a CSV is read to its end first
		out.Source.Records = len(r.log.Rows)
	}
	out.Log, err = r.done()
	return out, err
}

// eachRecord reads a log or a file of points: start takes the names of the columns, then use each
// record, with its first point, 0, 0 for none, and with all shapes where the file is no CSV.
func eachRecord(path string, m *LogMap, opt FileOptions, start func(name string, names []string) (*rowReader, error), use func(shapes *geo.Shapes, i int, p orb.Point, cell func(int) string)) (rx.Source, error) {
	if isCSV(path) {
		name := filepath.Base(path)
		system, err := csvSystem(name, m, opt.CRS)
		if err != nil {
			return rx.Source{}, err
		}
		return readCSV(path, opt.Context, func(c *csvFile) error {
			r, err := start(name, c.names)
			if err != nil {
				return err
			}
			return c.each(name, func(i int, cells []string) {
				use(nil, i, r.place(i, cells, system), func(column int) string { return cells[column] })
			})
		})
	}
	f, err := openLog(path, opt)
	if err != nil {
		return rx.Source{}, err
	}
	if _, err := start(f.Source.Name, f.fieldNames()); err != nil {
		return f.Source, err
	}
	for i := range f.LonLat.Len() {
		var p orb.Point
		if !f.LonLat.Empty(i) {
			p = firstPoint(f.LonLat, i)
		}
		use(f.LonLat, i, p, func(column int) string { return string(f.Layer.Attributes.Cell(i, column).Text) })
	}
	return f.Source, nil
}

// fieldNames lists the names of the file's fields.
func (f *File) fieldNames() []string {
	return each.Of(f.Layer.Attributes.Fields(), func(field geo.Field) string { return field.Name })
}

// openLog opens a shapefile or GeoJSON of points or polygons.
func openLog(path string, opt FileOptions) (*File, error) {
	opt.points = true
	f, err := Open(path, opt)
	var own *Error
	if errors.As(err, &own) && strings.Contains(own.What, "no prescription") {
		return nil, &Error{File: own.File, What: "is no log that can be read", Hint: "give points or swath polygons: a shapefile (.shp, or a .zip of one), GeoJSON (.geojson, .json) or CSV (" + Table + ")"}
	}
	if err == nil {
		err = f.OnOneSide("swath")
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

// place reads a place in the columns of a CSV; 0, 0 is none.
func (r *rowReader) place(record int, cells []string, system crs.System) orb.Point {
	var p orb.Point
	for k, column := range []int{r.at.lon, r.at.lat} {
		text := strings.TrimSpace(cells[column])
		if text == "" {
			return orb.Point{}
		}
		v, ok := number([]byte(text))
		if !ok {
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

package write

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/geojson"

	"rxsplit/internal/cores"
)

// readGeoJSONTwice reads a GeoJSON with go-geom's decoder, which stands on encoding/json,
// on all cores: a feature a line, as it was written.
func readGeoJSONTwice(file io.Reader, name string, want table) []Mismatch {
	s := secondReading{comparison: comparison{file: name, cells: name, want: want}, reader: "go-geom", shells: orb.CCW, records: readTwice(want.shapes)}
	lines := bufio.NewScanner(file)
	lines.Buffer(nil, longestLine(want, s.records))
	if lines.Scan(); !isHead(lines.Bytes()) {
		return []Mismatch{s.mismatch(name, -1, "does not begin as a FeatureCollection")}
	}
	text := make([][]byte, 0, s.records)
	for len(text) < s.records && lines.Scan() {
		text = append(text, bytes.Clone(lines.Bytes()))
	}
	found := cores.Collect(s.records, linesAtOnce, func(from, to int) []Mismatch { return s.features(from, to, text) })
	found = found[:min(len(found), mostTold)]
	if s.records == want.rows && (!lines.Scan() || lines.Text() != "]}" || lines.Scan()) && len(found) == 0 {
		found = append(found, s.mismatch(name, -1, "does not end behind its last feature"))
	}
	return found
}

// linesAtOnce is how many features one core takes at a time: few enough that some dozens
// of large zones keep all cores at work.
const linesAtOnce = 16

// longestLine bounds a line that is read: two numbers of 24 characters a vertex and what is
// between them, and twice what names and numbers of the columns take.
func longestLine(want table, records int) int {
	longest := 0
	for row := range records {
		longest = max(longest, verticesOf(want.shapes, row))
	}
	return 1<<16 + 64*longest + 1024*len(want.cols)
}

// isHead reports whether a text is that of a FeatureCollection on WGS 84, lon/lat, as far as
// its first feature.
func isHead(line []byte) bool {
	var head struct {
		Type     string
		CRS      any
		Features []any
	}
	err := json.Unmarshal(append(bytes.Clone(line), "]}"...), &head)
	return err == nil && head.Type == "FeatureCollection" && head.CRS == nil && head.Features != nil
}

// features compares the lines of the rows from and up to the end.
func (s *secondReading) features(from, to int, lines [][]byte) (found []Mismatch) {
	for row := from; row < to && len(found) < mostTold; row++ {
		if row >= len(lines) {
			return append(found, s.mismatch(s.file, row, "has no line of its own"))
		}
		line := lines[row]
		if row+1 < s.want.rows {
			cut, comma := bytes.CutSuffix(line, []byte(","))
			if !comma {
				found = append(found, s.mismatch(s.file, row, "does not end in a comma"))
			}
			line = cut
		}
		var f geojson.Feature
		if err := f.UnmarshalJSON(line); err != nil {
			found = append(found, s.mismatch(s.file, row, "can't be read: %v", err))
			continue
		}
		for _, why := range s.feature(row, &f) {
			found = append(found, s.mismatch(s.file, row, "%s", why))
		}
	}
	return found
}

func (s *secondReading) feature(row int, f *geojson.Feature) (whys []string) {
	if want := strconv.FormatInt(s.want.id(row), 10); f.ID != want {
		whys = append(whys, fmt.Sprintf("its id is %q, want %q", f.ID, want))
	}
	rings, why := s.geometry(row, f.Geometry)
	if why == "" {
		why = s.rings(row, rings)
	}
	if why != "" {
		whys = append(whys, why)
	}
	if len(f.Properties) != len(s.want.cols) {
		whys = append(whys, fmt.Sprintf("it has %d properties, want %d", len(f.Properties), len(s.want.cols)))
	}
	var buf []byte
	for i, c := range s.want.cols {
		got, there := f.Properties[c.Name]
		buf = c.JSON(buf[:0], row)
		v, isNumber := got.(float64)
		if want, ok := parsed(buf); !there || isNumber != ok || isNumber && v != want || !isNumber && got != nil {
			whys = append(whys, fmt.Sprintf("%s is %v, want %s", c.Name, got, buf))
		}
		if isNumber && i == len(s.want.cols)-1 {
			if why := s.area(row, v); why != "" {
				whys = append(whys, why)
			}
		}
	}
	return whys
}

// geometry returns the rings of all polygons in turn.
func (s *secondReading) geometry(row int, g geom.T) (rings [][]float64, why string) {
	first, end := s.want.shapes.PolySpan(row)
	var polygons [][]int // the ends of each one's rings
	switch g := g.(type) {
	case nil:
		return nil, ""
	case *geom.Polygon:
		polygons = [][]int{g.Ends()}
	case *geom.MultiPolygon:
		polygons = g.Endss()
	default:
		return nil, "its geometry is " + strings.TrimPrefix(fmt.Sprintf("%T", g), "*geom.")
	}
	if g.Layout() != geom.XY || len(polygons) != end-first {
		return nil, fmt.Sprintf("it has %d polygons of %v, want %d of XY", len(polygons), g.Layout(), end-first)
	}
	at := 0
	for i, ends := range polygons {
		if from, to := s.want.shapes.RingSpan(first + i); len(ends) != to-from {
			return nil, fmt.Sprintf("polygon %d has %d rings, want %d", i+1, len(ends), to-from)
		}
		for _, end := range ends {
			rings = append(rings, g.FlatCoords()[at:end])
			at = end
		}
	}
	return rings, ""
}

package write

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"

	"github.com/paulmach/orb"

	"rxsplit/internal/cores"
)

// readGeoJSONTwice reads a GeoJSON once more, by jsontext's tokens and by RFC 7946, which
// stands here once more on purpose: it shares no line with geo/geojson, nor the library
// below that. It does so on all cores: a feature a line, as it was written.
func readGeoJSONTwice(file io.Reader, name string, want table) []Mismatch {
	s := secondReading{comparison: comparison{file: name, cells: name, want: want}, reader: "jsontext", shells: orb.CCW, records: readTwice(want.shapes)}
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
		from, to := want.shapes.PointsOf(row)
		longest = max(longest, to-from)
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
	r := newTokens()
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
		r.begin(line)
		why := s.feature(row, r)
		if why == "" {
			r.end()
		}
		if r.err != nil {
			why = fmt.Sprintf("can't be read: %v", r.err)
		}
		if why != "" {
			found = append(found, s.mismatch(s.file, row, "%s", why))
		}
	}
	return found
}

// feature returns the first thing wrong with a feature. Each of its members must be there
// once; the decoder refuses a name that comes twice.
func (s *secondReading) feature(row int, r *tokens) (why string) {
	seen := 0
	for name := range r.members {
		seen++
		switch string(name) {
		case "type":
			if got := r.text(); string(got) != "Feature" {
				why = fmt.Sprintf("its type is %q", got)
			}
		case "id":
			if got := r.number(); got != float64(s.want.id(row)) {
				why = fmt.Sprintf("its id is %v, want %d", got, s.want.id(row))
			}
		case "properties":
			why = s.properties(row, r)
		case "geometry":
			if why = s.geometry(row, r); why == "" && r.err == nil {
				why = s.rings(row, r.rings())
			}
		default:
			why = fmt.Sprintf("it has a member %q", name)
		}
		if why != "" {
			return why
		}
	}
	if seen != 4 {
		return fmt.Sprintf("it has %d of the members type, id, properties and geometry", seen)
	}
	return ""
}

// properties wants a member for each column and no others.
func (s *secondReading) properties(row int, r *tokens) (why string) {
	seen := 0
	for name := range r.members {
		at := s.column(name, seen)
		if at < 0 {
			return fmt.Sprintf("it has a property %q", name)
		}
		col := &s.want.cols[at]
		r.cell = col.JSON(r.cell[:0], row)
		text := r.value()
		got, isNumber := parsed(text)
		if !isNumber && string(text) != "null" || !bytes.Equal(text, r.cell) && !sameNumber(text, r.cell) {
			return fmt.Sprintf("%s is %s, want %s", col.Name, text, r.cell)
		}
		if isNumber && at == len(s.want.cols)-1 {
			if why := s.area(row, got); why != "" {
				return why
			}
		}
		seen++
	}
	if seen != len(s.want.cols) {
		return fmt.Sprintf("it has %d properties, want %d", seen, len(s.want.cols))
	}
	return ""
}

// column returns the index of the column of a name, mostly that of the next one; -1 for none.
func (s *secondReading) column(name []byte, next int) int {
	for i := range s.want.cols {
		if at := (next + i) % len(s.want.cols); s.want.cols[at].Name == string(name) {
			return at
		}
	}
	return -1
}

// geometry reads the rings of all polygons. A record without polygons has none, one of a
// single polygon is a Polygon, others are a MultiPolygon.
func (s *secondReading) geometry(row int, r *tokens) (why string) {
	first, end := s.want.shapes.PolySpan(row)
	r.flat, r.ends = r.flat[:0], r.ends[:0]
	if first == end {
		if got := r.value(); string(got) != "null" {
			why = "it has a geometry, want none"
		}
		return why
	}
	kind, seen := "Polygon", 0
	if end-first > 1 {
		kind = "MultiPolygon"
	}
	for name := range r.members {
		switch string(name) {
		case "type":
			if got := r.text(); string(got) != kind {
				return fmt.Sprintf("its geometry is a %s, want a %s", got, kind)
			}
		case "coordinates":
			if why = s.polygons(first, end, r); why != "" {
				return why
			}
		default:
			return fmt.Sprintf("its geometry has a member %q", name)
		}
		seen++
	}
	if seen != 2 {
		why = "its geometry lacks its type or its coordinates"
	}
	return why
}

// polygons reads the rings of the polygons from first and up to the end.
func (s *secondReading) polygons(first, end int, r *tokens) (why string) {
	at := first
	if end-first == 1 {
		r.polygon()
		return s.ringCount(at, len(r.ends))
	}
	for range r.elements {
		before := len(r.ends)
		r.polygon()
		if at == end {
			return fmt.Sprintf("it has more polygons than %d", end-first)
		}
		if why = s.ringCount(at, len(r.ends)-before); why != "" {
			return why
		}
		at++
	}
	if at < end {
		why = fmt.Sprintf("it has %d polygons, want %d", at-first, end-first)
	}
	return why
}

func (s *secondReading) ringCount(polygon, got int) (why string) {
	if from, to := s.want.shapes.RingSpan(polygon); got != to-from {
		why = fmt.Sprintf("one of its polygons has %d rings, want %d", got, to-from)
	}
	return why
}

package read_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// fault is one thing wrong with a file that GDAL's reader papers over. The table
// of faults is the list of differences that are allowed: what is not in it has to
// be the same in both readers.
type fault struct {
	name    string
	ogr     string   // what GDAL makes of it, without a word in its result
	refused string   // what our refusal says; empty where the file is read
	differs []string // kinds of difference, where the file is read
	finding string   // the rule of the finding that tells of it; may be empty

	shp  func(*rand.Rand, *rawShapefile, int) // the column of the rates; nil if it is none of shapefiles
	json func(text string) string             // nil if it is none of GeoJSON
}

// setRate puts a text in the last row that has a polygon and a rate is wanted for.
func setRate(s *rawShapefile, rate int, text string) {
	i := len(s.rows) - 1
	for s.records[i] == nil || s.deleted[i] {
		i--
	}
	s.rows[i][rate] = text
}

func asNumber(text string) func(*rand.Rand, *rawShapefile, int) {
	return func(_ *rand.Rand, s *rawShapefile, rate int) { setRate(s, rate, text) }
}

// lastShape is the last record that has a polygon and a row.
func lastShape(s *rawShapefile) int {
	i := len(s.records) - 1
	for s.records[i] == nil || s.deleted[i] {
		i--
	}
	return i
}

var faults = []fault{
	{name: "decimal comma", ogr: "12,5 is read as 12", refused: "write the decimals with a point", shp: asNumber("12,5")},
	{name: "trailing letters", ogr: "150x is read as 150", refused: "is not a number", shp: asNumber("150x")},
	{name: "no digits", ogr: "a word is read as 0", refused: "is not a number", shp: asNumber("n/a")},
	{name: "infinite", ogr: "inf is passed on", refused: "is no finite number", shp: asNumber("inf")},
	{name: "not a number", ogr: "nan is passed on", refused: "is no finite number", shp: asNumber("nan")},
	{name: "beyond floats", ogr: "1e999 is passed on as infinite", refused: "is no finite number", shp: asNumber("1e999")},
	{name: "negative", ogr: "a rate below 0 is a number like others", refused: "is negative", shp: asNumber("-12")},
	{
		name: "undeclared decimals", ogr: "a field without decimals is read as whole: 150.75 is 150", differs: []string{"rate", "cell"},
		shp: func(_ *rand.Rand, s *rawShapefile, rate int) {
			s.fields[rate].decimals = 0
			s.fields[rate].size = max(s.fields[rate].size, 9)
			setRate(s, rate, "150.75")
			for i := range s.rows {
				if len(s.rows[i][rate]) > s.fields[rate].size {
					s.rows[i][rate] = "120.5"
				}
			}
		},
	},
	{
		name: "fewer rows", ogr: "shapes without a row get nulls", refused: "rows",
		shp: func(_ *rand.Rand, s *rawShapefile, _ int) { s.rows = s.rows[:len(s.rows)-1] },
	},
	{
		name: "more rows", ogr: "rows without a shape are features without a polygon", refused: "rows",
		shp: func(_ *rand.Rand, s *rawShapefile, _ int) { s.rows = append(s.rows, s.rows[0]) },
	},
	{
		name: "cut short", ogr: "the last shapes are left out", refused: "cut short",
		shp: func(_ *rand.Rand, s *rawShapefile, _ int) { s.cutShp = 20 },
	},
	{
		name: "NAD 27", ogr: "a shift of some meters is guessed from what grids there are", refused: "not known here",
		shp: func(_ *rand.Rand, s *rawShapefile, _ int) {
			s.prj = `GEOGCS["GCS_North_American_1927",DATUM["D_North_American_1927",SPHEROID["Clarke_1866",6378206.4,294.9786982]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]`
		},
	},
	{
		name: "unread system", ogr: "the layer has no system", refused: "not known here",
		shp: func(_ *rand.Rand, s *rawShapefile, _ int) { s.prj = "see the other file" },
	},
	{
		name: "no system", ogr: "the layer has no system, and its coordinates are anything",
		refused: "has no coordinate system", differs: []string{"acres"}, finding: "no-prj",
		shp: func(_ *rand.Rand, s *rawShapefile, _ int) { s.prj = "" },
	},
	{
		name: "shuffled index", ogr: "shapes are taken in the order of the .shx",
		refused: ".shx", shp: func(_ *rand.Rand, s *rawShapefile, _ int) {
			s.order = make([]int, len(s.records))
			for i := range s.order {
				s.order[i] = len(s.order) - 1 - i
			}
		},
	},
	{
		name: "index missing", ogr: "the layer is refused, unless an option makes the .shx anew", differs: []string{"unread"}, finding: "shx-missing",
		shp: func(_ *rand.Rand, s *rawShapefile, _ int) { s.noShx = true },
	},
	{
		name: "open ring", ogr: "the ring is left open: a hole behind the missing edge counts as ground", differs: []string{"area", "acres"}, finding: "ring-closed",
		shp: func(_ *rand.Rand, s *rawShapefile, _ int) {
			i := lastShape(s)
			s.records[i] = slices.Clone(s.records[i])
			s.records[i][0] = s.records[i][0][:len(s.records[i][0])-1]
		},
	},
	{
		name: "two points", ogr: "the ring is passed on and encloses nothing", refused: "distinct",
		shp: func(_ *rand.Rand, s *rawShapefile, _ int) {
			i := lastShape(s)
			first := s.records[i][0]
			s.records[i] = append(slices.Clone(s.records[i]), orb.Ring{first[0], first[1], first[0]})
		},
	},
	{
		name: "no coordinate", ogr: "NaN is passed on", refused: "NaN",
		shp: func(_ *rand.Rand, s *rawShapefile, _ int) {
			i := lastShape(s)
			s.records[i][0][1][0] = math.NaN()
		},
	},
	{
		name: "unknown encoding", ogr: "text is passed on as it stands", differs: []string{"fields", "cell"}, finding: "encoding",
		shp: func(_ *rand.Rand, s *rawShapefile, _ int) { s.cpg = "EBCDIC" },
	},
	{
		name: "no encoding", ogr: "text is taken as ISO-8859-1", differs: []string{"fields", "cell"},
		shp: func(_ *rand.Rand, s *rawShapefile, _ int) { s.cpg, s.language = "", 0 },
	},
	{
		name: "comma in a number", ogr: "the text is passed on", refused: "write the decimals with a point",
		json: firstValue(`"12,5"`),
	},
	{name: "word for a rate", ogr: "the text is passed on", refused: "is not a number", json: firstValue(`"high"`)},
	{name: "list for a rate", ogr: "the list is passed on", refused: "is not a number", json: firstValue(`[100,120]`)},
	{name: "negative number", ogr: "a rate below 0 is a number like others", refused: "is negative", json: firstValue(`-5`)},
	{name: "member twice", ogr: "the last one counts", refused: "twice", json: func(text string) string {
		return strings.Replace(text, `"Feature","properties":{`, `"Feature","properties":{"twice":1,"twice":2,`, 1)
	}},
	{name: "NaN", ogr: "NaN is read as a number", refused: "not JSON", json: firstValue(`NaN`)},
	{name: "cut text", ogr: "the layer is refused", refused: ".geojson", json: func(text string) string { return text[:len(text)-40] }},
	{name: "text behind", ogr: "what stands behind the last bracket is left out", refused: ".geojson", json: func(text string) string { return text + `{"type":` }},
	{name: "a point among them", ogr: "points are features like others", refused: "Point", json: func(text string) string {
		return strings.Replace(text, `"features":[`, `"features":[{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[1,2]}},`, 1)
	}},
	{name: "a corner without numbers", ogr: "null is read as 0", refused: "null", json: func(text string) string {
		at := strings.Index(text, `"coordinates":[`)
		open := at + strings.Index(text[at:], "[[[")
		for text[open] == '[' {
			open++
		}
		comma := open + strings.IndexByte(text[open:], ',')
		return text[:open] + "null" + text[comma:]
	}},
	{name: "unknown system", ogr: "the system is looked up, or none is taken", refused: "not known here", json: func(text string) string {
		if i := strings.Index(text, "EPSG::"); i >= 0 {
			return text[:i] + "EPSG::4267" + text[i+strings.IndexByte(text[i:], '"'):]
		}
		return strings.Replace(text, `"features"`, `"crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::4267"}},"features"`, 1)
	}},
}

// rateMark stands in the texts of [faults] for the value of the first feature that
// has a polygon; the test replaces it, as it knows the rate field.
const rateMark = "\x00rate\x00"

func firstValue(value string) func(string) string {
	return func(text string) string { return rateMark + value + rateMark + text }
}

// withRate puts the value that [firstValue] asked for in place.
func withRate(text, field string) string {
	parts := strings.SplitN(text, rateMark, 3)
	if len(parts) < 3 {
		return text
	}
	value, text := parts[1], parts[2]
	at := strings.Index(text, `"`+field+`":`) + len(field) + 3
	end := at + strings.IndexAny(text[at:], ",}")
	return text[:at] + value + text[end:]
}

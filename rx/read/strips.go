package read

import (
	"errors"
	"math"
	"path/filepath"
	"strconv"
	"strings"

	"rxsplit/geo"
	"rxsplit/geo/track"
	"rxsplit/internal/each"
	"rxsplit/rx"
	"rxsplit/rx/readout"
)

// Strips reads strips that somebody drew: polygons with the fields rep, a whole number, and
// treated, 0 or 1. A replicate is one untreated strip and the two treated ones beside it.
// Every bad record is told in one [*geo.BadFileError].
func Strips(path string, opt FileOptions) ([]readout.Replicate, rx.Source, error) {
	f, err := Open(path, opt)
	var own *Error
	if errors.As(err, &own) && strings.Contains(own.What, "no prescription") {
		err = &Error{File: own.File, What: "is no layer of strips that can be read", Hint: "give polygons with the fields rep and treated: a shapefile (.shp, or a .zip of one) or GeoJSON (.geojson, .json)"}
	}
	if err != nil {
		return nil, rx.Source{}, err
	}
	if err := f.OnOneSide("strip"); err != nil {
		return nil, f.Source, err
	}
	rep, err := f.stripField("rep")
	if err != nil {
		return nil, f.Source, err
	}
	treated, err := f.stripField("treated")
	if err != nil {
		return nil, f.Source, err
	}
	text := func(i, column int) string { return strings.TrimSpace(string(f.Layer.Attributes.Cell(i, column).Text)) }
	bad := &geo.BadFileError{File: f.Source.Name, Hint: "correct the layer: each replicate has a number, one strip with treated 0 and two with treated 1"}
	var strips []readout.Strip
	for i := range f.LonLat.Len() {
		number, numberErr := strconv.ParseFloat(text(i, rep), 64)
		side, sideErr := strconv.ParseFloat(text(i, treated), 64)
		switch {
		case f.LonLat.Empty(i):
			bad.Bad = append(bad.Bad, geo.BadRecord{Record: i, Why: "has no polygon"})
		case numberErr != nil || number != float64(int32(number)):
			bad.Bad = append(bad.Bad, geo.BadRecord{Record: i, Field: "rep", Value: text(i, rep), Why: "is no whole number"})
		case sideErr != nil || side != 0 && side != 1:
			bad.Bad = append(bad.Bad, geo.BadRecord{Record: i, Field: "treated", Value: text(i, treated), Why: "is neither 0 nor 1"})
		default:
			strips = append(strips, readout.Strip{Rep: int(number), Treated: side == 1, Ground: f.LonLat.Shape(i), Record: i})
		}
	}
	if len(bad.Bad) > 0 {
		return nil, f.Source, bad
	}
	reps, wrong := readout.Replicates(strips)
	if len(wrong) > 0 {
		return nil, f.Source, &Error{File: f.Source.Name, What: strings.Join(each.Of(wrong, error.Error), "; "), Hint: bad.Hint}
	}
	if len(reps) == 0 {
		return nil, f.Source, &Error{File: f.Source.Name, What: "holds no strip", Hint: bad.Hint}
	}
	return reps, f.Source, nil
}

// stripField finds a field of strips.
func (f *File) stripField(name string) (int, error) {
	names := f.fieldNames()
	i, several := named(names, name)
	if i >= 0 {
		return i, nil
	}
	what := "has no field " + strconv.Quote(name)
	if several {
		what = "has two fields " + strconv.Quote(name) + ", which differ in capitals alone"
	}
	return -1, &Error{File: f.Source.Name, What: what, Hint: "strips need the fields rep and treated; the file has: " + strings.Join(firstNames(names), ", ")}
}

// Stalks reads a laboratory's nitrate in stalks: a CSV with one composite sample a strip. A
// value such as "<20" is under the limit of detection and taken as reported; a 0 is taken as
// half of the limit that the map states. Nitrate is turned into nitrate-N.
func Stalks(path string, m *YieldMap, opt FileOptions) ([]readout.Sample, rx.Source, error) {
	s := &m.Stalks
	name := filepath.Base(path)
	if s.Rep == "" || s.Treated == "" || s.Value == "" {
		return nil, rx.Source{}, &Error{File: name, What: "the map does not name the columns of stalk samples", Hint: "give stalks: {rep: NAME, treated: NAME, value: NAME, reported-as: nitrate-N}"}
	}
	if !isCSV(path) {
		return nil, rx.Source{}, &Error{File: name, What: "is no CSV", Hint: "save the laboratory's table as CSV in UTF-8"}
	}
	reader := &stalkReader{m: m}
	source, err := readCSV(path, opt.Context, func(c *csvFile) (err error) {
		r := &rowReader{m: &LogMap{}, names: c.names, log: &track.Log{Name: name}}
		reader.rowReader = r
		if err := r.find(wanted{"stalks: rep", s.Rep, &reader.rep}, wanted{"stalks: treated", s.Treated, &reader.treated}, wanted{"stalks: value", s.Value, &reader.value}); err != nil {
			return err
		}
		return c.each(name, reader.add)
	})
	if err == nil {
		err = reader.wrong()
	}
	if err == nil && len(reader.samples) == 0 {
		err = &Error{File: name, What: "holds no sample", Hint: "one line for each strip's composite sample"}
	}
	source.Records = len(reader.samples)
	return reader.samples, source, err
}

// stalkReader turns records into samples.
type stalkReader struct {
	*rowReader
	m                   *YieldMap
	rep, treated, value int
	samples             []readout.Sample
}

func (s *stalkReader) add(i int, cells []string) {
	cell := func(column int) string { return cells[column] }
	rep, treated := s.number(i, s.rep, cell), s.number(i, s.treated, cell)
	text := strings.TrimSpace(cells[s.value])
	number, below := strings.CutPrefix(text, "<")
	v := s.number(i, s.value, func(int) string { return number })
	limit, known := s.m.Stalks.Limit.Get()
	switch {
	case rep != float64(int32(rep)):
		s.blame(i, s.rep, cells[s.rep], "is no whole number")
		return
	case treated != 0 && treated != 1:
		s.blame(i, s.treated, cells[s.treated], "is neither 0 nor 1")
		return
	case math.IsNaN(v):
		return // an empty cell: no sample
	case v == 0 && !known:
		s.blame(i, s.value, text, "has no logarithm: give stalks: detection-limit, of which half is taken")
		return
	case v == 0:
		v, below = float64(limit)/2, true
	}
	if s.m.Stalks.Reported == "nitrate" {
		v /= readout.NitrateToN
	}
	s.samples = append(s.samples, readout.Sample{Rep: int(rep), Treated: treated == 1, PPM: v, Below: below, Record: i})
}

package read

import (
	"math"
	"path/filepath"
	"strings"

	"rxsplit/geo/track"
	"rxsplit/rx"
	"rxsplit/rx/readout"
)

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
		for _, want := range []struct {
			key, name string
			into      *int
		}{{"stalks: rep", s.Rep, &reader.rep}, {"stalks: treated", s.Treated, &reader.treated}, {"stalks: value", s.Value, &reader.value}} {
			if *want.into, err = r.column(want.key, want.name); err != nil {
				return err
			}
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

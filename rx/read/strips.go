package read

import (
	"errors"
	"strconv"
	"strings"

	"rxsplit/geo"
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
		var lines []string
		for _, w := range wrong {
			lines = append(lines, w.Error())
		}
		return nil, f.Source, &Error{File: f.Source.Name, What: strings.Join(lines, "; "), Hint: bad.Hint}
	}
	if len(reps) == 0 {
		return nil, f.Source, &Error{File: f.Source.Name, What: "holds no strip", Hint: bad.Hint}
	}
	return reps, f.Source, nil
}

// stripField finds a field of strips.
func (f *File) stripField(name string) (int, error) {
	var names []string
	for _, field := range f.Layer.Attributes.Fields() {
		names = append(names, field.Name)
	}
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

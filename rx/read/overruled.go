package read

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/rx"
)

// samePlace is how far apart two systems may put a point to be called the same: what
// texts of one system differ by, in meters. It is far below the 2 ppm between the two
// feet at State Plane coordinates.
const samePlace = 0.01

// overruled tells of a file that names another system than the user does, and how far
// apart the two put the field. Other words for the same system are no contradiction.
func (f *File) overruled(given crs.System) {
	own, err := crs.Parse(f.Layer.System)
	var refused *crs.RefusedError
	switch {
	case f.Layer.Shapes.Len() == 0 || len(f.Layer.Shapes.Points) == 0:
		return
	case errors.As(err, &refused) && refused.Rule == crs.EmptyText:
		return // it names none
	case err != nil:
		f.warnOverruled(whySystem(err), "its own coordinate system is not known here ("+whySystem(err)+")", given, ": nobody can tell how far apart the two are")
		return
	}
	apart, fits := f.apart(own, given)
	if fits && apart < samePlace {
		return
	}
	how := ", which its coordinates don't fit"
	if fits {
		how = fmt.Sprintf(", which would put the field %s away", distanceText(apart))
	}
	f.warnOverruled(nameOf(own), "the file itself says that it is in "+nameOf(own)+how, given, "")
}

func (f *File) warnOverruled(got, text string, given crs.System, more string) {
	f.Findings = append(f.Findings, rx.Finding{
		Rule: "crs-overruled", Severity: rx.Warning, About: rx.AboutFile, Got: got, Want: nameOf(given),
		Text: fmt.Sprintf("%s; it is taken as %s, as --crs or the job file says%s", text, nameOf(given), more),
		Hint: "leave crs out of the job file, and --crs, if the file is right; look at the place on the map before you load anything",
	})
}

// apart returns the meters between the places that two systems give the file's corners,
// the most of all; fits is false where one has no such place.
func (f *File) apart(a, b crs.System) (most float64, fits bool) {
	box := f.Layer.Shapes.Extent()
	corners := []orb.Point{box.Min, box.Max, {box.Min[0], box.Max[1]}, {box.Max[0], box.Min[1]}, box.Center()}
	var places [2][]orb.Point
	for i, s := range []crs.System{a, b} {
		places[i] = make([]orb.Point, len(corners))
		if err := s.ToLonLat(places[i], corners); err != nil {
			return 0, false
		}
	}
	for i, p := range places[0] {
		q := places[1][i]
		scale := geo.LonLatScale(orb.Bound{Min: p, Max: q})
		most = max(most, math.Hypot(math.Remainder(q[0]-p[0], 360)*scale.X, (q[1]-p[1])*scale.Y))
	}
	return most, true
}

// distanceText prints a distance that is told and not worked with.
func distanceText(meters float64) string {
	if meters < 1000 {
		return fmt.Sprintf("%.3g m", meters)
	}
	return fmt.Sprintf("%.0f km", meters/1000)
}

// nameOf prints a system with its code, if it has one.
func nameOf(s crs.System) string {
	if code := s.EPSG(); code != 0 {
		return fmt.Sprintf("%s (EPSG:%d)", s.Name(), code)
	}
	return s.Name()
}

package read

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// locate finds the coordinate system and brings all points to lon/lat.
func (f *File) locate(override string) error {
	if err := f.chooseSystem(override); err != nil {
		return err
	}
	f.Source.System, f.Source.EPSG = f.System.Name(), f.System.EPSG()
	if f.System.SameAsWGS84() {
		f.LonLat = &f.Layer.Shapes
		return f.checkDegrees()
	}
	points := make([]orb.Point, len(f.Layer.Shapes.Points))
	if err := f.System.ToLonLat(points, f.Layer.Shapes.Points); err != nil {
		return &Error{
			File: f.Source.Name,
			What: fmt.Sprintf("its coordinates don't fit %s: %v", f.System.Name(), err),
			Hint: "if the file names the wrong system, counts feet for meters or has its axes swapped, give the right system with --crs EPSG:n or export it again",
			Err:  err,
		}
	}
	f.LonLat = f.Layer.Shapes.WithPoints(points)
	return f.checkDegrees()
}

func (f *File) chooseSystem(override string) error {
	if override != "" {
		system, err := crs.Parse(override)
		if err != nil {
			return &Error{File: "--crs", What: whySystem(err), Hint: "name the system by its EPSG code, such as --crs EPSG:26915", Err: err}
		}
		f.System = system
		if f.Layer.System != "" {
			f.contradict(system)
		}
		return nil
	}
	if f.Layer.System != "" {
		system, err := crs.Parse(f.Layer.System)
		if err != nil {
			return &Error{File: f.Source.Name, What: "its coordinate system is not known here: " + whySystem(err), Hint: "give the system with --crs EPSG:n, or export the file in WGS 84", Err: err}
		}
		f.System = system
		return nil
	}
	extent := f.Layer.Shapes.Extent()
	if !isDegrees(extent) {
		return &Error{
			File: f.Source.Name,
			What: "has no coordinate system, and its coordinates (" + corners(extent) + ") are not degrees",
			Hint: orSwap(extent, f.systemHint()),
		}
	}
	f.System = crs.WGS84()
	if !f.format.lonLat {
		if !isOneField(extent) {
			return &Error{
				File: f.Source.Name,
				What: "has no coordinate system, and its coordinates (" + corners(extent) + ") would span more ground than any field if they were degrees",
				Hint: f.systemHint(),
			}
		}
		f.Findings = append(f.Findings, noPrj.Find(rx.Note, rx.Nothing{}))
	}
	return nil
}

func (f *File) checkDegrees() error {
	extent := f.LonLat.Extent()
	if !isDegrees(extent) {
		return &Error{
			File: f.Source.Name,
			What: "its coordinates (" + corners(extent) + ") are not degrees of " + f.System.Name(),
			Hint: orSwap(extent, "say which system they are in with --crs EPSG:n"),
		}
	}
	if far := max(extent.Max[1], -extent.Min[1]); far > geo.MaxLatitude && couldSwap(extent.Center()) {
		return &Error{
			File: f.Source.Name,
			What: "its coordinates (" + corners(extent) + ") lie beyond 70° of latitude, where nothing is farmed",
			Hint: hintSwapped,
		}
	}
	return nil
}

// orSwap returns a hint that names swapped axes where coordinates would be degrees
// once they are swapped, else another hint.
func orSwap(b orb.Bound, other string) string {
	swapped := orb.Bound{Min: orb.Point{b.Min[1], b.Min[0]}, Max: orb.Point{b.Max[1], b.Max[0]}}
	if isDegrees(swapped) && isOneField(swapped) {
		return hintSwapped
	}
	return other
}

const hintSwapped = "latitude and longitude may be swapped: export the file again with the longitude first"

// whySystem returns why a system is refused, without the words that the message
// around it has already.
func whySystem(err error) string {
	var refused *crs.RefusedError
	switch {
	case !errors.As(err, &refused):
		return err.Error()
	case refused.Found == "":
		return refused.Why
	}
	return refused.Found + ": " + refused.Why
}

func (f *File) systemHint() string {
	hint := "say which system they are in with --crs EPSG:n (such as EPSG:32615, UTM zone 15 north in meters)"
	if beside := f.format.systemBeside; beside != "" {
		hint += ", or put the " + beside + " beside the file"
	}
	return hint
}

// corners prints a box as people write coordinates: to a tenth of a unit where
// they are large, else to a millionth.
func corners(b orb.Bound) string {
	decimals := 6
	if max(math.Abs(b.Min[0]), math.Abs(b.Min[1]), math.Abs(b.Max[0]), math.Abs(b.Max[1])) > 1000 {
		decimals = 1
	}
	text := func(v float64) string {
		if math.Abs(v) >= 1e15 { // far from all ground, and too long to be read in full
			return strconv.FormatFloat(v, 'g', 6, 64)
		}
		return strconv.FormatFloat(roundTo(v, decimals), 'f', -1, 64)
	}
	return text(b.Min[0]) + ", " + text(b.Min[1]) + " to " + text(b.Max[0]) + ", " + text(b.Max[1])
}

func roundTo(v float64, decimals int) float64 {
	p := math.Pow10(decimals)
	return math.Round(v*p) / p
}

// isDegrees reports whether a box can be longitude and latitude. Longitudes
// beyond 180° are let through as far as a field across the antimeridian needs.
func isDegrees(b orb.Bound) bool {
	return b.Min[0] >= -181 && b.Max[0] <= 181 && b.Min[1] >= -90 && b.Max[1] <= 90
}

// widest is how many degrees a field may span for coordinates without a system to
// be taken as degrees: some 200 km, far above any field, but below what plots in a
// plane of their own span in meters or feet.
const widest = 2

func isOneField(b orb.Bound) bool {
	width, height := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	return height <= widest && (width <= widest || width >= 360-widest) // or across the antimeridian
}

// The coordinate system.
var (
	noPrj        = rx.NewRule[rx.Nothing]("no-prj", rx.AboutFile, rx.EveryPlan)
	systemNote   = rx.NewRule[saying]("crs", rx.AboutFile, rx.EveryPlan)
	crsOverruled = rx.NewRule[overruled]("crs-overruled", rx.AboutFile, rx.EveryPlan)
)

// saying is what is known of a datum, beside its source in geo/crs.
type saying struct{ Says string }

// overruled is what the file and the user say of its system.
type overruled struct {
	Own     string      // by the file
	Unknown string      // why that is not known here; empty if it is
	Given   string      // by the user
	Apart   unit.Length // where the two put the field; 0 if the coordinates don't fit the file's own
}

// samePlace is how far apart two systems may put a point to be called the same: what
// texts of one system differ by, in meters. It is far below the 2 ppm between the two
// feet at State Plane coordinates.
const samePlace = 10 * unit.Millimeter

// contradict tells of a file that names another system than the user does, and how far
// apart the two put the field. Other words for the same system are no contradiction.
func (f *File) contradict(given crs.System) {
	own, err := crs.Parse(f.Layer.System)
	var refused *crs.RefusedError
	switch {
	case f.Layer.Shapes.Len() == 0 || len(f.Layer.Shapes.Points) == 0:
		return
	case errors.As(err, &refused) && refused.Rule == crs.EmptyText:
		return // it names none
	case err != nil:
		f.Findings = append(f.Findings, crsOverruled.Find(rx.Warning, overruled{Unknown: whySystem(err), Given: nameOf(given)}))
		return
	}
	apart, fits := f.apart(own, given)
	if fits && apart < samePlace {
		return
	}
	f.Findings = append(f.Findings, crsOverruled.Find(rx.Warning, overruled{Own: nameOf(own), Given: nameOf(given), Apart: apart}))
}

// apart returns the distance between the places that two systems give the file's corners,
// the most of all; fits is false where one has no such place.
func (f *File) apart(a, b crs.System) (most unit.Length, fits bool) {
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
		meters := samebits.Hypot(math.Remainder(q[0]-p[0], 360)*scale.X, (q[1]-p[1])*scale.Y)
		most = max(most, unit.Length(meters)*unit.Meter)
	}
	return most, true
}

// nameOf prints a system with its code, if it has one.
func nameOf(s crs.System) string {
	if code := s.EPSG(); code != 0 {
		return fmt.Sprintf("%s (EPSG:%d)", s.Name(), code)
	}
	return s.Name()
}

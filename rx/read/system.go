package read

import (
	"fmt"

	"github.com/paulmach/orb"

	"rxsplit/geo/crs"
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
			Hint: "if the file names the wrong system, give the right one with --crs EPSG:n",
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
			return &Error{File: f.Source.Name, What: "--crs " + override + ": " + err.Error(), Hint: "name the system by its EPSG code, such as --crs EPSG:26915", Err: err}
		}
		f.System = system
		return nil
	}
	if f.Layer.System != "" {
		system, err := crs.Parse(f.Layer.System)
		if err != nil {
			return &Error{File: f.Source.Name, What: "its coordinate system is not known here: " + err.Error(), Hint: "give the system with --crs EPSG:n, or export the file in WGS 84", Err: err}
		}
		f.System = system
		return nil
	}
	extent := f.Layer.Shapes.Extent()
	if !isDegrees(extent) {
		return &Error{
			File: f.Source.Name,
			What: fmt.Sprintf("has no coordinate system, and its coordinates (%g, %g to %g, %g) are not degrees", extent.Min[0], extent.Min[1], extent.Max[0], extent.Max[1]),
			Hint: "say which system they are in with --crs EPSG:n, or put the .prj beside the file",
		}
	}
	f.System = crs.WGS84()
	if f.Layer.Format != "GeoJSON" { // where WGS 84 is the rule (RFC 7946 §4)
		f.note("no-prj", "the file names no coordinate system; its coordinates fit longitude and latitude and are taken as WGS 84")
	}
	return nil
}

func (f *File) checkDegrees() error {
	extent := f.LonLat.Extent()
	if !isDegrees(extent) {
		return &Error{
			File: f.Source.Name,
			What: fmt.Sprintf("its coordinates (%g, %g to %g, %g) are not degrees of %s", extent.Min[0], extent.Min[1], extent.Max[0], extent.Max[1], f.System.Name()),
			Hint: "say which system they are in with --crs EPSG:n",
		}
	}
	return nil
}

// isDegrees reports whether a box can be longitude and latitude. Longitudes
// beyond 180° are let through as far as a field across the antimeridian needs.
func isDegrees(b orb.Bound) bool {
	return b.Min[0] >= -181 && b.Max[0] <= 181 && b.Min[1] >= -90 && b.Max[1] <= 90
}

func (f *File) note(rule, text string) {
	f.Findings = append(f.Findings, rx.Finding{Rule: rule, Severity: rx.Note, About: rx.AboutFile, Text: text})
}

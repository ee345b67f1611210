package read

import (
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// What is told of a file before anybody asks for rates.
var (
	noPolygon     = rx.NewRule[rx.Nothing]("no-polygon", rx.AboutFile, rx.EveryPlan)
	pairedByPlace = rx.NewRule[rx.Nothing]("paired-by-place", rx.AboutFile, rx.EveryPlan)
)

// Content is what a file holds, before anybody asks for rates.
type Content struct {
	Source   rx.Source
	Polygons int // of all records
	Shapes   int // records that have a polygon
	Area     unit.Area
	Extent   orb.Bound // lon/lat
	Fields   []FieldRange
	Findings []rx.Finding

	// Landed is set of a layer of what landed, as passes and applied write it. Ground that
	// it leaves bare got nothing, however narrow it is: that is no fault of the file.
	Landed bool
}

// Inspect looks through an opened file.
func Inspect(f *File) (*Content, error) {
	c := &Content{Source: f.Source, Extent: f.LonLat.Extent(), Fields: f.fieldRanges(), Findings: f.Findings}
	areas, err := f.LonLat.Areas()
	if err != nil {
		return nil, &Error{File: f.Source.Name, What: err.Error(), Hint: "check the coordinate system of the file, or give it with --crs EPSG:n", Err: err}
	}
	for i, a := range areas {
		from, to := f.LonLat.PolySpan(i)
		c.Polygons += to - from
		if to > from {
			c.Shapes++
		}
		c.Area += a
	}
	if c.Shapes == 0 {
		c.Findings = append(c.Findings, noPolygon.Find(rx.Warning, rx.Nothing{}))
	}
	if f.format.byPlace {
		c.Findings = append(c.Findings, pairedByPlace.Find(rx.Note, rx.Nothing{}))
	}
	p := &rx.Prescription{Drawn: &f.Layer.Shapes, LonLat: f.LonLat}
	if err := f.geometry(p, f.beginMesh(p), nil, OverlapError); err != nil {
		return nil, err
	}
	c.Landed = landed(c.Fields)
	for _, found := range p.Findings {
		if !c.Landed || found.Rule() != gapRule {
			c.Findings = append(c.Findings, found)
		}
	}
	return c, nil
}

// landed reports whether fields are those of a layer of what landed.
func landed(fields []FieldRange) bool {
	for _, name := range []string{"CLASS", "STAB_RATE", "DRY_RATE"} {
		if !slices.ContainsFunc(fields, func(f FieldRange) bool { return f.Name == name }) {
			return false
		}
	}
	return true
}

// OnOneSide refuses polygons with an edge that jumps across the 180° meridian: they would be laid
// around the globe, over fields that they don't touch. A prescription's are told as findings.
// What says what a polygon of the file is: "strip", say.
func (f *File) OnOneSide(what string) error {
	if found := acrossMeridian(f.LonLat); len(found) > 0 {
		return &Error{File: f.Source.Name, What: tell.TextOf(what, found[0], unit.US), Hint: "cut it in two along the meridian where it was drawn, and export it again"}
	}
	return nil
}

// keepOut is what a polygon is whose file is read for [File.Union].
const keepOut = "keep-out"

// Union returns the ground that the file's polygons, its keep-outs, cover, in lon/lat.
func (f *File) Union() (orb.MultiPolygon, error) {
	if err := f.OnOneSide(keepOut); err != nil {
		return nil, err
	}
	if problems, _ := geo.RingProblems(f.LonLat, 1); inDoubt(problems) {
		return nil, &Error{File: f.Source.Name, What: tell.TextOf(keepOut, ringFinding(problems[0]), unit.US), Hint: "repair the polygon where it was drawn"}
	}
	var parts orb.MultiPolygon // those of a record may share ground, too
	for i := range f.LonLat.Len() {
		parts = append(parts, f.LonLat.Shape(i)...)
	}
	all, err := unionOf(parts)
	if err != nil {
		return nil, &Error{File: f.Source.Name, What: "its polygons can't be joined: " + err.Error(), Hint: "repair them where they were drawn", Err: err}
	}
	if len(all) == 0 {
		return nil, &Error{File: f.Source.Name, What: "holds no polygon", Hint: "give a file with the polygons to keep out of"}
	}
	return all, nil
}

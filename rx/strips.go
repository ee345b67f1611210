package rx

import (
	"github.com/paulmach/orb"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// StripsAsked says which strips are to stay without stabilizer; what is not known takes the usual.
type StripsAsked struct {
	Count    int                      // of replicates; 0 for none
	Length   label.Known[unit.Length] // of a strip, as far as it is read
	Headland label.Known[unit.Length] // that is kept to the edge of what gets dry
	Azimuth  label.Known[float64]     // of the boom's passes, degrees clockwise from north
	Offset   unit.Length              // by which the first pass begins outside the field's edge
	Header   unit.Length              // of the combine; 0 if nobody says it
	Seed     uint64                   // of the draw of places
}

// Strips are lanes of a boom that are left without stabilizer on purpose, so that they can be held
// against the treated ground on both their sides.
type Strips struct {
	Azimuth  float64 // of the passes, degrees clockwise from north
	Offset   unit.Length
	Width    unit.Length // of the boom, and of each strip
	Length   unit.Length // that is read
	Ends     unit.Length // at each end, that is left out too and not read
	Change   unit.Length // of the treated ground at each end, that gets part of the rate
	Headland unit.Length
	Header   unit.Length
	Seed     uint64
	Places   int // that they were drawn from
	Most     int // that can be drawn
	List     []Strip
	Area     unit.Area // that is left out
	Read     unit.Area // of it, what is read
	Power    Finding   // what difference they can show
}

// Strip is one replicate. Its polygons are in lon/lat.
type Strip struct {
	Rep     int            // from 1
	Pass    int            // of the boom, from 1, counted from the left of the way ahead
	Ground  orb.Polygon    // that is left out
	Read    orb.Polygon    // of it, what is read
	Beside  [2]orb.Polygon // treated ground that is read, to the left and right of the way ahead
	Area    unit.Area      // of Ground
	Dry     unit.DryRate   // mean where it is read
	DrySide unit.DryRate   // mean of the lanes beside it
}

// Grounds lists what is left out; nothing of nil.
func (s *Strips) Grounds() (mp orb.MultiPolygon) {
	if s == nil {
		return nil
	}
	for _, one := range s.List {
		mp = append(mp, one.Ground)
	}
	return mp
}

// Ground returns the area that is left out; 0 of nil.
func (s *Strips) Ground() unit.Area {
	if s == nil {
		return 0
	}
	return s.Area
}

package ground

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// headland is what is driven around a field before the passes.
type headland struct {
	laps []lap
	open *geo.Shapes // ground that the laps leave; nil without laps
	shut map[shutBy]*shutting
}

// landOf is what a headland depends on.
type landOf struct {
	width float64
	laps  int
}

// headland returns the laps of a course. Layers and look-aheads that are tried share them.
func (f *Field) headland(c Course) (headland, error) {
	of := landOf{newWay(c, f.zones).width, c.Laps}
	if land, ok := f.lands[of]; ok || c.Laps < 1 {
		return land, nil
	}
	land, err := f.newHeadland(of)
	if err != nil {
		return land, notDriven(err)
	}
	if f.lands == nil {
		f.lands = map[landOf]headland{}
	}
	f.lands[of] = land
	return land, nil
}

// newHeadland finds laps: each half a width inside of what the ones before left. Ground that is
// too narrow for a lap is left to the passes.
func (f *Field) newHeadland(of landOf) (land headland, err error) {
	ground, err := f.outline()
	if err != nil {
		return land, err
	}
	land.open, land.shut = &geo.Shapes{}, map[shutBy]*shutting{}
	find := newZoneFinder(f.zones)
	for range of.laps {
		middle, err := geo.Widened(ground, -of.width/2)
		if err != nil {
			return land, err
		}
		for _, polygon := range middle {
			for _, ring := range polygon {
				if l := newLap(ring, of.width, find); l.length() > 0 { // a round of centimeters may be smoothed to a point
					land.laps = append(land.laps, l)
				}
			}
		}
		if tooMany(land.laps, len(f.zones.Points)) {
			return land, errors.New("too many of them go around something small")
		}
		reached, err := geo.Widened(middle, of.width/2)
		if err != nil {
			return land, err
		}
		narrow := ground
		if len(reached) > 0 {
			if narrow, err = geo.Subtract(ground, reached); err != nil {
				return land, err
			}
		}
		for _, polygon := range narrow {
			if math.Abs(areaOf(orb.MultiPolygon{polygon})) > float64(of.width*of.width)/4 { // and no sliver of a corner
				land.open.Append(orb.MultiPolygon{polygon})
			}
		}
		if ground, err = geo.Widened(middle, -of.width/2); err != nil {
			return land, err
		}
	}
	for _, polygon := range ground {
		land.open.Append(orb.MultiPolygon{polygon})
	}
	return land, nil
}

// Some 2000 pieces of ground are laid on a lap without a corner, as the boom's outer end covers more than
// its inner one. A field may have so many of them, and more with so many corners of its zones.
const (
	freeRounds    = 40
	cornersARound = 100
	mostRounds    = 500
)

func tooMany(laps []lap, corners int) bool {
	n := 0
	for _, l := range laps {
		if len(l.corners) == 0 {
			n++
		}
	}
	return n > min(freeRounds+corners/cornersARound, mostRounds)
}

func notDriven(err error) error {
	return &Error{"the laps around the field can't be drawn: " + err.Error(), "leave them out with --headland 0"}
}

// outline is the ground of all zones, in the plane.
func (f *Field) outline() (orb.MultiPolygon, error) {
	o, err := f.Prescription.Mesh.Outline(func(int) bool { return true })
	if err != nil {
		return nil, err
	}
	s := &geo.Shapes{}
	s.Append(o.Polygons)
	if s, err = f.inPlane(s); err != nil {
		return nil, err
	}
	return s.Shape(0), nil
}

// openings are the lines of all sections over what is open to them.
type openings struct {
	lines    [][]meeting
	sections int
	all      []float64 // one for each shape
}

// openings finds where sections may be open: over what the laps leave, or, without laps, over
// what gets something. Without laps, a boom of one section needs none.
func (w *way) openings(zones *geo.Shapes, targets []float64, land headland) *openings {
	open := land.open
	if open == nil && w.sections > 1 {
		open = &geo.Shapes{}
		for z, target := range targets {
			if target > 0 {
				open.Append(zones.Shape(z))
			}
		}
	}
	if open == nil {
		return nil
	}
	var beside []float64
	n := float64(w.sections)
	for k := range w.sections {
		for _, part := range sides {
			beside = append(beside, (float64(k)+0.5+part)/n-0.5)
		}
	}
	return &openings{w.lines(open, beside), w.sections, slices.Repeat([]float64{1}, open.Len())}
}

// of returns the legs on which each section of a pass is open; nil where nothing closes.
func (o *openings) of(pass int) (open [][]leg) {
	if o == nil {
		return nil
	}
	for k := range o.sections {
		at := (pass*o.sections + k) * len(sides)
		legs := legsOf(o.lines[at:at+len(sides)], o.all)
		open = append(open, slices.DeleteFunc(legs, func(l leg) bool { return l.target == 0 }))
	}
	return open
}

// joined returns the legs on which any section is open.
func joined(open [][]leg) (legs []leg) {
	all := slices.Concat(open...)
	slices.SortFunc(all, func(a, b leg) int { return cmp.Compare(a.from, b.from) })
	for _, l := range all {
		if n := len(legs); n > 0 && l.from <= legs[n-1].to {
			legs[n-1].to = max(legs[n-1].to, l.to)
		} else {
			legs = append(legs, l)
		}
	}
	return legs
}

// within returns the parts of legs that lie on others. Both are in order.
func within(legs, others []leg) (parts []leg) {
	for _, l := range legs {
		for _, o := range others {
			if from, to := max(l.from, o.from), min(l.to, o.to); from < to {
				parts = append(parts, leg{from, to, l.target})
			}
		}
	}
	return parts
}

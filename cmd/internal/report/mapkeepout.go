package report

import (
	"fmt"
	"html/template"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
)

// mapKeepOut is the ground inside keep-outs that gets dry, as a map shows it. The
// zero value shows nothing.
type mapKeepOut struct {
	how       keepOutLook
	text, tip string // of the legend, and for a pointer that rests on it
	area      unit.Area
	places    int
}

type keepOutLook uint8

const (
	unmarked keepOutLook = iota
	outlined             // over what is spread there
	leftOff              // as ground that the layer leaves off
)

// keepOutInk is a lattice, so that it is taken for no verdict, on paper neither.
func keepOutInk() verdictInk {
	return verdictInk{oklch(0.95, 0.03, 350), fmt.Sprintf(`<path d="M0 0L100 100M100 0L0 100" stroke="%s" stroke-width="%d"/>`, keepOutColor(), keepOutLine), 100}
}

func keepOutColor() string { return oklch(0.36, 0.13, 350) }

const keepOutName = "keep-out"

// keepOutLine is how wide the lines of the lattice are, in tenths of a pixel.
const keepOutLine = 9

// keepOutRoom is how many bytes the drawing of keep-outs may take in a map.
const keepOutRoom = 250_000

// keepOutPath returns the path of the ground, as finely as the room allows and never
// by a pixel or more; if that is too much still, as the squares of a raster.
func (d *mapDrawer) keepOutPath(ground orb.MultiPolygon) string {
	for less := 3.0; less < px; less += 3 {
		var path []byte
		var ring []orb.Point
		for _, polygon := range ground {
			for _, r := range polygon {
				ring = ring[:0]
				for _, p := range r {
					ring = append(ring, d.frame.at(p))
				}
				path = appendRing(path, ring, less)
			}
		}
		if len(path) <= keepOutRoom {
			return string(path)
		}
	}
	var s geo.Shapes
	s.Append(ground)
	for step := px; ; step *= 2 {
		var trace tracer
		trace.shade(newRaster(&s, d.frame, step), []uint8{1})
		if path := trace.path(nil, 0); len(path) <= keepOutRoom || step >= 16*px {
			return string(path)
		}
	}
}

// draw draws the path over a map.
func (k mapKeepOut) draw(path string) string {
	switch {
	case path == "" || k.area == 0:
		return ""
	case k.how == outlined:
		return `<g class="kept"><path d="` + path + `"/><path class="dash" d="` + path + `"/></g>`
	}
	return fmt.Sprintf(`<path class="z cut" role="img" fill="%s" d="%s"><title>%s</title></path>`, keepOutInk().fill(keepOutName), path, template.HTMLEscapeString(k.tip))
}

// keepOuts tells the maps that show keep-outs how much ground they are.
func keepOuts(r Result, q quantities, list []mapTheme) {
	area := keptOutArea(r)
	if area == 0 || len(r.KeptOut) == 0 {
		return
	}
	for i := range list {
		k := &list[i].kept
		if k.how == unmarked {
			continue
		}
		k.area, k.places = area, len(r.KeptOut)
		if k.how == leftOff {
			k.text = "keep-out (no liquid)"
			k.tip = fmt.Sprintf("Keep-out: %s %s in all get dry but no stabilizer", q.ground(area), unit.Symbol[unit.Area](q.s))
			continue
		}
		k.text = "keep-out (part of the above)"
		list[i].Note += " Outlined is the ground inside keep-outs: " + keepOutWord(r)
	}
}

// keptOutArea is what the findings say of it.
func keptOutArea(r Result) unit.Area {
	if r.KeepOut == nil {
		return 0
	}
	return r.KeepOut.Area
}

func keepOutWord(r Result) string {
	if r.Plan != nil {
		return "dry is spread there, and no stabilizer."
	}
	return "nothing that is impregnated may land there."
}

// keptOutTip says of zones that get dry how much of them gets stabilizer, where
// keep-outs cut into them.
func keptOutTip(r Result, q quantities, zones []int) string {
	var with, kept unit.Area
	for _, i := range zones {
		if z := r.Prescription.Zones[i]; r.Plan.KeptOut != nil && z.Dry > 0 {
			with, kept = with+r.Plan.WithStabilizer(i, z.Area), kept+r.Plan.KeptOut[i]
		}
	}
	switch {
	case kept == 0:
		return ""
	case with == 0:
		return ", as it lies in keep-outs"
	}
	return fmt.Sprintf(", on %s %s of it, the rest lies in keep-outs", q.patch(with), unit.Symbol[unit.Area](q.s))
}

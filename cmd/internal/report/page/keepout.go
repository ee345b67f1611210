package page

import (
	"fmt"
	"html/template"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx/tell"
)

// mapKeepOut is the ground inside keep-outs that gets dry, as a map shows it. The
// zero value shows nothing.
type mapKeepOut struct {
	how       keepOutLook
	text, tip string // of the legend, and for a pointer that rests on it
	area      unit.Area
	places    int
	ink       svg.Ink // of ground that is left off
}

type keepOutLook uint8

const (
	unmarked keepOutLook = iota
	outlined             // over what is spread there
	leftOff              // as ground that the layer leaves off
)

// draw draws the path over a map.
func (k mapKeepOut) draw(path string) template.HTML {
	switch {
	case path == "" || k.area == 0:
		return ""
	case k.how == outlined:
		return svg.Outline(path)
	}
	return svg.Cover(path, k.ink, k.tip)
}

// keepOuts tells the maps that show keep-outs how much ground they are.
func keepOuts(r report.Result, q figures.Quantities, list []mapTheme) {
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
			k.text, k.ink = keptOutName(r)+" (no liquid)", svg.KeepOut
			k.tip = fmt.Sprintf("%s: %s %s in all get dry but no stabilizer", tell.Capital(keptOutName(r)), q.Area(area), unit.Symbol[unit.Area](q.System))
			continue
		}
		k.text = keptOutName(r) + " (part of the above)"
		list[i].Note += " Outlined is the ground " + r.Assessment.Terms.WhereKept() + ": " + keepOutWord(r)
	}
}

// keptOutName names ground that is kept out, of a drawing.
func keptOutName(r report.Result) string {
	switch keepOuts, season := r.Assessment.Terms.KeptBy(); {
	case !season:
		return "keep-out"
	case !keepOuts:
		return "no room in the season"
	}
	return "keep-out, or no room in the season"
}

// untreatedStrips tells the maps of what is put down how much ground is left out on purpose.
func untreatedStrips(r report.Result, q figures.Quantities, list []mapTheme) {
	if r.Plan == nil || r.Plan.Strips == nil {
		return
	}
	s := r.Plan.Strips
	for i := range list {
		if list[i].kept.how != leftOff {
			continue
		}
		list[i].strips = mapKeepOut{
			how: leftOff, text: "untreated strip, on purpose", area: s.Area, places: len(s.List), ink: svg.NoDry,
			tip: fmt.Sprintf("Untreated strips: %s %s in all get dry but no stabilizer, on purpose", q.Area(s.Area), unit.Symbol[unit.Area](q.System)),
		}
	}
}

// stripGrounds lists the ground of untreated strips.
func stripGrounds(r report.Result) orb.MultiPolygon {
	if r.Plan == nil {
		return nil
	}
	return r.Plan.Strips.Grounds()
}

// keptOutArea is what the findings say of it.
func keptOutArea(r report.Result) unit.Area {
	if r.KeepOut == nil {
		return 0
	}
	return r.KeepOut.Area
}

func keepOutWord(r report.Result) string {
	if r.Plan != nil {
		return "dry is spread there, and no stabilizer."
	}
	return "nothing that is impregnated may land there."
}

// keptOutTip says of zones that get dry how much of them gets stabilizer, where
// keep-outs cut into them.
func keptOutTip(r report.Result, q figures.Quantities, zones []int) string {
	var with, kept unit.Area
	for _, i := range zones {
		if z := r.Prescription.Zones[i]; r.Plan.KeptOut != nil && z.Dry > 0 {
			with, kept = with+r.Plan.WithStabilizer(i, z.Area), kept+r.Plan.KeptOut[i]
		}
	}
	where := r.Assessment.Terms.WhereKept()
	switch s := r.Plan.Strips; {
	case kept == 0:
		return ""
	case s != nil && len(r.KeptOut) > 0:
		where += " or in untreated strips"
	case s != nil:
		where = "in untreated strips"
	}
	if with == 0 {
		return ", as it lies " + where
	}
	return fmt.Sprintf(", on %s %s of it, the rest lies "+where, q.Patch(with), unit.Symbol[unit.Area](q.System))
}

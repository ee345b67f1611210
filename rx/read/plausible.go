package read

import (
	"fmt"
	"math"
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// What a dry rate or a field can hardly be: common practice, no source. Outside
// these the file is more likely misread than meant.
const (
	lowestMean  = 15 * unit.PoundPerAcre
	highestMean = 3000 * unit.PoundPerAcre
	smallest    = 0.5 * unit.Acre
	largest     = 5000 * unit.Acre
)

// implausible finds what can be read but is hardly meant.
func implausible(p *rx.Prescription) []rx.Finding {
	var out []rx.Finding
	warn := func(rule, got, text, hint string) {
		out = append(out, rx.Finding{Rule: rule, Severity: rx.Warning, About: rx.AboutFile, Got: got, Text: text, Hint: hint})
	}
	treated := p.TreatedArea()
	if treated > 0 {
		mean := unit.DryRate(float64(p.DryMass()) / float64(treated))
		switch {
		case mean < lowestMean:
			warn("rate-low", mean.String(), fmt.Sprintf("the mean dry rate is %.4g lb/ac, less than a spreader can meter: the unit may be wrong, or the field holds something else", float64(mean)),
				"check --rate-field and --rate-unit, and whether the rates count product or N (--rate-of)")
		case mean > highestMean:
			warn("rate-high", mean.String(), fmt.Sprintf("the mean dry rate is %.6g lb/ac, more than is ever spread: the unit may be wrong, or the field holds something else", float64(mean)),
				"check --rate-field and --rate-unit")
		}
	}
	area := p.Area()
	switch {
	case area < smallest:
		warn("field-small", area.String(), fmt.Sprintf("all zones together are %s: smaller than any field that is spread", acres(area)), "check the coordinate system of the file (--crs)")
	case area > largest:
		warn("field-large", area.String(), fmt.Sprintf("all zones together are %s: larger than any one field", acres(area)), "check the coordinate system of the file (--crs), or give one field a file")
	}
	return append(out, farApart(p)...)
}

// farApart finds zones whose distance from the middle of the others is far
// beyond the size of a field.
func farApart(p *rx.Prescription) []rx.Finding {
	const far = 20000 // meters
	box := p.LonLat.Extent()
	middle := (box.Min[1] + box.Max[1]) / 2
	perDegree := 111195.0
	width := (box.Max[0] - box.Min[0]) * perDegree * math.Cos(middle*math.Pi/180)
	height := (box.Max[1] - box.Min[1]) * perDegree
	if width < far && height < far || box.Max[0]-box.Min[0] > 350 { // or a field across the antimeridian
		return nil
	}
	// The median corner stands for where the field is.
	x := median(p, func(z rx.Zone) float64 { return p.LonLat.Bound(int(z.Record)).Min[0] })
	y := median(p, func(z rx.Zone) float64 { return p.LonLat.Bound(int(z.Record)).Min[1] })
	var zones []int
	var area unit.Area
	for _, z := range p.Zones {
		corner := p.LonLat.Bound(int(z.Record)).Min
		dx := (corner[0] - x) * perDegree * math.Cos(y*math.Pi/180)
		dy := (corner[1] - y) * perDegree
		if math.Hypot(dx, dy) > far {
			zones, area = append(zones, z.Number()), area+z.Area
		}
	}
	if len(zones) == 0 {
		return nil
	}
	return []rx.Finding{{
		Rule: "far-apart", Severity: rx.Warning, About: rx.AboutFile, Zones: zones, Area: area,
		Text: fmt.Sprintf("%s more than 20 km away from the others", count(len(zones), "zone lies", "zones lie")),
		Hint: "check whether they belong to this field",
	}}
}

// median returns the middle value of f over the zones.
func median(p *rx.Prescription, f func(rx.Zone) float64) float64 {
	values := make([]float64, len(p.Zones))
	for i, z := range p.Zones {
		values[i] = f(z)
	}
	slices.Sort(values)
	return values[len(values)/2]
}

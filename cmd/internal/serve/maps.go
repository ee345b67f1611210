package serve

import (
	"fmt"
	"html/template"
	"math"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/read"
)

// drawing is a picture with what it says in words.
type drawing struct {
	Body          template.HTML
	Width, Height int
	Desc          string
}

// keyed is a line of a legend.
type keyed struct{ Fill, Text, Amount string }

// verdictOrder is how verdicts are drawn, one over the other.
var verdictOrder = []rx.Verdict{rx.NoRate, rx.NoDry, rx.Within, rx.Below, rx.Above}

// verdictMap is the map of verdicts, as one impregnated blend.
func verdictMap(r report.Result) svg.Map {
	m := svg.Map{Class: make([]uint8, len(r.Prescription.Zones))}
	place := map[rx.Verdict]uint8{}
	for i, v := range verdictOrder {
		m.Fills = append(m.Fills, svg.Ink(v.String()).Fill())
		place[v] = uint8(i)
	}
	m.Fills = append(m.Fills, svg.Season.Fill())
	for i := range m.Class {
		m.Class[i] = place[r.Assessment.Verdicts[i]]
		if r.Assessment.OffBySeason(i) {
			m.Class[i] = uint8(len(verdictOrder))
		}
	}
	return m
}

func groundOf(p *rx.Prescription) svg.Ground {
	return svg.Ground{
		Shapes: p.LonLat, Zones: len(p.Zones),
		Record: func(zone int) int { return int(p.Zones[zone].Record) },
		Number: func(zone int) int { return p.Zones[zone].Number() },
	}
}

// thumb is a small map; nil where there is no ground.
func thumb(ground svg.Ground, m svg.Map, desc string) *drawing {
	width, height, body := svg.Thumb(ground, m)
	if body == "" {
		return nil
	}
	return &drawing{body, width, height, desc}
}

// largeVerdicts is the map of verdicts whose zones tell what they are.
func largeVerdicts(r report.Result) *drawing {
	d := svg.NewDrawer(groundOf(r.Prescription))
	if d == nil {
		return nil
	}
	q := figures.In(r.Units)
	m := verdictMap(r)
	m.Focus = true
	m.Tip = func(i int) string { return zoneText(r, q, i) }
	m.Tips = func(zones []int, how string) string { return zonesText(r, q, zones, how) }
	out := &drawing{Body: d.Draw([]svg.Map{m})[0] + d.Foot(r.Units), Desc: sharesText(r)}
	out.Width, out.Height = d.Size()
	return out
}

func zoneText(r report.Result, q figures.Quantities, i int) string {
	z := r.Prescription.Zones[i]
	text := fmt.Sprintf("Zone %d: %s %s", z.Number(), q.Patch(z.Area), unit.Symbol[unit.Area](q.System))
	if z.HasRate() {
		text += fmt.Sprintf(", dry %s %s, stabilizer %s %s if impregnated", q.Dry(z.Dry), unit.Symbol[unit.DryRate](q.System),
			q.SideRate(r.Assessment.Rate(z), r.Assessment.Range), unit.Symbol[unit.LiquidRate](q.System))
	}
	return text + ", " + report.VerdictText(r.Assessment.Verdicts[i])
}

func zonesText(r report.Result, q figures.Quantities, zones []int, how string) string {
	area := unit.Area(0)
	for _, i := range zones {
		area += r.Prescription.Zones[i].Area
	}
	return fmt.Sprintf("%s zones %s: %s %s, %s", figures.Count(len(zones)), how, q.Area(area), unit.Symbol[unit.Area](q.System), report.VerdictText(r.Assessment.Verdicts[zones[0]]))
}

// share is what one verdict amounts to.
type share struct {
	keyed
	Wide int // tenths of a percent
	From int
}

// sharesOf divides the acres by verdict.
func sharesOf(r report.Result) (list []share) {
	q, total := figures.In(r.Units), float64(r.Prescription.Area())
	if !(total > 0) {
		return nil
	}
	x := 0.0
	add := func(fill, text string, area unit.Area) {
		part := float64(float64(area) / total * 1000)
		list = append(list, share{keyed{fill, text, q.Area(area) + " " + unit.Symbol[unit.Area](q.System)}, int(math.Round(x+part) - math.Round(x)), int(math.Round(x))})
		x += part
	}
	for _, v := range report.ShownVerdicts(r.Assessment) {
		area, over := r.Assessment.Shares[v].Area, r.Assessment.OverSeason.Area
		if v != rx.Within {
			over = 0
		}
		add(svg.Ink(v.String()).Fill(), report.VerdictText(v), area-over)
		if over > 0 {
			add(svg.Season.Fill(), report.SeasonText, over)
		}
	}
	return list
}

func sharesText(r report.Result) string {
	text := "Map of the field, north up."
	for _, s := range sharesOf(r) {
		text += " " + s.Text + ": " + s.Amount + "."
	}
	return text
}

// mostDrawn is how many records a map of a field's numbers is drawn of.
const mostDrawn = 200_000

// numbersMap is a small map of a column of numbers; nil where there is nothing to draw.
func numbersMap(ground svg.Ground, values []float64, r read.FieldRange) *drawing {
	if ground.Zones > mostDrawn {
		return nil
	}
	scale := 1.0
	if r.Max > 0 {
		scale = 1000 / r.Max // rates of tons, too, fall into classes
	}
	steps := svg.NewSteps(float64(max(r.Min, 0)*scale), float64(r.Max*scale))
	m := svg.Map{Fills: append([]string{svg.NoDry.Fill()}, svg.DryColors(steps.N)...), Class: make([]uint8, len(values))}
	for i, v := range values {
		if v > 0 {
			m.Class[i] = uint8(steps.Of(float64(v*scale))) + 1
		}
	}
	return thumb(ground, m, "Map of "+r.Name+", north up, from "+figures.Trim(r.Min)+" (light) to "+figures.Trim(r.Max)+" (dark).")
}

// histogram draws how often the numbers of a column come.
func histogram(values []float64, r read.FieldRange) *drawing {
	d := svg.Histogram(values, r.Min, r.Max)
	return &drawing{d.Body, d.Width, d.Height, "How many records have which number, from " + figures.Trim(r.Min) + " to " + figures.Trim(r.Max) + "."}
}

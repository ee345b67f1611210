package page

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// mapTheme is one map of a field: a class for every zone.
type mapTheme struct {
	svg.Map
	ID, Title, Note string
	classes         []mapClass
	numbered        bool // off-label zones carry their numbers
	kept            mapKeepOut
}

// mapClass is one line of a legend.
type mapClass struct {
	Text  string
	Fill  string
	Area  unit.Area
	Zones int
	key   string // of its acres, as JSON names them; may be empty
}

// classify sorts the zones into classes and adds up what each amounts to.
func (t *mapTheme) classify(p *rx.Prescription, class func(zone int) int) {
	for _, c := range t.classes {
		t.Fills = append(t.Fills, c.Fill)
	}
	t.Class = make([]uint8, len(p.Zones))
	for i, z := range p.Zones {
		c := class(i)
		t.Class[i] = uint8(c)
		t.classes[c].Area += z.Area
		t.classes[c].Zones++
	}
}

// pageMap is one map with its legend.
type pageMap struct {
	ID, Title, Note string
	Desc            string
	Width, Height   int
	Live            bool // its zones take the focus, so it is no single picture
	Body            template.HTML
	Legend          []pageLegend
}

type pageLegend struct {
	Fill  string
	Line  bool // a dashed line instead
	Text  string
	Area  pageCell
	Zones string
}

// maps draws the maps of the page; a prescription without ground has none.
func (v *pageView) maps(r report.Result, q figures.Quantities) {
	p := r.Prescription
	d := svg.NewDrawer(groundOf(p))
	if d == nil {
		return
	}
	list := themes(r, q)
	drawn := make([]svg.Map, len(list))
	for i := range list {
		drawn[i] = list[i].Map
	}
	bodies := d.Draw(drawn)
	kept := d.Path(r.KeptOut)
	width, height := d.Size()
	for i, t := range list {
		body := bodies[i] + t.kept.draw(kept)
		if t.numbered && r.Assessment.OffLabel() > 0 {
			numbers := d.Numbers(report.OffZones(p, r.Assessment))
			body += numbers
			if numbers == "" {
				t.Note += " The off-label zones are too small here for their numbers."
			} else {
				t.Note += " Numbers are those of off-label zones, as far as they fit."
			}
		}
		v.Maps = append(v.Maps, pageMap{
			ID: t.ID, Title: t.Title, Note: t.Note, Desc: t.desc(q), Live: t.Focus,
			Width: width, Height: height, Body: body + d.Foot(q.System), Legend: t.legend(q),
		})
	}
	v.MapNote = mapNote(d.Simplified())
}

// groundOf lends a prescription's ground to be drawn.
func groundOf(p *rx.Prescription) svg.Ground {
	return svg.Ground{
		Shapes: p.LonLat, Zones: len(p.Zones),
		Record: func(zone int) int { return int(p.Zones[zone].Record) },
		Number: func(zone int) int { return p.Zones[zone].Number() },
	}
}

// mapNote says what the drawings leave out.
func mapNote(meters float64, joined bool) string {
	if !joined {
		return fmt.Sprintf("North is up. Borders are simplified for drawing only, by less than half a pixel (%s m on the ground); acres, rates and layers are those of the file's own vertices.", trimMeters(meters))
	}
	return fmt.Sprintf("North is up. For drawing only, neighboring zones of one class are joined and borders simplified by about %s m on the ground; acres, rates and layers are those of the zones themselves.", trimMeters(meters))
}

// trimMeters rounds up: it is a bound.
func trimMeters(m float64) string { return figures.Trim(math.Ceil(m*10) / 10) }

// desc tells a map in words.
func (t *mapTheme) desc(q figures.Quantities) string {
	var parts []string
	for _, c := range t.classes {
		if c.Zones > 0 {
			parts = append(parts, fmt.Sprintf("%s: %s %s", c.Text, q.Ground(c.Area), unit.Symbol[unit.Area](q.System)))
		}
	}
	if t.kept.area > 0 {
		parts = append(parts, fmt.Sprintf("%s: %s %s", t.kept.text, q.Ground(t.kept.area), unit.Symbol[unit.Area](q.System)))
	}
	return "Map of the field, north up. " + strings.Join(parts, "; ") + "."
}

func (t *mapTheme) legend(q figures.Quantities) []pageLegend {
	var list []pageLegend
	for _, c := range t.classes {
		if c.Zones == 0 {
			continue
		}
		area := number(q.Ground(c.Area) + " " + unit.Symbol[unit.Area](q.System))
		if c.key != "" {
			area = figure(area.Text, c.key, c.Area.In(q.System))
		}
		list = append(list, pageLegend{Fill: c.Fill, Text: c.Text, Area: area, Zones: figures.Plural(c.Zones, "zone", "zones")})
	}
	if k := t.kept; k.area > 0 {
		list = append(list, pageLegend{
			Fill: svg.KeepOut.Fill(), Line: k.how == outlined, Text: k.text,
			Area: number(q.Ground(k.area) + " " + unit.Symbol[unit.Area](q.System)), Zones: figures.Plural(k.places, "place", "places"),
		})
	}
	return list
}

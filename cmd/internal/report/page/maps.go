package page

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// mapTheme is one map of a field: a class for every zone.
type mapTheme struct {
	svg.Map
	ID, Title, Note string
	Button          string // that shows it
	classes         []mapClass
	numbered        bool // off-label zones carry their numbers
	kept, strips    mapKeepOut
	pieces          *geo.Shapes // of a layer that has its own, which are drawn instead of zones
	bare            int         // of them the last ones, which get nothing
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

// pageMap is one of the things that the map of a field shows, with its legend. Paper and
// readers without a script have each as a figure of its own.
type pageMap struct {
	ID, Title, Note string
	Button          string
	Desc            string
	Shown           bool          // first
	Plain           bool          // not worth paper: see [mapTheme.plain]
	Body            template.HTML // of joined zones, with a name of its own to be shown again
	Again           template.HTML // of others: the same for the figure
	Over            template.HTML // what lies over the zones
	Legend          []pageLegend
}

// pageField is the map of a field that shows several things in turn, on one frame.
type pageField struct {
	Width, Height int
	Live          template.HTML // every zone once; empty where they are joined
	Joined        bool
	Views         []pageMap
	Foot          template.HTML
	Note          string
}

type pageLegend struct {
	Fill  string
	Line  bool // a dashed line instead
	Text  string
	Area  pageCell
	Zones string
}

// maps draws what the map of the page shows; a prescription without ground has none.
func (v *pageView) maps(r report.Result, q figures.Quantities) {
	d := svg.NewDrawer(groundOf(r.Prescription))
	if d == nil {
		return
	}
	list, kept, strips := themes(r, q), d.Path(r.KeptOut), d.Path(stripGrounds(r))
	f := &pageField{Joined: d.Joined(), Foot: d.Foot(q.System)}
	f.Width, f.Height = d.Size()
	drawn := make([]svg.Map, len(list))
	for i := range list {
		drawn[i] = list[i].drawn()
	}
	bodies := make([]template.HTML, len(list))
	if d.Joined() {
		bodies = d.Draw(drawn)
	}
	first := firstShown(list, r.Plan != nil)
	for i := range list {
		t := &list[i]
		over := t.over(d, r, kept, strips) // which may add to its note
		m := pageMap{ID: t.ID, Title: t.Title, Note: t.Note, Button: t.Button, Desc: t.desc(q), Shown: i == first, Plain: t.kept.area == 0 && strips == "" && t.plain(list[:i]), Body: bodies[i], Over: over, Legend: t.legend(q)}
		if !d.Joined() {
			m.Again = d.Again(drawn[i])
		}
		f.Views = append(f.Views, m)
	}
	if !d.Joined() {
		drawn[first].Tip = func(z int) string { return liveTip(r, q, z) }
		f.Live = d.Live(drawn[first])
		v.data.views = viewsOf(list, drawn)
	}
	f.Note = mapNote(d.Simplified())
	v.Map = f
	v.data.places(r, d)
}

// plain reports whether a map of a plan shows no more than one before it does, or one class
// wherever there is any: its acres stand in the tables.
func (t *mapTheme) plain(before []mapTheme) bool {
	const always = 2 // dry rate and verdict
	if len(before) < always {
		return false
	}
	drawn := map[string]bool{}
	for _, c := range t.classes {
		if c.Zones > 0 {
			drawn[c.Fill] = true
		}
	}
	delete(drawn, verdictFill(rx.NoDry))
	delete(drawn, verdictFill(rx.NoRate))
	if len(drawn) <= 1 {
		return true
	}
	return slices.ContainsFunc(before, func(o mapTheme) bool {
		for i := range t.Class {
			if t.Fills[t.Class[i]] != o.Fills[o.Class[i]] {
				return false
			}
		}
		return true
	})
}

// firstShown is what a map shows first: the verdict or, of a plan, what it puts down.
func firstShown(list []mapTheme, planned bool) int {
	want := "map-verdict"
	if planned {
		want = "map-ground"
	}
	return max(slices.IndexFunc(list, func(t mapTheme) bool { return t.ID == want }), 0)
}

// drawn is the map as its zones are drawn: where pieces lie over them, all are bare.
func (t *mapTheme) drawn() svg.Map {
	m := t.Map
	if t.pieces != nil {
		m.Class = make([]uint8, len(t.Class))
		for i := range m.Class {
			m.Class[i] = uint8(len(t.Fills) - 1)
		}
	}
	return m
}

// over draws what lies over the zones: pieces of a layer, keep-outs, numbers.
func (t *mapTheme) over(d *svg.Drawer, r report.Result, kept, strips string) template.HTML {
	var out template.HTML
	if t.pieces != nil {
		var all orb.MultiPolygon
		for i := range t.pieces.Len() - t.bare {
			all = append(all, t.pieces.Shape(i)...)
		}
		out += svg.Filled(d.Path(all), t.Fills[0])
	}
	out += t.kept.draw(kept) + t.strips.draw(strips)
	if !t.numbered || r.Assessment.OffLabel() == 0 {
		return out
	}
	largest, _ := report.OffZones(r.Prescription, r.Assessment, svg.MostNumbers)
	numbers := d.Numbers(largest)
	if numbers == "" {
		t.Note += " The off-label zones are too small here for their numbers."
	} else {
		t.Note += " Numbers are those of off-label zones, as far as they fit."
	}
	return out + numbers
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
			parts = append(parts, fmt.Sprintf("%s: %s %s", c.Text, q.Area(c.Area), unit.Symbol[unit.Area](q.System)))
		}
	}
	for _, k := range [...]mapKeepOut{t.kept, t.strips} {
		if k.area > 0 {
			parts = append(parts, fmt.Sprintf("%s: %s %s", k.text, q.Area(k.area), unit.Symbol[unit.Area](q.System)))
		}
	}
	return "Map of the field, north up. " + strings.Join(parts, "; ") + "."
}

func (t *mapTheme) legend(q figures.Quantities) []pageLegend {
	var list []pageLegend
	for _, c := range t.classes {
		if c.Zones == 0 {
			continue
		}
		area := number(q.Area(c.Area) + " " + unit.Symbol[unit.Area](q.System))
		if c.key != "" {
			area = figure(area.Text, c.key, c.Area.In(q.System))
		}
		list = append(list, pageLegend{Fill: c.Fill, Text: c.Text, Area: area, Zones: figures.Plural(c.Zones, "zone", "zones")})
	}
	for _, k := range [...]mapKeepOut{t.kept, t.strips} {
		if k.area > 0 {
			list = append(list, pageLegend{
				Fill: k.ink.Fill(), Line: k.how == outlined, Text: k.text,
				Area: number(q.Area(k.area) + " " + unit.Symbol[unit.Area](q.System)), Zones: figures.Plural(k.places, "place", "places"),
			})
		}
	}
	return list
}

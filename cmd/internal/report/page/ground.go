package page

import (
	"cmp"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/ground"
	"rxsplit/rx/tell"
)

// plainView is a page of tables and maps.
type plainView struct {
	Policy            string
	Style             template.CSS
	Patterns          template.HTML
	Kind, Title, Head string
	First             []plainTable // what the maps then show the places of
	Maps              []plainMap
	Tables            []plainTable
	Cautions          []string
}

// plainMap is one map with its legend.
type plainMap struct {
	ID, Title, Note, Desc string
	Width, Height         int
	Body                  template.HTML
	Legend                []pageLegend
}

// plainTable is a section with what is said before its table.
type plainTable struct {
	ID, Title string
	Said      []string
	Table     pageTable
}

func (v *plainView) write(w io.Writer) error {
	for _, tables := range [][]plainTable{v.First, v.Tables} {
		for i := range tables {
			if t := tables[i].Table; len(t.Head) > 2 {
				tables[i].Table = t.labeled()
			}
		}
	}
	v.Style, v.Patterns = template.CSS(Style()+headStyle(v.Kind, v.Title, "")), svg.Patterns()
	v.Policy = policyOf(string(v.Style), "")
	return lay(w, "ground.html", v)
}

// Ground prints the page of what lands on a field.
func Ground(w io.Writer, g report.Ground) error {
	q := figures.In(g.Units)
	v := &plainView{Kind: g.Name(), Title: g.Title(), Cautions: g.Cautions()}
	v.Head = g.Said()
	var weighed, seasons, courses []string
	for i := range g.Liquids {
		if said := g.SeasonText(&g.Liquids[i]); said != "" {
			seasons = append(seasons, said)
		}
	}
	for _, c := range g.Courses {
		courses = append(courses, g.CourseText(c))
	}
	for i := range g.Products {
		if text := g.WeighedText(&g.Products[i]); text != "" {
			weighed = append(weighed, text)
		}
	}
	if len(g.Findings) > 0 {
		v.First = append(v.First, plainTable{ID: "findings", Title: "What was found", Table: groundFound(g)})
	}
	v.Tables = []plainTable{
		{ID: "liquids", Title: "By label, in " + unit.Symbol[unit.Area](g.Units), Said: seasons, Table: groundLiquids(g, q)},
		{ID: "layers", Title: "By layer, in " + unit.Symbol[unit.Area](g.Units), Said: []string{report.GroundWords}, Table: groundLayers(g, q)},
		{ID: "amounts", Title: "Where the product is", Said: weighed, Table: groundAmounts(g)},
	}
	for _, a := range g.Ahead {
		courses = append(courses, report.LookAheadText(g, a))
	}
	if len(courses) > 0 {
		v.Tables = append(v.Tables, plainTable{ID: "course", Title: "How it is driven", Said: courses})
	}
	if len(g.Spots) > 0 {
		v.Tables = append(v.Tables, plainTable{ID: "spots", Title: "The largest spots", Said: []string{"All of them stand in spots.geojson."}, Table: groundSpots(g, q)})
	}
	if err := v.groundMaps(g, q); err != nil {
		return err
	}
	return v.write(w)
}

// areaCell is an area with how far it may be off.
func areaCell(e ground.Extent, q figures.Quantities) pageCell {
	if e.Error < unit.Area(0.005)*unit.Acre {
		return number(q.Area(e.Area))
	}
	return number(q.Area(e.Area) + " ± " + q.Area(e.Error))
}

func groundLiquids(g report.Ground, q figures.Quantities) pageTable {
	t := pageTable{Caption: "Ground by how each liquid stands to its label, in " + unit.Symbol[unit.Area](g.Units), Hidden: true, Head: heads("<liquid", "none", "below", "within", "above", "season alone")}
	row := func(name string, c ground.Classes) {
		cells := []pageCell{words(name)}
		for _, e := range c {
			cells = append(cells, areaCell(e, q))
		}
		t.Rows = append(t.Rows, cells)
	}
	for _, l := range g.Liquids {
		if !l.Graded {
			continue
		}
		row(l.Liquid.Name, l.Classes)
		if l.Corrected != nil {
			row(l.Liquid.Name+", as weighed", l.Corrected.Classes)
		}
	}
	return t
}

func groundLayers(g report.Ground, q figures.Quantities) pageTable {
	t := pageTable{
		Caption: "Ground by layer, in " + unit.Symbol[unit.Area](g.Units), Wide: true, Hidden: true,
		Head: heads("<layer", "covered", "bare", "twice", "three times", "outside", "in keep-outs", "off target", "driven"),
	}
	for _, p := range g.Products {
		cells := []pageCell{words(p.Layer.Name)}
		for _, e := range []ground.Extent{p.Covered, p.Skip, p.Twice, p.Thrice, p.Outside, p.KeepOut, p.Off, {Area: p.Driven}} {
			cells = append(cells, areaCell(e, q))
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

func groundAmounts(g report.Ground) pageTable {
	t := pageTable{Caption: "Amounts by layer", Wide: true, Hidden: true, Head: heads("<layer", "in all", "laid", "standing", "in gaps", "dropped", "in the field", "outside", "in keep-outs")}
	for _, p := range g.Products {
		cells := []pageCell{words(p.Layer.Name)}
		for k, v := range []float64{p.Total, p.Laid, p.Standing, p.Gaps, p.Dropped, p.InField, p.OutField, p.InKeepOut} {
			if v < 1e-5*p.Total {
				v = 0 // what lines leave of sums
			}
			text := g.Amount(p.Layer, v)
			switch standing := k == 2 && p.Unshown > 0; {
			case standing && v == 0:
				text = "not known"
			case standing:
				text = "over " + text
			}
			cells = append(cells, number(text))
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

func groundFound(g report.Ground) pageTable {
	t := pageTable{Caption: "Findings", Hidden: true, Wide: true, Head: []pageCell{words("severity"), words("what, and what to do")}}
	for _, f := range rx.WorstFirst(g.Findings) {
		said := tell.Finding(f, g.Units)
		text := said.Text
		if said.Hint != "" {
			text += " " + tell.Capital(said.Hint) + "."
		}
		t.Rows = append(t.Rows, []pageCell{words(f.Severity.String()), long(text)})
	}
	return t
}

// mostSpots is how many spots the page lists.
const mostSpots = 20

func groundSpots(g report.Ground, q figures.Quantities) pageTable {
	t := pageTable{Caption: "Spots, the largest first", Hidden: true, Head: []pageCell{words("what"), number(unit.Symbol[unit.Area](g.Units)), words("latitude, longitude")}}
	list := slices.Clone(g.Spots)
	slices.SortStableFunc(list, func(a, b ground.Spot) int { return cmp.Compare(b.Area, a.Area) })
	for _, s := range list {
		what, place := s.Of+" "+strings.Replace(s.What, "skip", "bare", 1), fmt.Sprintf("%.6f, %.6f", s.Place[1], s.Place[0])
		if n := len(t.Rows) - 1; n >= 0 && t.Rows[n][2].Text == place { // equal ground sorts together
			t.Rows[n][0].Text += ", " + what
			continue
		}
		if len(t.Rows) == mostSpots {
			break
		}
		t.Rows = append(t.Rows, []pageCell{words(what), number(q.Area(s.Area)), words(place)})
	}
	return t
}

// landedTheme is one map of what landed.
type landedTheme struct {
	id, title, note string
	layer           *ground.Layer
	classes         []mapClass
	class           func(row ground.LayerRow) int
}

// narrow says what maps leave out.
func narrow(s unit.System) string {
	return " Strips narrower than " + map[unit.System]string{unit.US: "a foot", unit.Metric: "0.3 m"}[s] + " are drawn as what lies beside them; the acres stand in the tables."
}

// groundMaps draws what landed: by label, by covers, by target.
func (v *plainView) groundMaps(g report.Ground, q figures.Quantities) error {
	drawn, err := g.Drawn(ground.Options{})
	if err != nil {
		return err
	}
	kinds := func(order ...ground.Kind) func(ground.LayerRow) int {
		return func(row ground.LayerRow) int { return max(0, slices.Index(order, row.Kind)) }
	}
	for _, t := range []landedTheme{
		{
			"map-verdict", "By the stabilizer's label", strings.TrimSpace(narrow(q.System)), drawn.ByLabel,
			[]mapClass{{Text: "none, or outside every zone", Fill: svg.NoDry.Fill()}, {Text: "below", Fill: svg.Below.Fill()}, {Text: "within", Fill: svg.Within.Fill()}, {Text: "above", Fill: svg.Above.Fill()}, {Text: "season alone", Fill: svg.Season.Fill()}},
			func(row ground.LayerRow) int { return int(row.Class) },
		}, {
			"map-cover", "Bare, and covered twice", strings.TrimSpace(narrow(q.System)), drawn.ByCover,
			[]mapClass{{Text: "once", Fill: svg.Within.Fill()}, {Text: "bare", Fill: svg.NoRate.Fill()}, {Text: "twice or more", Fill: svg.Above.Fill()}, {Text: "outside", Fill: svg.Season.Fill()}},
			kinds(ground.Once, ground.Bare, ground.Twice, ground.Outside),
		}, {
			"map-target", "Off target", "More than a tenth off what the plan wants." + narrow(q.System), drawn.ByTarget,
			[]mapClass{{Text: "on target", Fill: svg.Within.Fill()}, {Text: "less", Fill: svg.Below.Fill()}, {Text: "more", Fill: svg.Above.Fill()}},
			kinds(ground.OnTarget, ground.Under, ground.Over),
		},
	} {
		v.groundMap(t, q)
	}
	return nil
}

func (v *plainView) groundMap(t landedTheme, q figures.Quantities) {
	rows := t.layer.Rows
	d := svg.NewDrawer(svg.Ground{
		Shapes: t.layer.Shapes, Zones: len(rows), Record: func(i int) int { return i },
	})
	if d == nil {
		return
	}
	m := svg.Map{Class: make([]uint8, len(rows))}
	m.Tip = func(i int) string {
		return fmt.Sprintf("%s, %s", t.classes[t.class(rows[i])].Text, tell.Ground(rows[i].Area, q.System))
	}
	m.Tips = func(list []int, how string) string { return fmt.Sprintf("%d pieces %s", len(list), how) }
	for i, row := range rows {
		c := t.class(row)
		m.Class[i] = uint8(c)
		t.classes[c].Area += row.Area
	}
	desc := ""
	page := plainMap{ID: t.id, Title: t.title, Note: t.note}
	for _, c := range t.classes {
		m.Fills = append(m.Fills, c.Fill)
		if c.Area > 0 {
			page.Legend = append(page.Legend, pageLegend{Fill: c.Fill, Text: c.Text})
			desc += tell.Capital(c.Text) + ". "
		}
	}
	page.Width, page.Height = d.Size()
	page.Body = d.Draw([]svg.Map{m})[0] + d.Foot(q.System)
	page.Desc = desc
	v.Maps = append(v.Maps, page)
}

// Record prints the page of a record, with room to write in what is missing.
func Record(w io.Writer, r report.Record) error {
	v := &plainView{Kind: "Record of the application", Title: r.Field, Head: r.Complete(), Cautions: report.RecordCautions}
	if v.Title == "" {
		v.Title = "Record of the application"
	}
	known := pageTable{Caption: "What is known", Hidden: true, Wide: true, Head: []pageCell{words("entry"), words("what it says"), words("from"), words("asked for by")}}
	missing := pageTable{Caption: "What is missing", Hidden: true, Wide: true, Head: []pageCell{words("entry"), words("to be written in"), words("or said in"), words("asked for by")}}
	for _, row := range r.Rows {
		asked := words(strings.ReplaceAll(strings.ReplaceAll(strings.Join(row.Asked, "; "), " ", "\u00a0"), ";\u00a0", "; ")) // a rule a line
		if row.Value == "" {
			missing.Rows = append(missing.Rows, []pageCell{words(row.What), words("____________________"), words(row.Where), asked})
		} else {
			known.Rows = append(known.Rows, []pageCell{words(row.What), long(row.Value), words(row.From), asked})
		}
	}
	v.Tables = []plainTable{{ID: "known", Title: "What is known", Table: known}}
	if len(missing.Rows) > 0 {
		v.Tables = append([]plainTable{{ID: "missing", Title: "What is missing", Table: missing}}, v.Tables...)
	}
	v.Tables = append(v.Tables, plainTable{ID: "origin", Title: "Where it comes from", Said: []string{"Plan " + r.Plan + ", rxsplit " + r.Version + "."}})
	return v.write(w)
}

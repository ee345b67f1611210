package page

import (
	"fmt"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

// waysTable compares the ways to release the prescription.
func waysTable(r report.Result, q figures.Quantities) pageTable {
	ac, _, rate := q.Symbols()
	caption := "Ways to release the prescription, the best first"
	if !r.Ways[0].Possible() {
		caption = "Ways to release the prescription, none of which is possible"
	}
	t := pageTable{
		Caption: caption, Hidden: true,
		Head: heads("<way", "<state", ac+" off label", "loads", "passes", "stabilizer in all", rate+" on the ground", "<dry product", "<N", "cost"),
	}
	for _, w := range r.Ways {
		text := takesText(w, q)
		if !w.Possible() {
			text = w.Why
		}
		t.Rows, t.Under = append(t.Rows, wayRowOf(r, q, w)), append(t.Under, tell.Capital(text))
	}
	t.Wide = true
	return t.labeled()
}

func wayRowOf(r report.Result, q figures.Quantities, w rx.Way) []pageCell {
	key := "ways." + string(w.Name) + "."
	name := words(w.Name.Words())
	if r.Plan != nil && r.Plan.Way.Name == w.Name {
		name.Text += " (chosen)"
	}
	row := []pageCell{name, words(w.State.String()), figure(q.Area(w.OffLabel), key+"off_label_area", w.OffLabel.In(q.System))}
	if !w.Possible() {
		for range 7 {
			row = append(row, number("–"))
		}
		return row
	}
	row = append(row, figure(fmt.Sprint(len(w.Loads)), key+"loads", float64(len(w.Loads))), figure(fmt.Sprint(w.Passes), key+"passes", float64(w.Passes)),
		figure(q.Tank(w.Metered), key+"stabilizer_metered", w.Metered.In(q.System)), number(q.RateRange(w.Rate.Min, w.Rate.Max)),
		words(report.ChangeText(w.DryAdded, w.DryRemoved, q)), words(nitrogenText(w, q)))
	if w.Cost == nil {
		return append(row, number("not priced"))
	}
	return append(row, figure(unit.Cents(unit.Money(w.Cost.High)), key+"cost.high", w.Cost.High))
}

func nitrogenText(w rx.Way, q figures.Quantities) string {
	if !w.NKnown {
		if w.DryAdded > 0 || w.DryRemoved > 0 {
			return "unknown"
		}
		return "as prescribed"
	}
	return report.ChangeText(w.NAdded, w.NRemoved, q)
}

// takesText says what else there is to know of a way that is possible.
func takesText(w rx.Way, q figures.Quantities) string {
	parts := []string{w.Why}
	if only := report.OnlyIf(w, q.System); only != "" {
		parts = []string{only, w.Why}
	}
	if w.SameAs != "" {
		parts = append(parts, "the same as "+string(w.SameAs))
	}
	if w.LeftOff > 0 {
		parts = append(parts, fmt.Sprintf("%s %s stay untreated", q.Area(w.LeftOff), unit.Symbol[unit.Area](q.System)))
	}
	if w.Driving != nil {
		parts = append(parts, report.DrivingText(w.Driving, q.System))
	}
	if w.Cost != nil && len(w.Cost.Missing) > 0 {
		parts = append(parts, "not priced: "+strings.Join(w.Cost.Missing, ", "))
	}
	if w.Cost != nil && len(w.Cost.NotCounted) > 0 {
		parts = append(parts, "not counted: "+strings.Join(w.Cost.NotCounted, ", "))
	}
	return strings.Join(parts, "; ")
}

// productRows lists what a layer spreads of each product, where they are spread side
// by side. Loading and stabilizer are those of the treated one.
func productRows(r report.Result, q figures.Quantities, l *rx.Layer) [][]pageCell {
	var rows [][]pageCell
	for _, one := range report.ProductsOf(r.Prescription, l) {
		row := []pageCell{words(l.Name + ", column " + one.Name), words(one.Applies), words("none"), number(figures.Count(one.Zones)), number(q.Area(one.Area)),
			number(q.DryRange(one.Dry.Min, one.Dry.Max) + " " + unit.Symbol[unit.DryRate](q.System)), number(q.Mass(one.Mass)), number("–"), words("")}
		if one.Treated {
			row[2], row[7] = words(r.Carries(l)), number(q.Tank(l.Volume))
		}
		rows = append(rows, row)
	}
	return rows
}

// layersTable lists the layers of the plan with their totals.
func layersTable(r report.Result, q figures.Quantities) pageTable {
	ac, _, _ := q.Symbols()
	t := pageTable{
		Caption: "Layers of the plan", Hidden: true,
		Head: heads("<layer", "<applies", "<loading", "zones", ac, "rate", "dry product", "stabilizer", "<files"),
	}
	for _, l := range r.Plan.Layers {
		key := "layers." + l.Name + "."
		row := []pageCell{words(l.Name), words(report.LayerProduct(l)), words("none"), number(figures.Count(l.Zones)),
			figure(q.Area(l.Area), key+"area", l.Area.In(q.System))}
		if l.Product == rx.Liquid {
			row[3].Text = figures.Plural(l.Zones, "piece", "pieces")
			row = append(row, number(q.RateRange(l.Liquid.Min, l.Liquid.Max)+" "+unit.Symbol[unit.LiquidRate](q.System)), number("–"),
				figure(q.Tank(l.Volume), key+"volume", l.Volume.In(q.System)))
		} else {
			row = append(row, number(q.DryRange(l.Dry.Min, l.Dry.Max)+" "+unit.Symbol[unit.DryRate](q.System)), figure(q.Mass(l.Mass), key+"mass", l.Mass.In(q.System)), number("–"))
		}
		if l.Treated && report.ProductCount(&l) < 2 {
			loading := l.Loading.In(q.System)
			row[2] = figure(q.Loading(l.Loading), key+"loading", loading)
			if text := r.Carries(&l); text != row[2].Text {
				row[2] = words(text) // no longer the exact figure
			}
			row[2].Left = true
			row[len(row)-1].Text = q.Tank(l.Volume)
		}
		t.Rows = append(t.Rows, append(row, words(l.Name+".shp, "+l.Name+".geojson")))
		t.Rows = append(t.Rows, productRows(r, q, &l)...)
	}
	t.Wide = true
	return t.labeled()
}

// wayColumn is one figure that the ways are compared by.
type wayColumn struct {
	title string
	value func(rx.Way) float64
	text  func(rx.Way) string
	even  bool // of a way that is not possible
}

func wayColumns(ways []rx.Way, q figures.Quantities) []wayColumn {
	list := []wayColumn{
		{unit.Symbol[unit.Area](q.System) + " off label", func(w rx.Way) float64 { return w.OffLabel.In(q.System) }, func(w rx.Way) string { return q.Area(w.OffLabel) }, true},
		{"loads", func(w rx.Way) float64 { return float64(len(w.Loads)) }, func(w rx.Way) string { return fmt.Sprint(len(w.Loads)) }, false},
		{"passes", func(w rx.Way) float64 { return float64(w.Passes) }, func(w rx.Way) string { return fmt.Sprint(w.Passes) }, false},
	}
	for _, w := range ways {
		if w.Cost != nil {
			return append(list, wayColumn{"cost, $", func(w rx.Way) float64 {
				if w.Cost == nil {
					return 0
				}
				return w.Cost.High
			}, func(w rx.Way) string {
				if w.Cost == nil {
					return "not priced"
				}
				return figures.Thousands(figures.Fixed(w.Cost.High, 0))
			}, false})
		}
	}
	return list
}

// waysChart compares the ways: a row a way, a column a figure.
func waysChart(r report.Result, q figures.Quantities) chart {
	var c svg.Comparison
	for _, way := range r.Ways {
		c.Rows = append(c.Rows, svg.Row{Name: way.Name.Words(), Chosen: r.Plan != nil && r.Plan.Way.Name == way.Name})
	}
	for _, column := range wayColumns(r.Ways, q) {
		c.Columns = append(c.Columns, column.drawn(r.Ways))
	}
	return chart{
		ID: "chart-ways", Title: "The ways compared", Desc: "Each way's figures as bars; the table below has the same figures.",
		Drawing: c.Draw(),
	}
}

// drawn is the figure of all ways. Of a way that is not possible only the acres
// that it would leave off label are shown.
func (c wayColumn) drawn(ways []rx.Way) svg.Column {
	column := svg.Column{Title: c.title}
	for _, way := range ways {
		bar := svg.Bar{Value: c.value(way), Text: c.text(way), Ink: svg.Within, None: !way.Possible() && !c.even}
		if bar.None {
			bar.Text = "–"
		}
		if !way.Possible() {
			bar.Ink = svg.NoRate
		}
		column.Bars = append(column.Bars, bar)
	}
	return column
}

// liquidTable shows the further liquids; nil if there are none.
func liquidTable(r report.Result, q figures.Quantities) *pageTable {
	if len(r.Assessment.Further) == 0 {
		return nil
	}
	ac, _, rate := q.Symbols()
	t := pageTable{Caption: "Every other liquid", Head: heads("<liquid", "<goes on", "<loading", "lands "+rate, "label "+rate, "below "+ac, "within "+ac, "above "+ac)}
	for i := range r.Assessment.Further {
		g := &r.Assessment.Further[i]
		row := []pageCell{words(g.Liquid.Name), words("the boom"), words(""), number(report.Hundredths(g.Stabilizer, q.System)), number("not graded: no label"), number(""), number(""), number("")}
		if g.Liquid.On == equip.OnBlend {
			row[1], row[2] = words("the blend"), words(g.Loading.Text(q.System))
		}
		if label, graded := g.Liquid.Range(); graded {
			row[4] = number(report.Hundredths(label, q.System))
			for j, v := range []rx.Verdict{rx.Below, rx.Within, rx.Above} {
				row[5+j] = number(q.Area(g.Shares[v].Area))
			}
		}
		t.Rows = append(t.Rows, row)
	}
	t = t.labeled()
	return &t
}

package page

import (
	"fmt"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// wayColumn is one figure that the ways are compared by.
type wayColumn struct {
	title string
	value func(rx.Way) float64
	text  func(rx.Way) string
	even  bool // of a way that is not possible
}

func wayColumns(ways []rx.Way, q figures.Quantities) []wayColumn {
	list := []wayColumn{
		{unit.Symbol[unit.Area](q.System) + " off label", func(w rx.Way) float64 { return w.OffLabel.In(q.System) }, func(w rx.Way) string { return q.Ground(w.OffLabel) }, true},
		{"loads", func(w rx.Way) float64 { return float64(len(w.Loads)) }, func(w rx.Way) string { return fmt.Sprint(len(w.Loads)) }, false},
		{"passes", func(w rx.Way) float64 { return float64(w.Passes) }, func(w rx.Way) string { return fmt.Sprint(w.Passes) }, false},
	}
	for _, w := range ways {
		if w.Cost != nil {
			return append(list, wayColumn{"cost, $", func(w rx.Way) float64 {
				if w.Cost == nil {
					return 0
				}
				return w.Cost.Total
			}, func(w rx.Way) string {
				if w.Cost == nil {
					return "not priced"
				}
				return figures.Thousands(figures.Fixed(w.Cost.Total, 0))
			}, false})
		}
	}
	return list
}

// waysChart compares the ways: a row a way, a column a figure.
func waysChart(r report.Result, q figures.Quantities) chart {
	var c svg.Comparison
	for _, way := range r.Ways {
		c.Rows = append(c.Rows, svg.Row{Name: string(way.Name), Chosen: r.Plan != nil && r.Plan.Way.Name == way.Name})
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
		bar := svg.Bar{Value: c.value(way), Text: c.text(way), Ink: svg.Within, None: !way.Possible && !c.even}
		if bar.None {
			bar.Text = "–"
		}
		if !way.Possible {
			bar.Ink = svg.NoRate
		}
		column.Bars = append(column.Bars, bar)
	}
	return column
}

package report

import (
	"bytes"
	"fmt"
	"html/template"

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

func wayColumns(ways []rx.Way, q quantities) []wayColumn {
	list := []wayColumn{
		{unit.Symbol[unit.Area](q.s) + " off label", func(w rx.Way) float64 { return w.OffLabel.In(q.s) }, func(w rx.Way) string { return q.ground(w.OffLabel) }, true},
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
				return thousands(fixed(w.Cost.Total, 0))
			}, false})
		}
	}
	return list
}

const (
	wayRow  = 46 * px
	wayHead = 44 * px
	wayName = 132 * px
)

// waysChart compares the ways: a row a way, a column a figure, each column with
// its own scale from 0.
func waysChart(r Result, q quantities) chart {
	columns := wayColumns(r.Ways, q)
	height := wayHead + wayRow*len(r.Ways) + 8*px
	var w bytes.Buffer
	for i, way := range r.Ways {
		y := wayHead + i*wayRow
		class := "way"
		if r.Plan != nil && r.Plan.Way.Name == way.Name {
			class = "way chosen"
			fmt.Fprintf(&w, `<rect class="chosen" x="0" y="%d" width="%d" height="%d"/>`, y, chartWidth, wayRow)
		}
		fmt.Fprintf(&w, `<text class="%s" x="%d" y="%d">%s</text>`, class, 8*px, y+29*px, way.Name)
	}
	wide := (chartWidth - wayName) / len(columns)
	for i, c := range columns {
		c.draw(&w, r.Ways, wayName+i*wide, wide)
	}
	return chart{
		ID: "chart-ways", Title: "The ways compared", Desc: "Each way's figures as bars; the table below has the same figures.",
		Width: chartWidth, Height: height, Body: template.HTML(w.String()),
	}
}

// draw draws one figure of all ways. Of a way that is not possible only the acres
// that it would leave off label are shown.
func (c wayColumn) draw(w *bytes.Buffer, ways []rx.Way, x, wide int) {
	most := 0.0
	for _, way := range ways {
		most = max(most, c.value(way))
	}
	fmt.Fprintf(w, `<text class="strong" x="%d" y="%d">%s</text>`, x, 26*px, template.HTMLEscapeString(c.title))
	room := float64(wide - 84*px)
	for i, way := range ways {
		y := wayHead + i*wayRow
		fmt.Fprintf(w, `<path class="axis" d="M%d %dv%d"/>`, x, y+6*px, wayRow-12*px)
		text, length := c.text(way), 0
		switch v := c.value(way); {
		case !way.Possible && !c.even:
			text = "–"
		case most > 0:
			length = round(v / most * room)
		}
		if length > 0 {
			fill := verdictFill(rx.Within)
			if !way.Possible {
				fill = verdictFill(rx.NoRate)
			}
			fmt.Fprintf(w, `<rect class="bar" x="%d" y="%d" width="%d" height="%d" fill="%s"/>`, x, y+13*px, length, 20*px, fill)
		}
		fmt.Fprintf(w, `<text x="%d" y="%d">%s</text>`, x+length+7*px, y+29*px, text)
	}
}

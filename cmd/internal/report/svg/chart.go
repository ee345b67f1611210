package svg

import (
	"bytes"
	"fmt"
	"html/template"
	"math"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
)

// Drawing is a chart, and its size in tenths of a pixel.
type Drawing struct {
	Width, Height int
	Body          template.HTML
}

const (
	chartWidth = 760 * px
	chartLeft  = 74 * px
	chartRight = chartWidth - 20*px
	chartTop   = 52 * px // to the bars, where one band is marked
	chartHigh  = 248 * px
	chartFoot  = 66 * px
	bandRow    = 34 * px // for each band more
)

// Bars are areas over a rate, the rate and its bands in the user's units. Bar i
// reaches from Low+i·Size to Low+(i+1)·Size.
type Bars struct {
	Units     unit.System
	Rate      string // what the axis says of the rates
	Low, Size float64
	Stack     []Part        // what a bar is made of, from the axis up
	Areas     [][]unit.Area // of each bar, of each part
	Bands     []Band        // one at least; the first is shaded, the others are spans above the bars
}

// Part is one of the parts that each bar is made of.
type Part struct {
	Ink  Ink
	Name string
}

// Band is a range of rates that a chart marks.
type Band struct {
	Low, High float64
	Text      string
}

// high returns where the last bar ends.
func (b *Bars) high() float64 { return b.Low + float64(float64(len(b.Areas))*b.Size) }

// most returns the area of the highest bar.
func (b *Bars) most() float64 {
	most := 0.0
	for _, bar := range b.Areas {
		sum := unit.Area(0)
		for _, area := range bar {
			sum += area
		}
		most = max(most, sum.In(b.Units))
	}
	return most
}

// barAxes brings rates and acres to the drawing.
type barAxes struct {
	low, high, most float64
	top             int
}

func (a barAxes) bottom() int { return a.top + chartHigh }

func (a barAxes) x(rate float64) int {
	return chartLeft + round((rate-a.low)/(a.high-a.low)*(chartRight-chartLeft))
}

func (a barAxes) y(acres float64) int {
	return a.bottom() - round(acres/a.most*chartHigh)
}

// Draw draws the bars with the bands.
func (b *Bars) Draw() Drawing {
	a := barAxes{low: b.Low, high: b.high(), most: b.most(), top: chartTop + (len(b.Bands)-1)*bandRow}
	for _, m := range b.Bands {
		a.low, a.high = min(a.low, m.Low), max(a.high, m.High)
	}
	pad := (a.high - a.low) / 60
	a.low, a.high = max(a.low-pad, 0), a.high+pad
	step := NiceStep(a.most / 5)
	a.most = math.Ceil(a.most*1.02/step) * step
	var w bytes.Buffer
	left, right := a.x(b.Bands[0].Low), a.x(b.Bands[0].High)
	fmt.Fprintf(&w, `<rect class="band" x="%d" y="%d" width="%d" height="%d"/>`, left, a.top, right-left, chartHigh)
	a.grid(&w, step, b)
	a.columns(&w, b)
	for i, m := range b.Bands {
		a.mark(&w, m, i)
	}
	fmt.Fprintf(&w, `<path class="axis" d="M%d %dH%d"/>`, chartLeft, a.bottom(), chartRight)
	return Drawing{chartWidth, a.bottom() + chartFoot, template.HTML(w.String())}
}

// grid draws lines of acres, their numbers, and the numbers of the rate axis.
func (a barAxes) grid(w *bytes.Buffer, step float64, b *Bars) {
	for v := 0.0; v <= a.most*1.001; v += step {
		y := a.y(v)
		if v > 0 {
			fmt.Fprintf(w, `<path class="grid" d="M%d %dH%d"/>`, chartLeft, y, chartRight)
		}
		fmt.Fprintf(w, `<text class="end" x="%d" y="%d">%s</text>`, chartLeft-8*px, y+5*px, figures.Thousands(figures.Trim(v)))
	}
	fmt.Fprintf(w, `<text x="%d" y="%d">%s</text>`, 8*px, a.top-28*px, unit.Symbol[unit.Area](b.Units))
	tick := NiceStep((a.high - a.low) / 7)
	for v := math.Ceil(a.low/tick) * tick; v <= a.high; v += tick {
		fmt.Fprintf(w, `<path class="axis" d="M%d %dv%d"/><text class="mid" x="%d" y="%d">%s</text>`, a.x(v), a.bottom(), 5*px, a.x(v), a.bottom()+25*px, figures.Thousands(figures.Trim(v)))
	}
	fmt.Fprintf(w, `<text class="mid" x="%d" y="%d">%s</text>`, (chartLeft+chartRight)/2, a.bottom()+chartFoot-8*px, template.HTMLEscapeString(b.Rate))
}

// columns draws the bars, part by part.
func (a barAxes) columns(w *bytes.Buffer, b *Bars) {
	for k, part := range b.Stack {
		fmt.Fprintf(w, `<g fill="%s" class="bar">`, part.Ink.Fill())
		for i, bar := range b.Areas {
			if bar[k] == 0 {
				continue
			}
			under := 0.0
			for _, other := range bar[:k] {
				under += other.In(b.Units)
			}
			from, area := b.Low+float64(float64(i)*b.Size), bar[k].In(b.Units)
			x, right := a.x(from)+px, a.x(from+b.Size)-px
			top, bottom := a.y(under+area), a.y(under)
			text := fmt.Sprintf("%s to %s %s: %s %s %s", figures.Thousands(figures.Trim(from)), figures.Thousands(figures.Trim(from+b.Size)), b.Rate, figures.Fixed(area, 2), unit.Symbol[unit.Area](b.Units), part.Name)
			fmt.Fprintf(w, `<rect x="%d" y="%d" width="%d" height="%d"><title>%s</title></rect>`, x, top, max(right-x, px), max(bottom-top, px), template.HTMLEscapeString(text))
		}
		w.WriteString("</g>")
	}
}

// mark draws the ends of a band and its name, the first band at the top.
func (a barAxes) mark(w *bytes.Buffer, m Band, i int) {
	x0, x1 := a.x(m.Low), a.x(m.High)
	y := chartTop - 16*px + i*bandRow
	if i == 0 && x0 < x1 {
		fmt.Fprintf(w, `<path class="limit" d="M%d %dV%dM%d %dV%d"/>`, x0, y+8*px, a.bottom(), x1, y+8*px, a.bottom())
	} else if i > 0 {
		fmt.Fprintf(w, `<path class="span" d="M%d %dH%d"/>`, x0, y+7*px, x1)
	}
	half := len(m.Text) * 45 // of a name in the usual size
	middle := min(max((x0+x1)/2, chartLeft+half), chartRight-half)
	fmt.Fprintf(w, `<text class="mid name" x="%d" y="%d">%s</text>`, middle, y, template.HTMLEscapeString(m.Text))
}

// Comparison compares things: a row each, a column for each figure with its own scale
// from 0.
type Comparison struct {
	Rows    []Row
	Columns []Column
}

// Row is one of the things that are compared.
type Row struct {
	Name   string
	Chosen bool
}

// Column is one figure of all rows.
type Column struct {
	Title string
	Bars  []Bar // one a row
}

// Bar is the figure of one row; where it does not apply no bar is drawn, though the
// others are drawn to a scale that holds it.
type Bar struct {
	Value float64
	Text  string
	Ink   Ink
	None  bool
}

const (
	rowHigh = 46 * px
	rowHead = 44 * px
	rowName = 132 * px
)

// Draw draws the rows under the titles of the columns.
func (c *Comparison) Draw() Drawing {
	var w bytes.Buffer
	for i, row := range c.Rows {
		y := rowHead + i*rowHigh
		class := "way"
		if row.Chosen {
			class = "way chosen"
			fmt.Fprintf(&w, `<rect class="chosen" x="0" y="%d" width="%d" height="%d"/>`, y, chartWidth, rowHigh)
		}
		fmt.Fprintf(&w, `<text class="%s" x="%d" y="%d">%s</text>`, class, 8*px, y+29*px, template.HTMLEscapeString(row.Name))
	}
	wide := (chartWidth - rowName) / len(c.Columns)
	for i, column := range c.Columns {
		column.draw(&w, rowName+i*wide, wide)
	}
	return Drawing{chartWidth, rowHead + rowHigh*len(c.Rows) + 8*px, template.HTML(w.String())}
}

func (c *Column) draw(w *bytes.Buffer, x, wide int) {
	most := 0.0
	for _, bar := range c.Bars {
		most = max(most, bar.Value)
	}
	fmt.Fprintf(w, `<text class="strong" x="%d" y="%d">%s</text>`, x, 26*px, template.HTMLEscapeString(c.Title))
	room := float64(wide - 84*px)
	for i, bar := range c.Bars {
		y, length := rowHead+i*rowHigh, 0
		fmt.Fprintf(w, `<path class="axis" d="M%d %dv%d"/>`, x, y+6*px, rowHigh-12*px)
		if !bar.None && most > 0 {
			length = round(bar.Value / most * room)
		}
		if length > 0 {
			fmt.Fprintf(w, `<rect class="bar" x="%d" y="%d" width="%d" height="%d" fill="%s"/>`, x, y+13*px, length, 20*px, bar.Ink.Fill())
		}
		fmt.Fprintf(w, `<text x="%d" y="%d">%s</text>`, x+length+7*px, y+29*px, template.HTMLEscapeString(bar.Text))
	}
}

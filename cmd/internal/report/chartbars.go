package report

import (
	"bytes"
	"fmt"
	"html/template"
	"math"

	"rxsplit/label/unit"
)

// chart is a drawing with what a screen reader is told of it.
type chart struct {
	ID, Title, Desc string
	Width, Height   int
	Body            template.HTML
	Note            string
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

// band is a range of rates that a chart marks.
type band struct {
	low, high float64
	text      string
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

// bars draws acres over a rate with marked bands, of which there is one at least.
// The first is shaded; the others are spans above the bars.
func (c *chart) bars(b bins, bands []band, s unit.System, rateTitle string) {
	a := barAxes{low: b.low, high: b.high(), most: b.most(s), top: chartTop + (len(bands)-1)*bandRow}
	for _, m := range bands {
		a.low, a.high = min(a.low, m.low), max(a.high, m.high)
	}
	pad := (a.high - a.low) / 60
	a.low, a.high = max(a.low-pad, 0), a.high+pad
	step := niceStep(a.most / 5)
	a.most = math.Ceil(a.most*1.02/step) * step
	var w bytes.Buffer
	left, right := a.x(bands[0].low), a.x(bands[0].high)
	fmt.Fprintf(&w, `<rect class="band" x="%d" y="%d" width="%d" height="%d"/>`, left, a.top, right-left, chartHigh)
	a.grid(&w, step, s, rateTitle)
	a.columns(&w, b, s, rateTitle)
	for i, m := range bands {
		a.mark(&w, m, i)
	}
	fmt.Fprintf(&w, `<path class="axis" d="M%d %dH%d"/>`, chartLeft, a.bottom(), chartRight)
	c.Width, c.Height, c.Body = chartWidth, a.bottom()+chartFoot, template.HTML(w.String())
}

// grid draws lines of acres, their numbers, and the numbers of the rate axis.
func (a barAxes) grid(w *bytes.Buffer, step float64, s unit.System, rateTitle string) {
	for v := 0.0; v <= a.most*1.001; v += step {
		y := a.y(v)
		if v > 0 {
			fmt.Fprintf(w, `<path class="grid" d="M%d %dH%d"/>`, chartLeft, y, chartRight)
		}
		fmt.Fprintf(w, `<text class="end" x="%d" y="%d">%s</text>`, chartLeft-8*px, y+5*px, thousands(trim(v)))
	}
	fmt.Fprintf(w, `<text x="%d" y="%d">%s</text>`, 8*px, a.top-28*px, unit.Symbol[unit.Area](s))
	tick := niceStep((a.high - a.low) / 7)
	for v := math.Ceil(a.low/tick) * tick; v <= a.high; v += tick {
		fmt.Fprintf(w, `<path class="axis" d="M%d %dv%d"/><text class="mid" x="%d" y="%d">%s</text>`, a.x(v), a.bottom(), 5*px, a.x(v), a.bottom()+25*px, thousands(trim(v)))
	}
	fmt.Fprintf(w, `<text class="mid" x="%d" y="%d">%s</text>`, (chartLeft+chartRight)/2, a.bottom()+chartFoot-8*px, template.HTMLEscapeString(rateTitle))
}

// columns draws the bars, apart by verdict.
func (a barAxes) columns(w *bytes.Buffer, b bins, s unit.System, rateTitle string) {
	for k, v := range stacked() {
		fmt.Fprintf(w, `<g fill="%s" class="bar">`, verdictFill(v))
		for i, bar := range b.acres {
			if bar[k] == 0 {
				continue
			}
			under := 0.0
			for _, other := range bar[:k] {
				under += other.In(s)
			}
			from := b.low + float64(i)*b.size
			x, right := a.x(from)+px, a.x(from+b.size)-px
			top, bottom := a.y(under+bar[k].In(s)), a.y(under)
			fmt.Fprintf(w, `<rect x="%d" y="%d" width="%d" height="%d"><title>%s</title></rect>`, x, top, max(right-x, px), max(bottom-top, px),
				template.HTMLEscapeString(fmt.Sprintf("%s to %s %s: %s %s %s", trim(from), trim(from+b.size), rateTitle, fixed(bar[k].In(s), 2), unit.Symbol[unit.Area](s), verdictText(v))))
		}
		w.WriteString("</g>")
	}
}

// mark draws the ends of a band and its name, the first band at the top.
func (a barAxes) mark(w *bytes.Buffer, m band, i int) {
	x0, x1 := a.x(m.low), a.x(m.high)
	y := chartTop - 16*px + i*bandRow
	if i == 0 && x0 < x1 {
		fmt.Fprintf(w, `<path class="limit" d="M%d %dV%dM%d %dV%d"/>`, x0, y+8*px, a.bottom(), x1, y+8*px, a.bottom())
	} else if i > 0 {
		fmt.Fprintf(w, `<path class="span" d="M%d %dH%d"/>`, x0, y+7*px, x1)
	}
	half := len(m.text) * 45 // of a name in the usual size
	middle := min(max((x0+x1)/2, chartLeft+half), chartRight-half)
	fmt.Fprintf(w, `<text class="mid name" x="%d" y="%d">%s</text>`, middle, y, template.HTMLEscapeString(m.text))
}

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
	chartWidth  = 760 * px
	chartLeft   = 74 * px
	chartRight  = chartWidth - 20*px
	chartTop    = 52 * px
	chartBottom = 300 * px
	chartHeight = 366 * px
)

// band is a range of rates that a chart marks.
type band struct {
	low, high float64
	text      string
}

// barAxes brings rates and acres to the drawing.
type barAxes struct{ low, high, most float64 }

func (a barAxes) x(rate float64) int {
	return chartLeft + round((rate-a.low)/(a.high-a.low)*(chartRight-chartLeft))
}

func (a barAxes) y(acres float64) int {
	return chartBottom - round(acres/a.most*(chartBottom-chartTop))
}

// bars draws acres over a rate with marked bands. Only the first band is shaded;
// the others are drawn as spans above the bars.
func bars(b bins, bands []band, s unit.System, rateTitle string) template.HTML {
	a := barAxes{low: b.low, high: b.high(), most: b.most(s)}
	for _, m := range bands {
		a.low, a.high = min(a.low, m.low), max(a.high, m.high)
	}
	pad := (a.high - a.low) / 60
	a.low, a.high = max(a.low-pad, 0), a.high+pad
	step := niceStep(a.most / 5)
	a.most = math.Ceil(a.most*1.02/step) * step
	var w bytes.Buffer
	for _, m := range bands[:min(1, len(bands))] {
		fmt.Fprintf(&w, `<rect class="band" x="%d" y="%d" width="%d" height="%d"/>`, a.x(m.low), chartTop, a.x(m.high)-a.x(m.low), chartBottom-chartTop)
	}
	a.grid(&w, step, s, rateTitle)
	a.columns(&w, b, s, rateTitle)
	for i, m := range bands {
		a.mark(&w, m, i)
	}
	fmt.Fprintf(&w, `<path class="axis" d="M%d %dH%d"/>`, chartLeft, chartBottom, chartRight)
	return template.HTML(w.String())
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
	fmt.Fprintf(w, `<text x="%d" y="%d">%s</text>`, 8*px, 24*px, unit.AreaSymbol(s))
	tick := niceStep((a.high - a.low) / 7)
	for v := math.Ceil(a.low/tick) * tick; v <= a.high; v += tick {
		fmt.Fprintf(w, `<path class="axis" d="M%d %dv%d"/><text class="mid" x="%d" y="%d">%s</text>`, a.x(v), chartBottom, 5*px, a.x(v), chartBottom+25*px, thousands(trim(v)))
	}
	fmt.Fprintf(w, `<text class="mid" x="%d" y="%d">%s</text>`, (chartLeft+chartRight)/2, chartHeight-8*px, template.HTMLEscapeString(rateTitle))
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
				template.HTMLEscapeString(fmt.Sprintf("%s to %s %s: %s %s %s", trim(from), trim(from+b.size), rateTitle, fixed(bar[k].In(s), 2), unit.AreaSymbol(s), verdictText(v))))
		}
		w.WriteString("</g>")
	}
}

// mark draws the ends of a band and its name: the first above the bars, the others
// as spans below that.
func (a barAxes) mark(w *bytes.Buffer, m band, i int) {
	x0, x1 := a.x(m.low), a.x(m.high)
	if i == 0 {
		fmt.Fprintf(w, `<path class="limit" d="M%d %dV%dM%d %dV%d"/>`, x0, chartTop-8*px, chartBottom, x1, chartTop-8*px, chartBottom)
	} else {
		fmt.Fprintf(w, `<path class="span" d="M%d %dH%d"/>`, x0, chartTop+(i*24+6)*px, x1)
	}
	middle := (x0 + x1) / 2
	half := len(m.text) * 45
	middle = min(max(middle, chartLeft+half), chartRight-half)
	y := chartTop - 16*px
	if i > 0 {
		y = chartTop + (i*24)*px
	}
	fmt.Fprintf(w, `<text class="mid name" x="%d" y="%d">%s</text>`, middle, y, template.HTMLEscapeString(m.text))
}

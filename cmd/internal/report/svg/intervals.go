package svg

import (
	"bytes"
	"fmt"
	"html/template"
	"math"

	"rxsplit/cmd/internal/report/figures"
)

// Intervals are values in a row each on one axis, some with an interval, and marked limits.
type Intervals struct {
	Axis   string // what the axis says
	Rows   []Interval
	Limits []Limit
}

// Interval is one row; Low and High equal Value where there is none.
type Interval struct {
	Name, Text       string
	Value, Low, High float64
	Sum              bool // of the rows above
	Bar              bool // the interval is what counts; a value of 0 is none
}

// Limit is a value that the rows are held against.
type Limit struct {
	Value float64
	Text  string
}

const (
	intervalHigh = 34 * px
	barHigh      = 20 * px // of a row that is a bar: many of them are to be seen at once
	barName      = 44 * px // room for what it is called, a number
	barText      = 215 * px
)

// Draw draws the rows under the names of the limits.
func (c *Intervals) Draw() Drawing {
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range c.Rows {
		low, high = min(low, r.Low), max(high, r.High)
	}
	for _, l := range c.Limits {
		low, high = min(low, l.Value), max(high, l.Value)
	}
	pad := max(high-low, 1e-9) / 20
	low, high = low-pad, high+pad
	left, right, row := rowName, chartWidth-150*px, intervalHigh
	if len(c.Rows) > 0 && c.Rows[0].Bar {
		left, right, row = barName, chartWidth-barText, barHigh
	}
	x := func(v float64) int { return left + round((v-low)/(high-low)*float64(right-left)) }
	top := 14*px + 24*px*len(c.Limits)
	bottom := top + row*len(c.Rows)
	var w bytes.Buffer
	tick := NiceStep((high - low) / 6)
	for v := math.Ceil(low/tick) * tick; v <= high; v += tick {
		if math.Abs(v) < tick/1e6 {
			v = 0
		}
		fmt.Fprintf(&w, `<path class="grid" d="M%d %dV%d"/><text class="mid" x="%d" y="%d">%s</text>`, x(v), top, bottom, x(v), bottom+22*px, figures.Thousands(figures.Trim(v)))
	}
	for i, l := range c.Limits {
		y := 16*px + 24*px*i
		fmt.Fprintf(&w, `<path class="limit" d="M%d %dV%d"/><text class="mid name" x="%d" y="%d">%s</text>`, x(l.Value), y+6*px, bottom, x(l.Value), y, template.HTMLEscapeString(l.Text))
	}
	for i, r := range c.Rows {
		y := top + row*i + row/2
		class := ""
		if r.Sum || r.Bar {
			fmt.Fprintf(&w, `<path class="span" d="M%d %dH%d"/>`, x(r.Low), y, x(r.High))
		}
		if r.Sum {
			class = ` class="strong"`
		} else if r.Low < r.High && !r.Bar {
			fmt.Fprintf(&w, `<path class="axis" d="M%d %dH%d"/>`, x(r.Low), y, x(r.High))
		}
		fmt.Fprintf(&w, `<text%s x="%d" y="%d">%s</text>`, class, 8*px, y+5*px, template.HTMLEscapeString(r.Name))
		if !r.Bar || r.Value > 0 {
			fmt.Fprintf(&w, `<circle class="bar" cx="%d" cy="%d" r="%d"/>`, x(r.Value), y, 6*px)
		}
		fmt.Fprintf(&w, `<text%s x="%d" y="%d">%s</text>`, class, right+14*px, y+5*px, template.HTMLEscapeString(r.Text))
	}
	fmt.Fprintf(&w, `<path class="axis" d="M%d %dH%d"/><text class="mid" x="%d" y="%d">%s</text>`, left, bottom, right, (left+right)/2, bottom+48*px, template.HTMLEscapeString(c.Axis))
	return Drawing{chartWidth, bottom + 58*px, template.HTML(w.String())}
}

// Curve is a share from 0 to 1 over a value from 0 on, with one value marked.
type Curve struct {
	Axis string // what the axis of values says
	High float64
	Of   func(v float64) float64 // NaN where there is none
	Mark Limit
}

// Draw draws the curve.
func (c *Curve) Draw() Drawing {
	const top, points = 30 * px, 120
	bottom := top + chartHigh
	x := func(v float64) int { return chartLeft + round(v/c.High*(chartRight-chartLeft)) }
	y := func(v float64) int { return bottom - round(v*chartHigh) }
	var w bytes.Buffer
	for v := 0; v <= 100; v += 25 {
		fmt.Fprintf(&w, `<path class="grid" d="M%d %dH%d"/><text class="end" x="%d" y="%d">%d %%</text>`, chartLeft, y(float64(v)/100), chartRight, chartLeft-8*px, y(float64(v)/100)+5*px, v)
	}
	tick := NiceStep(c.High / 8)
	for v := 0.0; v <= c.High*1.001; v += tick {
		fmt.Fprintf(&w, `<text class="mid" x="%d" y="%d">%s</text>`, x(v), bottom+24*px, figures.Thousands(figures.Trim(v)))
	}
	w.WriteString(`<path class="curve" d="`)
	draw := "M"
	for i := 1; i <= points; i++ {
		v := c.High * float64(i) / points
		if share := c.Of(v); !math.IsNaN(share) {
			fmt.Fprintf(&w, "%s%d %d", draw, x(v), y(share))
			draw = "L"
		}
	}
	fmt.Fprintf(&w, `"/><path class="limit" d="M%d %dV%d"/><text class="mid name" x="%d" y="%d">%s</text>`, x(c.Mark.Value), top, bottom, x(c.Mark.Value), 20*px, template.HTMLEscapeString(c.Mark.Text))
	fmt.Fprintf(&w, `<path class="axis" d="M%d %dH%d"/><text class="mid" x="%d" y="%d">%s</text>`, chartLeft, bottom, chartRight, (chartLeft+chartRight)/2, bottom+50*px, template.HTMLEscapeString(c.Axis))
	return Drawing{chartWidth, bottom + 60*px, template.HTML(w.String())}
}

// The drawing of how often values come.
const (
	bins      = 24
	binsWide  = 240 * px
	binsHigh  = 60 * px
	binsWidth = binsWide / bins
)

// Histogram draws how often values come, from the lowest to the highest.
func Histogram(values []float64, low, high float64) Drawing {
	var count [bins]int
	most := 0
	for _, v := range values {
		if !(v >= low && v <= high) {
			continue
		}
		bin := 0
		if high > low {
			bin = min(int((v-low)/(high-low)*bins), bins-1)
		}
		count[bin]++
		most = max(most, count[bin])
	}
	var b bytes.Buffer
	for i, n := range count {
		if n > 0 {
			h := max(binsHigh*n/most, 2*px)
			fmt.Fprintf(&b, `<rect x="%d" y="%d" width="%d" height="%d"/>`, i*binsWidth+px/2, binsHigh-h, binsWidth-px, h)
		}
	}
	return Drawing{binsWide, binsHigh, template.HTML(b.String())}
}

package report

import (
	"fmt"
	"math"

	"rxsplit/label/unit"
)

// foot draws what belongs to every map: the scale bar and the arrow to the north.
func (f mapFrame) foot(s unit.System) string {
	length, text := f.scaleBar(s)
	x, y := mapMargin, f.height-mapMargin
	bar := round(unit.Meters(length) * f.perMeter)
	out := fmt.Sprintf(`<g class="foot"><path d="M%d %dv%dh%dv%d" fill="none"/><path d="M%d %dv%dh%dv%dz" class="solid"/><text x="%d" y="%d">%s</text></g>`,
		x, y-9*px, 9*px, bar, -9*px, x, y-4*px, 4*px, bar/2, -4*px, x+bar+8*px, y, text)
	n := f.width - mapMargin - 9*px
	return out + fmt.Sprintf(`<g class="foot"><path d="M%d %dl%d %dl%d %dl%d %dz" class="solid"/><text x="%d" y="%d" class="mid">N</text></g>`,
		n, y-42*px, 8*px, 24*px, -8*px, -6*px, -8*px, 6*px, n, y)
}

// scaleBar returns a round length of at most a quarter of the drawing.
func (f mapFrame) scaleBar(s unit.System) (unit.Length, string) {
	u := unit.Foot
	if s == unit.Metric {
		u = unit.Meter
	}
	n := niceBelow(float64(f.width) / 4 / f.perMeter / unit.Meters(u))
	return unit.Length(n) * u, thousands(fmt.Sprint(n)) + " " + unit.Symbol[unit.Length](s)
}

// niceBelow returns the largest of 1, 2, 2.5 and 5 times a power of ten that is
// not above v.
func niceBelow(v float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{5, 2.5, 2} {
		if m*p <= v {
			return m * p
		}
	}
	return p
}

package svg

import (
	"bytes"
	"fmt"
	"html/template"
)

// smallStep is the side of a square that a small map is made of, in tenths of a pixel.
const smallStep = 4 * px

// Small draws a map to be shown small, of few bytes whatever the field: the ground by class
// alone, without scale and without words.
func (d *Drawer) Small(m Map) template.HTML {
	shades := make([]uint8, d.ground.Shapes.Len())
	for i, c := range m.Class {
		shades[d.ground.Record(i)] = c + 1
	}
	var trace tracer
	trace.shade(newRaster(d.ground.Shapes, d.frame, smallStep), shades)
	var b bytes.Buffer
	for c := range m.Fills {
		if path := trace.path(nil, uint8(c)); len(path) > 0 {
			fmt.Fprintf(&b, `<path fill="%s" d="%s"/>`, m.Fills[c], path)
		}
	}
	return template.HTML(b.String())
}

// SmallSize returns the width and the height of a small map, which has no foot.
func (d *Drawer) SmallSize() (width, height int) { return d.frame.width, d.frame.height - mapFoot }

// The drawing of how often values come.
const (
	bins      = 24
	binsWide  = 240 * px
	binsHigh  = 60 * px
	binsWidth = binsWide / bins
)

// Histogram draws how often values come, from the lowest to the highest.
func Histogram(values []float64, low, high float64) template.HTML {
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
	return template.HTML(b.String())
}

// HistogramSize returns the width and the height of a [Histogram].
func HistogramSize() (width, height int) { return binsWide, binsHigh }

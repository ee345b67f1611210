package svg

import (
	"bytes"
	"fmt"
	"html/template"
)

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

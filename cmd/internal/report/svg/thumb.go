package svg

import (
	"bytes"
	"html/template"
)

// thumbStep is the side of the squares that a small map is drawn of.
const thumbStep = 8 * px

// Thumb draws a small map: the classes alone, coarsely, one over the other. It is empty
// where there is no ground to draw.
func Thumb(ground Ground, m Map) (width, height int, body template.HTML) {
	frame, ok := newFrame(ground.Shapes.Extent())
	if !ok || ground.Zones == 0 {
		return 0, 0, ""
	}
	shades, zones := make([]uint8, ground.Shapes.Len()), make([]int, len(m.Fills))
	for i, c := range m.Class {
		shades[ground.Record(i)] = c + 1
		zones[c]++
	}
	var b bytes.Buffer
	var trace tracer
	trace.shade(newRaster(ground.Shapes, frame, thumbStep), shades)
	for c, fill := range m.Fills {
		if zones[c] == 0 {
			continue
		}
		b.WriteString(`<path fill="` + fill + `" d="`)
		b.Write(trace.path(nil, uint8(c)))
		b.WriteString(`"/>`)
	}
	return frame.width, frame.height - mapFoot, template.HTML(b.String())
}

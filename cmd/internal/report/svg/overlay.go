package svg

import (
	"bytes"
	"fmt"
	"html/template"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// MostNumbers is how many zones are tried for a number on the map.
const MostNumbers = 300

// Numbers writes the numbers of zones, which come in the order of their weight, into
// a map, as many as fit without touching: first in the size that a phone needs,
// then, in the gaps, in the size for larger screens and paper.
func (d *Drawer) Numbers(zones []int) template.HTML {
	var b bytes.Buffer
	var taken []orb.Bound
	rest := zones[:min(len(zones), MostNumbers)]
	for _, pass := range []struct {
		class string
		size  float64
	}{{"n", 25 * px}, {"n few", 14 * px}} {
		left := rest[:0:0]
		for _, z := range rest {
			box, at, fits := d.numberBox(z, pass.size)
			if !fits || slices.ContainsFunc(taken, box.Intersects) {
				left = append(left, z)
				continue
			}
			taken = append(taken, box)
			fmt.Fprintf(&b, `<text class="%s" x="%d" y="%d">%d</text>`, pass.class, round(at[0]), round(at[1]), d.ground.Number(z))
		}
		rest = left
	}
	return template.HTML(b.String())
}

// numberBox returns the box of a number written in a size; it fits if it does not
// reach far beyond its zone.
func (d *Drawer) numberBox(zone int, size float64) (box orb.Bound, at orb.Point, fits bool) {
	ground := d.frame.box(d.ground.Shapes.Bound(d.ground.Record(zone)))
	wide := 0.62 * size * float64(len(fmt.Sprint(d.ground.Number(zone))))
	reach := 2.5
	if d.shapes == nil {
		reach = 1.1 // a cell among joined ones has no border to tell whose number it is
	}
	if wide > reach*(ground.Max[0]-ground.Min[0]) || size > reach*(ground.Max[1]-ground.Min[1]) {
		return box, at, false
	}
	at = d.Spot(zone)
	box = orb.Bound{
		Min: orb.Point{at[0] - float64(wide/2) - float64(3*px), at[1] - float64(size/2)},
		Max: orb.Point{at[0] + float64(wide/2) + float64(3*px), at[1] + float64(size/2)},
	}
	frame := orb.Bound{Max: orb.Point{float64(d.frame.width), float64(d.frame.height - mapFoot)}}
	return box, at, frame.Contains(box.Min) && frame.Contains(box.Max)
}

// Spot returns a place well inside a zone, in tenths of a pixel of the drawing.
func (d *Drawer) Spot(zone int) orb.Point {
	return d.frame.at(geo.InteriorPoint(d.ground.Shapes.Shape(d.ground.Record(zone))))
}

// groundRoom is how many bytes the drawing of ground over a map may take.
const groundRoom = 250_000

// Path returns the path of ground in lon/lat, as finely as the room allows and never
// by a pixel or more; if that is too much still, as the squares of a raster.
func (d *Drawer) Path(ground orb.MultiPolygon) string {
	for less := 3.0; less < px; less += 3 {
		var path []byte
		var ring []orb.Point
		for _, polygon := range ground {
			for _, r := range polygon {
				ring = d.frame.ring(ring[:0], r)
				path = appendRing(path, ring, less)
			}
		}
		if len(path) <= groundRoom {
			return string(path)
		}
	}
	var s geo.Shapes
	s.Append(ground)
	for step := px; ; step *= 2 {
		var trace tracer
		trace.shade(newRaster(&s, d.frame, step), []uint8{1})
		if path := trace.path(nil, 0); len(path) <= groundRoom || step >= 16*px {
			return string(path)
		}
	}
}

// Outline draws the outline of a path over a map: a dashed line that stands out from
// any ground.
func Outline(path string) template.HTML {
	return template.HTML(`<g class="kept"><path d="` + path + `"/><path class="dash" d="` + path + `"/></g>`)
}

// Cover draws a path over a map in an ink, with what is to be said of it.
func Cover(path string, ink Ink, tip string) template.HTML {
	return template.HTML(fmt.Sprintf(`<path class="z cut" role="img" fill="%s" d="%s"><title>%s</title></path>`, ink.Fill(), path, template.HTMLEscapeString(tip)))
}

package report

import (
	"bytes"
	"fmt"
	"html/template"
	"sync"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/rx"
)

// mostShapes is how many zones are drawn as shapes of their own, which a pointer
// or the keyboard can reach; of more, equal neighbors are joined.
const mostShapes = 400

// mapRoom is how many bytes all drawings of zones together may take.
const mapRoom = 2_000_000

// mapDrawer draws the maps of one field.
type mapDrawer struct {
	p        *rx.Prescription
	frame    mapFrame
	shapes   []string // path data of each zone; nil if cells are joined
	raster   *mapRaster
	touching [][2]int32 // records side by side in the raster
	squares  []int      // of each record in it
	less     float64    // what was left out of borders, in tenths of a pixel
}

// newDrawer is nil if there is no ground to draw.
func newDrawer(p *rx.Prescription) *mapDrawer {
	frame, ok := newFrame(p.LonLat.Extent())
	if !ok || len(p.Zones) == 0 {
		return nil
	}
	d := &mapDrawer{p: p, frame: frame}
	if len(p.Zones) <= mostShapes {
		d.drawShapes()
	}
	return d
}

// drawShapes traces every zone on its own.
func (d *mapDrawer) drawShapes() {
	d.less = 3
	d.shapes = make([]string, len(d.p.Zones))
	var path []byte
	var ring []orb.Point
	for i, z := range d.p.Zones {
		path = path[:0]
		from, to := d.p.LonLat.ShapeRings(int(z.Record))
		for k := from; k < to; k++ {
			ring = ring[:0]
			for _, p := range d.p.LonLat.Ring(k) {
				ring = append(ring, d.frame.at(p))
			}
			path = appendRing(path, ring, d.less)
		}
		d.shapes[i] = string(path)
	}
}

// draw returns the bodies of the maps, a list in their order. Joined cells are
// drawn as finely as the room allows.
func (d *mapDrawer) draw(list []mapTheme) []template.HTML {
	if d.shapes != nil {
		return each(list, d.zones)
	}
	for step := px / 2; ; step *= 2 {
		d.raster, d.less = newRaster(d.p.LonLat, d.frame, step), 0.75*float64(step)
		d.touching, d.squares = d.raster.touching(d.p.LonLat.Len()), d.raster.count(d.p.LonLat.Len())
		out, size := each(list, d.joined), 0
		for _, body := range out {
			size += len(body)
		}
		if size <= mapRoom || step >= 16*px {
			return out
		}
	}
}

// each draws the maps side by side: none of them needs another.
func each(list []mapTheme, draw func(*mapTheme) string) []template.HTML {
	out := make([]template.HTML, len(list))
	var all sync.WaitGroup
	for i := range list {
		all.Go(func() { out[i] = template.HTML(draw(&list[i])) })
	}
	all.Wait()
	return out
}

// zones draws every zone with what is to be said of it.
func (d *mapDrawer) zones(t *mapTheme) string {
	var b bytes.Buffer
	for c := range t.classes {
		open := false
		for i, path := range d.shapes {
			if int(t.class[i]) != c || path == "" {
				continue
			}
			if !open {
				fmt.Fprintf(&b, `<g fill="%s">`, t.classes[c].Fill)
				open = true
			}
			focus := ""
			if t.focus {
				focus = fmt.Sprintf(` tabindex="0" data-zone="%d"`, d.p.Zones[i].Number())
			}
			fmt.Fprintf(&b, `<path class="z" role="img"%s d="%s"><title>%s</title></path>`, focus, path, template.HTMLEscapeString(t.tip(i)))
		}
		if open {
			b.WriteString("</g>")
		}
	}
	return b.String()
}

// joined draws the classes one over the other, bare ground under all, each with
// the ground of those over it, so that borders simplified on their own leave no
// gaps. Over them lie the borders of the largest shapes, unseen until a pointer or
// the keyboard comes to one.
func (d *mapDrawer) joined(t *mapTheme) string {
	j := d.join(t)
	shades := make([]uint8, d.p.LonLat.Len())
	for i, z := range d.p.Zones {
		if c := t.class[i]; c != noClass {
			shades[z.Record] = uint8((int(c)+t.blank)%len(t.classes)) + 1
		}
	}
	var b bytes.Buffer
	var trace tracer
	trace.shade(d.raster, shades)
	for k := range t.classes {
		c := (k + len(t.classes) - t.blank) % len(t.classes)
		if t.classes[c].Zones == 0 {
			continue
		}
		b.WriteString(`<path fill="` + t.classes[c].Fill + `"`)
		tip := ""
		if rest := j.rest[c]; len(rest) > 0 {
			fmt.Fprintf(&b, ` class="r" role="img"%s`, t.stop())
			tip = "<title>" + template.HTMLEscapeString(t.tipOf(rest, "in smaller shapes of this class")) + "</title>"
		}
		b.WriteString(` d="`)
		b.Write(trace.path(nil, uint8(k)))
		b.WriteString(`">` + tip + `</path>`)
	}
	trace.shade(d.raster, j.shade)
	for g, path := range trace.each(len(j.groups), 1.5*float64(d.raster.step)) {
		if len(path) > 0 {
			fmt.Fprintf(&b, `<path class="z j" role="img"%s d="%s"><title>%s</title></path>`, t.stop(), path, template.HTMLEscapeString(t.tipOf(j.groups[g], "joined")))
		}
	}
	return b.String()
}

// stop makes a shape a stop of the tab key.
func (t *mapTheme) stop() string {
	if t.focus {
		return ` tabindex="0"`
	}
	return ""
}

// tipOf says what zones that are drawn as one shape are.
func (t *mapTheme) tipOf(zones []int, how string) string {
	if len(zones) == 1 {
		return t.tip(zones[0])
	}
	return t.tips(zones, how)
}

// drawnBox returns the box around a zone in the drawing.
func (d *mapDrawer) drawnBox(zone int) orb.Bound {
	return d.frame.box(d.p.LonLat.Bound(int(d.p.Zones[zone].Record)))
}

// spot returns where a zone's number is drawn.
func (d *mapDrawer) spot(zone int) orb.Point {
	return d.frame.at(geo.InteriorPoint(d.p.LonLat.Shape(int(d.p.Zones[zone].Record))))
}

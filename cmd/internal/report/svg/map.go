// Package svg draws maps and charts as parts of an HTML page, from plain data: what is
// drawn and what is said of it comes from its callers. Drawings name classes of the
// page's style sheet and the patterns of [Patterns].
package svg

import (
	"bytes"
	"fmt"
	"html/template"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/cores"
	"rxsplit/label/unit"
)

// Ground is what the maps of one field are drawn of.
type Ground struct {
	Shapes *geo.Shapes        // lon/lat
	Zones  int                // how many there are
	Record func(zone int) int // of each, the shape
	Number func(zone int) int // of each, as people know it
}

// Map is what one map shows: a class for every zone.
type Map struct {
	Fills []string // of the classes
	Class []uint8  // of each zone
	Blank int      // how many classes, the last ones, are bare ground
	Focus bool     // zones take the keyboard's focus
	Tip   func(zone int) string
	Tips  func(zones []int, how string) string // of those that are drawn as one
}

// mostShapes is how many zones are drawn as shapes of their own, which a pointer
// or the keyboard can reach; of more, equal neighbors are joined.
const mostShapes = 400

// mapRoom is how many bytes all drawings of zones together may take.
const mapRoom = 450_000

// Drawer draws the maps of one field.
type Drawer struct {
	ground  Ground
	frame   frame
	shapes  []string // path data of each zone; nil if cells are joined
	raster  *raster
	records []int32 // of each zone, where cells are joined
	squares []int32 // of each record in the raster
	less    float64 // what was left out of borders, in tenths of a pixel
}

// NewDrawer is nil if there is no ground to draw.
func NewDrawer(ground Ground) *Drawer {
	frame, ok := newFrame(ground.Shapes.Extent())
	if !ok || ground.Zones == 0 {
		return nil
	}
	d := &Drawer{ground: ground, frame: frame}
	if ground.Zones <= mostShapes {
		d.drawShapes()
		return d
	}
	d.records = make([]int32, ground.Zones)
	for i := range d.records {
		d.records[i] = int32(ground.Record(i))
	}
	return d
}

// Size returns the width and the height of the maps, in tenths of a pixel.
func (d *Drawer) Size() (width, height int) { return d.frame.width, d.frame.height }

// Foot draws what belongs to every map: the scale bar and the arrow to the north.
func (d *Drawer) Foot(s unit.System) template.HTML { return template.HTML(d.frame.foot(s)) }

// Simplified says by how many meters on the ground the borders that were drawn last
// are simplified at most, and whether zones of one class are joined.
func (d *Drawer) Simplified() (meters float64, joined bool) {
	return d.less / d.frame.perMeter, d.shapes == nil
}

// drawShapes traces every zone on its own.
func (d *Drawer) drawShapes() {
	d.less = 3
	d.shapes = make([]string, d.ground.Zones)
	cores.Blocks(len(d.shapes), 8, func(first, end int) {
		var path []byte
		var ring []orb.Point
		for i := first; i < end; i++ {
			path = path[:0]
			from, to := d.ground.Shapes.ShapeRings(d.ground.Record(i))
			for k := from; k < to; k++ {
				ring = d.frame.ring(ring[:0], d.ground.Shapes.Ring(k))
				path = appendRing(path, ring, d.less)
			}
			d.shapes[i] = string(path)
		}
	})
}

// Draw returns the bodies of the maps, a list in their order. Joined cells are
// drawn as finely as the room allows.
func (d *Drawer) Draw(list []Map) []template.HTML {
	if d.shapes != nil {
		out := make([]template.HTML, len(list))
		for i := range list {
			out[i] = template.HTML(d.zones(&list[i]))
		}
		return out
	}
	for step := px / 2; ; step *= 2 {
		d.raster, d.less = newRaster(d.ground.Shapes, d.frame, step), 0.75*float64(step)
		d.squares = d.raster.count(d.ground.Shapes.Len())
		most := mapRoom
		if step >= 16*px {
			most = 0
		}
		if out := d.allJoined(list, most); out != nil {
			return out
		}
	}
}

// zones draws every zone with what is to be said of it.
func (d *Drawer) zones(t *Map) string {
	return d.byClass(t, func(b *bytes.Buffer, i int) {
		focus := ""
		if t.Focus {
			focus = fmt.Sprintf(` tabindex="0" data-zone="%d"`, d.ground.Number(i))
		}
		fmt.Fprintf(b, `<path class="z" role="img"%s d="%s"><title>%s</title></path>`, focus, d.shapes[i], template.HTMLEscapeString(t.Tip(i)))
	})
}

// byClass draws the zones that are not too small for it, in a group of each class.
func (d *Drawer) byClass(t *Map, draw func(b *bytes.Buffer, zone int)) string {
	var b bytes.Buffer
	for c, fill := range t.Fills {
		open := false
		for i, path := range d.shapes {
			if int(t.Class[i]) != c || path == "" {
				continue
			}
			if !open {
				fmt.Fprintf(&b, `<g fill="%s">`, fill)
				open = true
			}
			draw(&b, i)
		}
		if open {
			b.WriteString("</g>")
		}
	}
	return b.String()
}

// allJoined draws the maps of joined zones. Those that show the same classes are traced once. It
// returns nil where they take more than so many bytes; 0 for any.
func (d *Drawer) allJoined(list []Map, most int) []template.HTML {
	first := make([]int, len(list))
	for i := range list {
		first[i] = slices.IndexFunc(list[:i+1], func(o Map) bool {
			return o.Blank == list[i].Blank && len(o.Fills) == len(list[i].Fills) && bytes.Equal(o.Class, list[i].Class)
		})
	}
	shapes := make([]traced, len(list))
	cores.Each(len(list), func(i int) {
		if first[i] == i {
			shapes[i] = d.trace(&list[i], most)
		}
	})
	if slices.ContainsFunc(shapes, func(s traced) bool { return s.over }) {
		return nil
	}
	out := make([]template.HTML, len(list))
	cores.Each(len(list), func(i int) { out[i] = template.HTML(shapes[first[i]].draw(&list[i])) })
	size := 0
	for _, body := range out {
		size += len(body)
	}
	if most > 0 && size > most {
		return nil
	}
	return out
}

// traced are the shapes of a map of joined zones.
type traced struct {
	joins
	order   []int    // of the classes, the lowest first
	classes [][]byte // paths, nil for a class without zones
	each    [][]byte // paths of the groups
	over    bool     // they take more bytes than are of use, and are not all here
}

// trace follows the borders of the classes, each with the ground of those over it, so that
// borders simplified on their own leave no gaps, and those of the largest shapes, up to so many
// bytes; 0 for any.
func (d *Drawer) trace(t *Map, most int) traced {
	s := traced{joins: d.join(t), classes: make([][]byte, len(t.Fills))}
	shades, zones := make([]uint8, d.ground.Shapes.Len()), make([]int, len(t.Fills))
	for i, c := range t.Class {
		shades[d.records[i]] = uint8((int(c)+t.Blank)%len(t.Fills)) + 1
		zones[c]++
	}
	trace := tracer{most: most}
	trace.shade(d.raster, shades)
	for k := range t.Fills {
		c := (k + len(t.Fills) - t.Blank) % len(t.Fills)
		if zones[c] > 0 {
			s.order, s.classes[c] = append(s.order, c), trace.path(nil, uint8(k))
		}
	}
	if !trace.over() {
		trace.shade(d.raster, s.shade)
		s.each = trace.each(len(s.groups), 1.5*float64(d.raster.step))
	}
	s.over = trace.over()
	return s
}

// draw draws the classes one over the other, bare ground under all. Over them lie the
// borders of the largest shapes, unseen until a pointer or the keyboard comes to one.
func (s *traced) draw(t *Map) string {
	var b bytes.Buffer
	for _, c := range s.order {
		b.WriteString(`<path fill="` + t.Fills[c] + `"`)
		tip := ""
		if rest := s.rest[c]; len(rest) > 0 {
			fmt.Fprintf(&b, ` class="r" role="img"%s`, t.stop())
			tip = "<title>" + template.HTMLEscapeString(t.tipOf(rest, "in smaller shapes of this class")) + "</title>"
		}
		b.WriteString(` d="`)
		b.Write(s.classes[c])
		b.WriteString(`">` + tip + `</path>`)
	}
	for g, path := range s.each {
		if len(path) > 0 {
			fmt.Fprintf(&b, `<path class="z j" role="img"%s d="%s"><title>%s</title></path>`, t.stop(), path, template.HTMLEscapeString(t.tipOf(s.groups[g], "joined")))
		}
	}
	return b.String()
}

// stop makes a shape a stop of the tab key.
func (t *Map) stop() string {
	if t.Focus {
		return ` tabindex="0"`
	}
	return ""
}

// tipOf says what zones that are drawn as one shape are.
func (t *Map) tipOf(zones []int, how string) string {
	if len(zones) == 1 {
		return t.Tip(zones[0])
	}
	return t.Tips(zones, how)
}

// thumbStep is the side of the squares that a small map is drawn of.
const thumbStep = 8 * px

// Thumb draws a small map: the classes alone, coarsely, one over the other, each half a square
// over its edge, so that no white shows between neighbors. It is empty where there is no ground to draw.
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
		fmt.Fprintf(&b, `<path fill="%s" stroke="%s" stroke-width="%d" d="`, fill, fill, thumbStep)
		b.Write(trace.path(nil, uint8(c)))
		b.WriteString(`"/>`)
	}
	return frame.width, frame.height - mapFoot, template.HTML(b.String())
}

// A map that shows several things in turn has each zone once: in a group of its own, which
// is filled by what is shown, and with a name by which other drawings show it again.

// Joined reports whether zones are joined for drawing, as there are too many to be shapes
// of their own.
func (d *Drawer) Joined() bool { return d.shapes == nil }

// Live draws every zone on its own, filled by its class, with what is to be said of it; for
// zones that are not joined. A zone too small to be drawn has an empty group.
func (d *Drawer) Live(m Map) template.HTML {
	var b bytes.Buffer
	for i, path := range d.shapes {
		n := d.ground.Number(i)
		fmt.Fprintf(&b, `<g fill="%s">`, m.Fills[m.Class[i]])
		if path != "" {
			fmt.Fprintf(&b, `<path class="z" id="z%d" role="img" tabindex="0" data-zone="%d" d="%s"><title>%s</title></path>`, n, n, path, template.HTMLEscapeString(m.Tip(i)))
		}
		b.WriteString("</g>")
	}
	return template.HTML(b.String())
}

// Again draws the zones of [Drawer.Live] once more by their names, filled by their classes.
func (d *Drawer) Again(m Map) template.HTML {
	return template.HTML(d.byClass(&m, func(b *bytes.Buffer, i int) { fmt.Fprintf(b, `<use href="#z%d"/>`, d.ground.Number(i)) }))
}

// Filled draws a path over a map, filled and with an outline.
func Filled(path, fill string) template.HTML {
	return template.HTML(fmt.Sprintf(`<path class="piece" fill="%s" d="%s"/>`, fill, path))
}

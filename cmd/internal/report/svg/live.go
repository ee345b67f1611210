package svg

import (
	"bytes"
	"fmt"
	"html/template"
)

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
	var b bytes.Buffer
	for c := range m.Fills {
		open := false
		for i, path := range d.shapes {
			if int(m.Class[i]) != c || path == "" {
				continue
			}
			if !open {
				fmt.Fprintf(&b, `<g fill="%s">`, m.Fills[c])
				open = true
			}
			fmt.Fprintf(&b, `<use href="#z%d"/>`, d.ground.Number(i))
		}
		if open {
			b.WriteString("</g>")
		}
	}
	return template.HTML(b.String())
}

// Filled draws a path over a map, filled and with an outline.
func Filled(path, fill string) template.HTML {
	return template.HTML(fmt.Sprintf(`<path class="piece" fill="%s" d="%s"/>`, fill, path))
}

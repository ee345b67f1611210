package geojson

import (
	"fmt"

	"rxsplit/geo"
)

// layer returns what was read.
func (c *collector) layer(name string) *geo.Layer {
	for i := range c.table.fields {
		c.table.fields[i].Kind = c.kinds[i]
	}
	return &geo.Layer{
		Name: name, Format: "GeoJSON",
		Shapes: c.shapes, Attributes: &c.table,
		System: c.system, Remarks: c.remarks(),
	}
}

// remarks lists what was survived.
func (c *collector) remarks() (list []geo.Remark) {
	if c.marked {
		list = append(list, geo.Remark{Rule: "byte-order-mark", Text: "the text begins with a byte order mark; it was skipped"})
	}
	if len(c.closed) > 0 {
		list = append(list, geo.Remark{Rule: "ring-closed", Records: c.closed,
			Text: "rings that did not end where they begin were closed"})
	}
	if n := len(c.flat); n > 0 {
		list = append(list, geo.Remark{Rule: "z-dropped", Records: c.flat,
			Text: fmt.Sprintf("records with more than two ordinates a point: %d; those behind the second were dropped", n)})
	}
	if c.wound > 0 {
		list = append(list, geo.Remark{Rule: "winding",
			Text: fmt.Sprintf("records with rings against the right-hand rule: %d; the first ring of a polygon is its shell all the same", c.wound)})
	}
	return list
}

// failure lists what makes the file unreadable.
func (c *collector) failure(name string) error {
	return &geo.BadFileError{File: name, Bad: c.bad, More: c.more}
}

package geojson

import (
	"fmt"

	"github.com/paulmach/orb"
)

// geometry reads a geometry object or null (RFC 7946 §3.1). inside tells that
// it is a member of a GeometryCollection.
func (d *featureDecoder) geometry(inside bool) error {
	if d.peek() != '{' {
		value, err := d.value()
		if err == nil && !isNull(value) {
			d.troubled("", value, "is not a geometry object")
		}
		return err
	}
	d.pos++
	var kind geometryType
	var seen members
	coordinates, geometries := -1, -1
	for first := true; ; first = false {
		name, err := d.member(first)
		if err != nil {
			return err
		}
		if name == nil {
			break
		}
		switch m := d.known(name); m {
		case typeMember, coordinatesMember, geometriesMember, crsMember:
			d.once(&seen, m, name)
			at := d.pos
			if m == coordinatesMember && d.wanted(kind) {
				if err = d.coordinates(kind); err == nil {
					continue
				}
				return err
			}
			value, err := d.value()
			if err != nil {
				return err
			}
			switch m {
			case typeMember:
				kind = geometryTypeOf(value)
				d.checkType(kind, value, inside)
			case coordinatesMember:
				coordinates = at
			case geometriesMember:
				geometries = at
			case crsMember:
				d.checkCRS(value)
			}
		default:
			if _, err := d.value(); err != nil {
				return err
			}
		}
	}
	return d.deferred(kind, seen, coordinates, geometries)
}

// deferred reads the parts of a geometry that stood before its type; a place
// is -1 if there is nothing to read.
func (d *featureDecoder) deferred(kind geometryType, seen members, coordinates, geometries int) error {
	end := d.pos
	defer func() { d.pos = end }()
	switch {
	case !seen.has(typeMember):
		d.troubled("", nil, `the geometry has no "type"`)
	case d.wanted(kind) && !seen.has(coordinatesMember):
		d.troubled("", nil, fmt.Sprintf(`the %s has no "coordinates"`, kind))
	case d.wanted(kind) && coordinates >= 0:
		d.pos = coordinates
		return d.coordinates(kind)
	case kind == geometryCollection && geometries < 0:
		d.troubled("", nil, `the GeometryCollection has no "geometries"`)
	case kind == geometryCollection && !d.bad:
		d.pos = geometries
		return d.collection()
	}
	return nil
}

// collection reads the members of a GeometryCollection (RFC 7946 §3.1.8) into
// one record.
func (d *featureDecoder) collection() error {
	if !d.take('[') {
		value, err := d.value()
		d.troubled("", value, `"geometries" is not an array`)
		return err
	}
	for first := true; ; first = false {
		if more, err := d.another(first, ']'); !more {
			return err
		}
		if err := d.geometry(true); err != nil {
			return err
		}
	}
}

// notPolygon is said of points and lines.
const notPolygon = "is not a polygon"

func (d *featureDecoder) checkType(kind geometryType, value []byte, inside bool) {
	switch {
	case kind == unknownType:
		d.troubled("", value, "is not a type of geometry")
	case d.points && kind != point:
		d.troubled("", value, "is not a point")
	case !d.wanted(kind) && kind != geometryCollection:
		d.troubled("", value, notPolygon)
	case inside && kind == geometryCollection:
		d.troubled("", value, "stands inside a GeometryCollection")
	}
}

// wanted reports whether coordinates of a geometry are read.
func (d *featureDecoder) wanted(kind geometryType) bool {
	if d.points {
		return kind == point
	}
	return kind.polygonal()
}

// checkCRS refuses ground that is said to lie elsewhere than the file's.
func (d *featureDecoder) checkCRS(value []byte) {
	if !isNull(value) && !d.outer {
		d.troubled("", value, `is a "crs" of its own; only the file's counts`)
	}
}

// Coordinates are most of a file, and general decoders round some numbers twice
// and look at each byte twice: they are walked here, by hand. Whatever is not
// exactly as expected is left at once; the slow path then tells bad grammar
// from a bad position.

// ring reads the positions of one ring (RFC 7946 §3.1.6) and appends them to
// points. ok is false if the text at the cursor is anything else.
func (c *cursor) ring(points []orb.Point, extra *bool) (_ []orb.Point, ok bool) {
	if !c.take('[') {
		return points, false
	}
	for first := true; ; first = false {
		more, err := c.another(first, ']')
		if err != nil {
			return points, false
		}
		if !more {
			return points, true
		}
		p, ok := c.position(extra)
		if !ok {
			return points, false
		}
		points = append(points, p)
	}
}

// position reads two ordinates and drops those behind them, with extra set.
func (c *cursor) position(extra *bool) (p orb.Point, ok bool) {
	if !c.take('[') || !c.ordinate(&p[0]) || !c.take(',') || !c.ordinate(&p[1]) {
		return p, false
	}
	for c.take(',') {
		var dropped float64
		if *extra = true; !c.ordinate(&dropped) {
			return p, false
		}
	}
	return p, c.take(']')
}

func (c *cursor) ordinate(v *float64) (ok bool) {
	c.peek()
	var end int
	if *v, end, ok = number(c.text, c.pos); ok {
		c.pos = end
	}
	return ok
}

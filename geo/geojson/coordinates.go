package geojson

import "github.com/paulmach/orb"

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

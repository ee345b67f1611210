package geojson

import "fmt"

// coordinates reads those of a Polygon or MultiPolygon. What can't be read is
// skipped, if it is JSON, and is the record's trouble.
func (d *featureDecoder) coordinates(kind geometryType) error {
	start := d.pos
	if kind == polygon && d.polygon() || kind == multiPolygon && d.polygons() {
		return nil
	}
	at := d.pos
	d.pos = start
	if _, err := d.value(); err != nil {
		return err
	}
	end := d.pos
	d.pos = at
	d.blamePosition(kind)
	d.pos = end
	return nil
}

func (d *featureDecoder) polygons() bool {
	if !d.take('[') {
		return false
	}
	for first := true; ; first = false {
		more, err := d.another(first, ']')
		if err != nil || !more {
			return err == nil
		}
		if !d.polygon() {
			return false
		}
	}
}

// polygon reads one array of rings. One without any is no polygon.
func (d *featureDecoder) polygon() bool {
	if !d.take('[') {
		return false
	}
	s := &d.part.shapes
	rings := len(s.RingEnds)
	for first := true; ; first = false {
		more, err := d.another(first, ']')
		if err != nil {
			return false
		}
		if !more {
			if len(s.RingEnds) > rings {
				s.PolyEnds = append(s.PolyEnds, int32(len(s.RingEnds)))
			}
			return true
		}
		from := len(s.Points)
		var ok bool
		if s.Points, ok = d.ring(s.Points, &d.flat); !ok {
			return false
		}
		d.closeRing(from, len(s.RingEnds)-rings)
	}
}

// blamePosition says what is wrong with the coordinates at the cursor, which
// are JSON but not what stands there in a polygon.
func (d *featureDecoder) blamePosition(kind geometryType) {
	switch b := d.peek(); {
	case b == '[':
		d.troubled("", nil, fmt.Sprintf("coordinates are nested deeper than those of a %s", kind))
	case b == ']' || b == ',':
		d.troubled("", nil, "a position has fewer than two ordinates")
	case b == '-' || isDigit(b):
		value, _ := d.value()
		if _, _, finite := number(value, 0); finite {
			d.troubled("", value, fmt.Sprintf("stands where a %s has an array", kind))
		} else {
			d.troubled("", value, "is not finite")
		}
	default:
		value, _ := d.value()
		d.troubled("", value, "is not a number")
	}
}

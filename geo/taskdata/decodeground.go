package taskdata

import (
	"slices"

	"github.com/paulmach/orb"
)

// polygons reads a PLN: its shells, each with the holes that lie in it.
func (d *decoder) polygons(pln *element) orb.MultiPolygon {
	var out orb.MultiPolygon
	var holes []orb.Ring
	for _, lsg := range pln.all("LSG") {
		kind := lsg.attr("A")
		if kind != "1" && kind != "2" {
			d.wrong(lsg, "A", kind, "is no outline of a polygon: nobody can know whether it is ground or a hole")
			continue
		}
		ring := d.ring(lsg)
		switch {
		case ring == nil:
		case kind == "1":
			out = append(out, orb.Polygon{ring})
		default:
			holes = append(holes, ring)
		}
	}
	for _, hole := range holes {
		at := slices.IndexFunc(out, func(p orb.Polygon) bool { return inside(p[0], hole) })
		if at < 0 {
			d.wrong(pln, "", "", "has a hole that lies in none of its outlines")
			continue
		}
		out[at] = append(out[at], hole)
	}
	return out
}

// ring reads a closed ring: one that is open is closed, as version 3 means it.
func (d *decoder) ring(lsg *element) orb.Ring {
	var ring orb.Ring
	for _, pnt := range lsg.all("PNT") {
		ring = append(ring, orb.Point{d.number(pnt, "D", -180, 180), d.number(pnt, "C", -90, 90)})
	}
	if len(ring) > 0 && ring[0] != ring[len(ring)-1] {
		ring = append(ring, ring[0])
	}
	if len(ring) < 4 {
		d.wrong(lsg, "", "", "has too few points for an outline")
		return nil
	}
	return ring
}

// inside reports whether most points of a ring lie in another, even-odd. Holes touch
// their shell in single points at most.
func inside(shell, ring orb.Ring) bool {
	in := 0
	for _, p := range ring[1:] {
		odd := false
		for i := 1; i < len(shell); i++ {
			a, b := shell[i-1], shell[i]
			if (a[1] <= p[1]) != (b[1] <= p[1]) && p[0] < a[0]+float64((p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0])) {
				odd = !odd
			}
		}
		if odd {
			in++
		}
	}
	return 2*in > len(ring)-1
}

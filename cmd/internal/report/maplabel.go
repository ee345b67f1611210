package report

import (
	"bytes"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/rx"
)

// mostNumbers is how many off-label zones are tried for a number on the map.
const mostNumbers = 300

// numbers writes the numbers of off-label zones into a map, the largest zones
// first, as many as fit without touching: first in the size that a phone needs,
// then, in the gaps, in the size for larger screens and paper.
func (d *mapDrawer) numbers(a *rx.Assessment) string {
	zones := d.numbered(a)
	var b bytes.Buffer
	var taken []orb.Bound
	rest := zones
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
			fmt.Fprintf(&b, `<text class="%s" x="%d" y="%d">%d</text>`, pass.class, round(at[0]), round(at[1]), d.p.Zones[z].Number())
		}
		rest = left
	}
	return b.String()
}

// numbered lists the off-label zones that may carry a number, the largest first.
func (d *mapDrawer) numbered(a *rx.Assessment) []int {
	zones := offZones(d.p, a)
	return zones[:min(len(zones), mostNumbers)]
}

// numberBox returns the box of a number written in a size; it fits if it does not
// reach far beyond its zone.
func (d *mapDrawer) numberBox(zone int, size float64) (box orb.Bound, at orb.Point, fits bool) {
	ground := d.drawnBox(zone)
	wide := 0.62 * size * float64(len(fmt.Sprint(d.p.Zones[zone].Number())))
	reach := 2.5
	if d.shapes == nil {
		reach = 1.1 // a cell among joined ones has no border to tell whose number it is
	}
	if wide > reach*(ground.Max[0]-ground.Min[0]) || size > reach*(ground.Max[1]-ground.Min[1]) {
		return box, at, false
	}
	at = d.spot(zone)
	box = orb.Bound{
		Min: orb.Point{at[0] - wide/2 - 3*px, at[1] - size/2},
		Max: orb.Point{at[0] + wide/2 + 3*px, at[1] + size/2},
	}
	frame := orb.Bound{Max: orb.Point{float64(d.frame.width), float64(d.frame.height - mapFoot)}}
	return box, at, frame.Contains(box.Min) && frame.Contains(box.Max)
}

package ground

import (
	"cmp"
	"math"
	"slices"

	"rxsplit/geo/track"
)

// goesOn is how long, in seconds, after the end of one log another may begin and still be what
// the same machine wrote on the same way: a terminal begins a new file at midnight, or at a size.
const goesOn = 5

// follow gives a log that begins where another of its layer ends the other's last row, so that
// the way between the two is driven. Rows are linked as all are: by time, way and speed.
func (d *Drive) follow(others []*Drive) {
	if d.laid != nil || !d.timed() {
		return
	}
	first := slices.MinFunc(d.Log.Rows, byTime)
	for _, o := range others {
		if o == d || o.Layer != d.Layer || o.laid != nil || !o.timed() {
			continue
		}
		last := slices.MaxFunc(o.Log.Rows, byTime)
		machine := slices.Index(d.Log.Machines, o.Log.Machines[last.Machine])
		if after := first.Time - last.Time; after > 0 && after <= goesOn && machine == int(first.Machine) {
			last.Machine = first.Machine
			d.Log.Rows = slices.Insert(d.Log.Rows, 0, last)
			return
		}
	}
}

// timed reports whether a drive is a log of points, all with times.
func (d *Drive) timed() bool {
	return d.Log != nil && d.Swaths == nil && len(d.Log.Rows) > 0 &&
		!slices.ContainsFunc(d.Log.Rows, func(r track.Row) bool { return math.IsNaN(r.Time) })
}

func byTime(a, b track.Row) int { return cmp.Compare(a.Time, b.Time) }

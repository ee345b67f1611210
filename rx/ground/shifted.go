package ground

import (
	"rxsplit/geo/swath"
	"rxsplit/geo/track"
	"rxsplit/rx"
)

// shifted are the passes of a log on which all seems to lie a row too early, or too late.
type shifted struct {
	Log     string
	Opened  int // times that the boom is opened
	Late    bool
	Leading bool // the map says so
}

// A shift is told where it is seen often enough, and on most passes at both ends: one alone is what
// a driver does who opens early or shuts late.
const (
	fewestOpened = 6
	mostShifted  = 0.8
)

// findShift tells of a log whose ground lies a row too early or too late. Where records are of the
// ground behind them and are taken for that before them, the boom opens a row before the field and
// shuts a row before its end; the other way round where they are taken so and are not. A boom that
// is not where the antenna is does the same.
func (r *Result) findShift(d *Drive) {
	opened, shut := d.laid.Opened, d.laid.Shut
	if min(len(opened), len(shut)) < fewestOpened {
		return
	}
	find := newZoneFinder(r.Field.zones)
	share := func(list []swath.Turn, in bool, behind bool) float64 {
		n := 0
		for _, t := range list {
			at := t.Before
			if behind {
				at = t.Behind
			}
			if (find.at(at) >= 0) == in {
				n++
			}
		}
		return float64(n) / float64(len(list))
	}
	s := shifted{Log: d.Log.Name, Opened: len(opened), Leading: d.Log.Records == track.Leading}
	early := min(share(opened, false, true), share(shut, true, true))
	late := min(share(opened, true, false), share(shut, false, false))
	if s.Late = late > early; max(early, late) >= mostShifted {
		r.add(logShift.Find(rx.Warning, s), 0, nil)
	}
}

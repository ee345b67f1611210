package ground

import (
	"rxsplit/geo/coverage"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// LookAhead is by how much earlier changes are to be called for so that the least ground
// misses its target.
type LookAhead struct {
	Layer       *rx.Layer
	Time        unit.Time
	Way         unit.Length
	Off, OffNow unit.Area // that misses its target by more than a tenth, with it and without
	Asked       unit.Time // the course's own
	OffAsked    unit.Area
}

// Landed puts what landed with the look-ahead that was asked for in place of what the coarser
// lines of the search say of it, so that one thing has one figure.
func (a *LookAhead) Landed(r *Result) {
	for i := range r.Products {
		if r.Products[i].Layer == a.Layer {
			a.OffAsked = r.Products[i].Off.Area
		}
	}
	if a.Asked == 0 {
		a.OffNow = a.OffAsked
	}
	if a.Asked == a.Time {
		a.Off = a.OffAsked
	}
	if a.Off >= a.OffNow {
		a.Off, a.Time, a.Way = a.OffNow, 0, 0
	}
}

// aheadStep is how finely look-aheads are tried.
const aheadStep = 0.25 * unit.Second

// BestAhead finds the look-ahead of a layer's course.
func (f *Field) BestAhead(layer int, c Course, o Options) (best LookAhead, err error) {
	l := &f.Plan.Layers[layer]
	land, err := f.headland(c)
	if err != nil {
		return best, err
	}
	judge, asked := f.judgeOf([]int{layer}), c.Ahead
	for t := unit.Time(0); t <= c.Dead+c.Ramp+aheadStep/2; t += aheadStep {
		c.Ahead = t
		d, err := f.passes(layer, c, land)
		if err != nil {
			return best, err
		}
		off, err := f.offGround(d, judge, o)
		if err != nil {
			return best, err
		}
		if t == 0 {
			best = LookAhead{Layer: l, Off: off, OffNow: off, Asked: asked}
		} else if off < best.Off*(1-1e-9) {
			best.Off, best.Time = off, t
		}
	}
	best.Way = unit.Length(88*float64(c.Speed)*float64(best.Time)) * unit.Foot
	return best, nil
}

// offGround is the ground on which a drive alone misses its target, by lines of a meter. It is
// swept for each look-ahead that is tried: nothing else is asked.
func (f *Field) offGround(d *Drive, j *judge, o Options) (unit.Area, error) {
	g := &coverage.Ground{Pieces: joinedStraight(d.laid.Pieces), Products: 1, Zones: f.zones, KeepOuts: f.keepOuts}
	if f.strips != nil {
		g.Spared = f.strips.Len()
	}
	tables, err := coverage.Sweep(g, coverage.Options{Spacing: 1, Thin: true, Marks: 1, Context: o.Context, Judge: func(s *coverage.State) coverage.Marks {
		return j.product(s, 0, s.Covers[0]) >> markOff & 1
	}})
	if err != nil {
		return 0, err
	}
	return unit.Area(tables.Marks[0].Area) * unit.SquareMeter, nil
}

// joinedStraight joins pieces of a rate that go straight on: laps are laid in short ones.
func joinedStraight(pieces []coverage.Piece) (list []coverage.Piece) {
	for i := range pieces {
		p := &pieces[i]
		if n := len(list) - 1; n < 0 || list[n].Density != p.Density || list[n].Ring[2] != p.Ring[1] || list[n].Ring[3] != p.Ring[0] ||
			!straightOn(&list[n].Ring, p.Ring, 1e-6) {
			list = append(list, *p)
		}
	}
	return list
}

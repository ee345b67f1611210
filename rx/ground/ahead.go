package ground

import (
	"github.com/paulmach/orb"

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

// aheadStep is how finely look-aheads are tried, where a drive has no more than aheadPieces; else as
// many times more coarsely, or as many times as lines had to be spread out.
const (
	aheadStep   = 0.25 * unit.Second
	aheadPieces = 40_000
)

// BestAhead finds the look-ahead of a layer's course.
func (f *Field) BestAhead(layer int, c Course, o Options) (best LookAhead, err error) {
	l := &f.Plan.Layers[layer]
	land, err := f.headland(c)
	if err != nil {
		return best, err
	}
	route, err := f.route(layer, c, land)
	if err != nil {
		return best, err
	}
	judge := f.judgeOf([]int{layer})
	step := aheadStep
	for t := unit.Time(0); t <= c.Dead+c.Ramp+aheadStep/2; t += step {
		pieces := merged(route.drive(t).laid.Pieces, goOn)
		if len(pieces) > aheadPieces { // lines lie otherwise over wider ones: few keep their figure
			pieces = merged(pieces, beside)
		}
		off, spread, err := f.offGround(pieces, judge, o)
		if err != nil {
			return best, err
		}
		if t == 0 {
			best = LookAhead{Layer: l, Off: off, OffNow: off, Asked: c.Ahead}
			if !changes(judge.targets[0]) {
				return best, nil
			}
			step *= max(1+unit.Time(len(pieces)/aheadPieces), unit.Time(spread))
		} else if off < best.Off*(1-1e-9) {
			best.Off, best.Time = off, t
		}
	}
	best.Way = unit.Length(88*float64(c.Speed)*float64(best.Time)) * unit.Foot
	return best, nil
}

// changes reports whether there is more than one rate, and so any change that can be called for.
func changes(targets []float64) bool {
	rate := 0.0
	for _, t := range targets {
		if t > 0 && rate > 0 && t != rate {
			return true
		}
		rate = max(rate, t)
	}
	return false
}

// offGround is the ground on which pieces alone miss its target, by lines of a meter, and how many
// times as far apart they had to lie. It is swept for each look-ahead that is tried: nothing else is asked.
func (f *Field) offGround(pieces []coverage.Piece, j *judge, o Options) (off unit.Area, spread float64, err error) {
	g := &coverage.Ground{Pieces: pieces, Products: 1, Zones: f.zones, KeepOuts: f.keepOuts}
	if f.strips != nil {
		g.Spared = f.strips.Len()
	}
	const spacing = 1
	tables, err := coverage.Sweep(g, coverage.Options{Spacing: spacing, Thin: true, NoZones: true, Marks: 1, Context: o.Context, Judge: func(s *coverage.State) coverage.Marks {
		return j.product(s, 0, s.Covers[0]) >> markOff & 1
	}})
	if err != nil {
		return 0, 0, err
	}
	return unit.Area(tables.Marks[0].Area) * unit.SquareMeter, tables.Spacing / spacing, nil
}

// merged joins pieces of a rate that one after the other go on, by a rule that has the first take in
// the second. It does so in their own room.
func merged(pieces []coverage.Piece, by func(ground, next *[4]orb.Point) bool) []coverage.Piece {
	list := pieces[:0]
	for i := range pieces {
		p := &pieces[i]
		if n := len(list) - 1; n < 0 || list[n].Density != p.Density || !by(&list[n].Ring, &p.Ring) {
			list = append(list, *p)
		}
	}
	return list
}

// goOn has ground go straight on: laps are laid in short pieces.
func goOn(ground, next *[4]orb.Point) bool {
	return ground[2] == next[1] && ground[3] == next[0] && straightOn(ground, *next, 1e-6)
}

// beside has ground take in what lies right or left of it and is as long, as the sections of a boom do.
func beside(ground, next *[4]orb.Point) bool {
	switch {
	case ground[1] == next[0] && ground[2] == next[3]:
		ground[1], ground[2] = next[1], next[2]
	case ground[0] == next[1] && ground[3] == next[2]:
		ground[0], ground[3] = next[0], next[3]
	default:
		return false
	}
	return true
}

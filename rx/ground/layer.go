package ground

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/coverage"
	"rxsplit/label/unit"
)

// Layer is connected ground of equal class: what was applied, or would be.
type Layer struct {
	Shapes  *geo.Shapes // lon/lat
	Rows    []LayerRow
	Further []string // names of the fields of the further liquids
}

// LayerRow is one piece of connected ground.
type LayerRow struct {
	Class      Class     // of a layer by verdict
	Kind       Kind      // of a drawing
	Area       unit.Area // as drawn
	Stabilizer unit.LiquidRate
	Dry        unit.DryRate
	Further    []unit.LiquidRate // in the order of Layer.Further
}

// A layer has steps of the stabilizer's rate of a twentieth of the label's most, and lines of
// a meter, or farther apart so that there are some thousands.
const (
	rateSteps  = 20
	layerLines = 3000
)

// Kind is what ground is in a drawing by covers or by target.
type Kind uint8

// The kinds of ground.
const (
	Once    Kind = iota + 1
	Bare         // some layer was to be there and is not
	Twice        // some layer lies twice or more
	Outside      // of all zones
	OnTarget
	Under // some layer is more than a tenth below its target
	Over
)

// Drawn is a result as connected ground of equal class: nobody may change it.
type Drawn struct {
	Laid     *Layer // what was applied, or would be
	ByLabel  *Layer // how ground stands to the stabilizer's label, with what of the zones gets nothing, and what lies outside them, as [None]
	ByCover  *Layer // how often ground is covered
	ByTarget *Layer // what is more than a tenth off its target
}

// Drawn draws the result, once. The ground of what was laid is the same whatever means are asked
// for: it is drawn once more for each further liquid.
func (r *Result) Drawn(o Options) (*Drawn, error) {
	if r.drawn != nil {
		return r.drawn, nil
	}
	by := []coverage.Classed{
		r.judge.classed,
		func(s *coverage.State) (int32, [2]float64) { return r.judge.verdict(s), [2]float64{} },
		func(s *coverage.State) (int32, [2]float64) { return int32(r.judge.covers(s)), [2]float64{} },
		func(s *coverage.State) (int32, [2]float64) { return int32(r.judge.onTarget(s)), [2]float64{} },
	}
	kinds := len(by)
	var further []string
	for k := range r.judge.graded {
		g := &r.judge.graded[k]
		if g.number == 0 {
			continue
		}
		further = append(further, r.Field.liquids()[g.number].Field())
		by = append(by, func(s *coverage.State) (int32, [2]float64) {
			class, _ := r.judge.classed(s)
			return class, [2]float64{g.rate(s)}
		})
	}
	all, err := r.draw(o, by)
	if err != nil {
		return nil, err
	}
	laid := all[0]
	laid.Further = further
	for _, more := range all[kinds:] {
		for i := range laid.Rows {
			laid.Rows[i].Further = append(laid.Rows[i].Further, more.Rows[i].Stabilizer)
		}
	}
	r.drawn = &Drawn{laid, all[1], all[2], all[3]}
	return r.drawn, nil
}

func (j *judge) verdict(s *coverage.State) int32 {
	if s.Zone < 0 {
		if slices.ContainsFunc(s.Covers, func(n int32) bool { return n > 0 }) {
			return int32(classes) + int32(None)
		}
		return 0
	}
	class := None
	for k := range j.graded {
		if g := &j.graded[k]; g.number == 0 {
			class = g.classOf(g.rate(s), s.Zone)
		}
	}
	return int32(classes) + int32(class)
}

func (j *judge) covers(s *coverage.State) Kind {
	kind, some := Once, false
	for p, n := range s.Covers {
		some = some || n > 0
		switch {
		case n > 1:
			kind = Twice
		case n == 0 && s.Zone >= 0 && j.target(s, p) > 0 && kind == Once:
			kind = Bare
		}
	}
	switch {
	case !some && kind == Once:
		return 0
	case s.Zone < 0:
		return Outside
	}
	return kind
}

func (j *judge) onTarget(s *coverage.State) Kind {
	if s.Zone < 0 {
		return 0
	}
	kind := OnTarget
	for p, d := range s.Density {
		switch target := j.target(s, p); {
		case d < target*0.9*(1-1e-9):
			return Under
		case d > target*1.1*(1+1e-9):
			kind = Over
		}
	}
	return kind
}

func (r *Result) draw(o Options, by []coverage.Classed) (layers []*Layer, err error) {
	f := r.Field
	size := max(f.bound.Max[0]-f.bound.Min[0], f.bound.Max[1]-f.bound.Min[1])
	spacing := math.Max(1, size/layerLines)
	drawings, err := coverage.Regions(r.ground, coverage.Options{Spacing: spacing, Context: o.Context}, by...)
	if err != nil {
		return nil, err
	}
	for _, regions := range drawings {
		out := &Layer{Shapes: &geo.Shapes{}}
		for _, region := range regions {
			polygon := orb.MultiPolygon{region.Polygon}
			for _, ring := range region.Polygon {
				if err := f.plane.ToLonLat(ring, ring); err != nil {
					return nil, err
				}
			}
			area, err := geo.AreaOf(polygon)
			if err != nil || area <= 0 {
				continue // less than a line wide
			}
			out.Shapes.Append(polygon)
			out.Rows = append(out.Rows, LayerRow{Class(region.Class % int32(classes)), Kind(region.Class), area, unit.LiquidRate(region.Mean[0]), unit.DryRate(region.Mean[1]), nil})
		}
		layers = append(layers, out)
	}
	return layers, nil
}

// classed says for a layer what a stretch is: nothing where nothing was laid.
func (j *judge) classed(s *coverage.State) (class int32, values [2]float64) {
	some := false
	for p, n := range s.Covers {
		some = some || n > 0
		if !j.liquid[p] {
			values[1] += s.Density[p]
		}
	}
	if !some {
		return 0, values
	}
	if len(j.graded) == 0 {
		return int32(classes), values
	}
	most, verdict := 1e6, None
	if len(j.graded) > 1 {
		most = liquidSteps
	}
	for k := range j.graded[:min(len(j.graded), toldLiquids)] {
		g := &j.graded[k]
		rate, step := g.rate(s), 1.0
		if g.labeled {
			step = g.high / rateSteps
		}
		if g.number == 0 {
			values[0] = rate
			if s.Zone >= 0 {
				verdict = g.classOf(rate, s.Zone)
			}
		}
		class = class*(liquidSteps+1) + int32(min(math.Round(rate/step), most))
	}
	return int32(classes)*(1+class) + int32(verdict), values
}

// Ground is told apart by the steps of the first three liquids, up to ten times the label's
// most of each where there are several: so many classes fit a number.
const (
	toldLiquids = 3
	liquidSteps = 10 * rateSteps
)

package ground

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/coverage"
	"rxsplit/label/unit"
)

// Layer is connected ground of equal class: what was applied, or would be.
type Layer struct {
	Shapes *geo.Shapes // lon/lat
	Rows   []LayerRow
}

// LayerRow is one piece of connected ground.
type LayerRow struct {
	Class      Class     // of a layer by verdict
	Kind       Kind      // of a drawing
	Area       unit.Area // as drawn
	Stabilizer unit.LiquidRate
	Dry        unit.DryRate
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

// Layer draws the result as connected ground of equal class.
func (r *Result) Layer(o Options) (*Layer, error) { return r.draw(r.judge.classed, o) }

// ByCover draws how often ground is covered.
func (r *Result) ByCover(o Options) (*Layer, error) {
	return r.draw(func(s *coverage.State) (int32, [2]float64) { return int32(r.judge.covers(s)), [2]float64{} }, o)
}

// ByTarget draws what is more than a tenth off its target.
func (r *Result) ByTarget(o Options) (*Layer, error) {
	return r.draw(func(s *coverage.State) (int32, [2]float64) { return int32(r.judge.onTarget(s)), [2]float64{} }, o)
}

func (j *judge) covers(s *coverage.State) Kind {
	kind, some := Once, false
	for p, n := range s.Covers {
		some = some || n > 0
		switch {
		case n > 1:
			kind = Twice
		case n == 0 && s.Zone >= 0 && j.targets[p][s.Zone] > 0 && kind == Once:
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
		switch target := j.targets[p][s.Zone]; {
		case d < target*0.9*(1-1e-9):
			return Under
		case d > target*1.1*(1+1e-9):
			kind = Over
		}
	}
	return kind
}

func (r *Result) draw(classed coverage.Classed, o Options) (*Layer, error) {
	f := r.Field
	size := max(f.bound.Max[0]-f.bound.Min[0], f.bound.Max[1]-f.bound.Min[1])
	spacing := math.Max(1, size/layerLines)
	regions, err := coverage.Regions(r.ground, coverage.Options{Spacing: spacing, Context: o.Context}, classed)
	if err != nil {
		return nil, err
	}
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
		out.Rows = append(out.Rows, LayerRow{Class(region.Class % int32(classes)), Kind(region.Class), area, unit.LiquidRate(region.Mean[0]), unit.DryRate(region.Mean[1])})
	}
	return out, nil
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
	g := &j.graded[0]
	values[0] = g.rate(s)
	verdict := None
	if s.Zone >= 0 {
		verdict = g.classOf(values[0], s.Zone)
	}
	step := 1.0
	if g.labeled {
		step = g.high / rateSteps
	}
	return int32(classes)*int32(1+min(math.Round(values[0]/step), 1e6)) + int32(verdict), values
}

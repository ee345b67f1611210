package ground

import (
	"slices"

	"rxsplit/geo"
	"rxsplit/geo/coverage"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// LeastUntreated is how much of what is read of a strip must have stayed untreated for it to tell
// anything; common practice, no source.
const LeastUntreated = 80 * unit.Percent

// onStrip is how much of what is read of an untreated strip got liquid all the same.
type onStrip struct {
	Rep     int
	Sprayed unit.Ratio
}

// sprayedStrips are strips that got something.
type sprayedStrips struct {
	Layer  string
	Strips []onStrip
	Least  unit.Ratio
	Lost   bool // one of them got too much
}

// leastSprayed is the share of a strip under which it counts as untreated: receivers and rounding.
const leastSprayed = 1 * unit.Percent

// withKept puts the strips and keep-outs, where a liquid is to put nothing, before the zones: the first shape
// that a boom is over says what it knows.
func (f *Field) withKept(layer int, targets []float64) (*geo.Shapes, []float64) {
	if f.keepOuts == nil || f.Plan.Layers[layer].Product != rx.Liquid {
		return f.zones, targets
	}
	all := &geo.Shapes{}
	for _, s := range []*geo.Shapes{f.keepOuts, f.zones} {
		for i := range s.Len() {
			all.Append(s.Shape(i))
		}
	}
	return all, slices.Concat(make([]float64, f.keepOuts.Len()), targets)
}

// onStrips sweeps what is read of the strips.
func (r *Result) onStrips(o Options) error {
	f := r.Field
	p := slices.IndexFunc(r.Products, func(p Product) bool { return p.Layer.Product == rx.Liquid })
	if f.strips == nil || p < 0 {
		return nil
	}
	g := *r.ground
	g.Zones, g.KeepOuts, g.Spared, g.Targets = f.read, nil, 0, nil
	t, err := coverage.Sweep(&g, coverage.Options{Judge: func(*coverage.State) coverage.Marks { return 0 }, Context: o.Context})
	if err != nil {
		return err
	}
	d := sprayedStrips{Layer: r.Products[p].Layer.Name, Least: LeastUntreated}
	for i, one := range f.Plan.Strips.List {
		on := onStrip{Rep: one.Rep}
		if zone := t.Zones[i]; zone.Area > 0 {
			on.Sprayed = unit.Ratio(zone.Products[p].Covered / zone.Area)
		}
		r.Strips = append(r.Strips, on)
		if on.Sprayed > leastSprayed {
			d.Strips = append(d.Strips, on)
			d.Lost = d.Lost || 1-on.Sprayed < LeastUntreated
		}
	}
	switch {
	case d.Lost:
		r.add(landsStrip.Find(rx.Warning, d), 0, nil)
	case d.Strips != nil:
		r.add(landsStrip.Find(rx.Note, d), 0, nil)
	}
	return nil
}

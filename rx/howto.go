package rx

import (
	"math"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// HowTo is one thing that a label says on how to impregnate, beside its range of rates on
// the ground ([Terms.Pass]).
type HowTo struct {
	Key  string // of the label profile
	Says string // what it is, as in "below the smallest impregnated dry rate of the label"

	bounds func(*label.Profile) Bounds
}

// Bounds are what a label says on how to impregnate, as far as it bounds anything; 0 is
// for no bound.
type Bounds struct {
	LeastDry   unit.DryRate        // of impregnated dry
	Loading    Range[unit.Loading] // of the liquid alone
	MostLiquid unit.Loading        // of all liquids that a ton takes up
}

// howTos lists all of it. A row is obeyed and told of everywhere: the loadings that dry
// rates allow ([Terms.Windows]), the dry rates that loadings allow ([Terms.DryWindow]), the
// rates that a refit may choose, the doses of batches, the findings of a blend as it is,
// the sheets. All of them add the rows up by [JobLiquid.Bounds].
var howTos = []HowTo{
	{
		Key: "min-dry-rate", Says: "the smallest impregnated dry rate of the label",
		bounds: func(p *label.Profile) Bounds { return Bounds{LeastDry: p.MinDryRate.Or(0)} },
	},
	{
		Key: "loading", Says: "the label's own range per ton",
		bounds: func(p *label.Profile) Bounds {
			return Bounds{Loading: Range[unit.Loading](p.Loading.Or(label.Range[unit.Loading]{}))}
		},
	},
	{
		Key: "max-liquid", Says: "the most liquid that a ton takes up by the label",
		bounds: func(p *label.Profile) Bounds { return Bounds{MostLiquid: p.MaxLiquid.Or(0)} },
	},
}

// HowTos lists what the label of a liquid says on how to impregnate, with the bounds of
// each; nothing without a label.
func (l JobLiquid) HowTos(yield func(HowTo, Bounds) bool) {
	if l.Label == nil {
		return
	}
	for _, h := range howTos {
		if b := h.bounds(l.Label); b != (Bounds{}) && !yield(h, b) {
			return
		}
	}
}

// Bounds returns what the label of a liquid says on how to impregnate, all together: the
// ends that bound the most.
func (l JobLiquid) Bounds() (all Bounds) {
	for _, b := range l.HowTos {
		all.LeastDry = max(all.LeastDry, b.LeastDry)
		all.Loading.Min = max(all.Loading.Min, b.Loading.Min)
		all.Loading.Max = lower(all.Loading.Max, b.Loading.Max)
		all.MostLiquid = lower(all.MostLiquid, b.MostLiquid)
	}
	return all
}

// lower returns the lower of two upper bounds, of which 0 is none.
func lower(a, b unit.Loading) unit.Loading {
	if a == 0 || b != 0 && b < a {
		return b
	}
	return a
}

// Loadings returns the range of loadings of the liquid alone, with an end above all
// loadings where there is none.
func (b Bounds) Loadings() Range[unit.Loading] {
	if b.Loading.Max == 0 {
		b.Loading.Max = unit.Loading(math.Inf(1))
	}
	return b.Loading
}

// Materials returns the materials of the dry blend; none if the job doesn't give
// them.
func (t Terms) Materials() equip.Blend {
	if t.Job == nil {
		return nil
	}
	return t.Job.Blend
}

// MaterialsOf returns the materials of the blend, for -1, or of one rate field's product
// where the job names its materials in the order of the fields; none if they are not
// known.
func (t Terms) MaterialsOf(p *Prescription, field int) equip.Blend {
	materials := t.Materials()
	switch {
	case field < 0:
		return materials
	case len(materials) == len(p.Fields):
		m := materials[field]
		m.Share = 1
		return equip.Blend{m}
	}
	return nil
}

// Nitrogen returns what tells the N that the prescription spreads in a zone, by index, all
// products together: by the analyses of its fields or, without them, by the materials of the
// job. It is not known where the grade of one of the products is not.
func (t Terms) Nitrogen(p *Prescription) (of func(zone int) unit.DryRate, known bool) {
	grades := p.Grades()
	if grades == nil {
		grades = make([]equip.Grade, len(p.Fields))
		for f := range grades {
			of := f
			if p.Blend() {
				of = -1
			}
			if grades[f], known = t.MaterialsOf(p, of).Grade(); !known {
				return nil, false
			}
		}
	}
	return func(zone int) (n unit.DryRate) {
		for f, g := range grades {
			n += unit.DryRate(p.FieldRate(zone, f) * unit.DryRate(g.N))
		}
		return n
	}, true
}

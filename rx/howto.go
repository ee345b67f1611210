package rx

import (
	"fmt"
	"math"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// howTo is one thing that a label says on how to impregnate, beside its range of rates on
// the ground ([Terms.Pass]).
type howTo struct {
	Key  string // of the label profile
	Says string // what it is, as in "below the smallest impregnated dry rate of the label"

	narrow func(*label.Profile, *Bounds) // sets the ends that the label states
}

// Bounds are what a label says on how to impregnate, as far as it bounds anything: an end
// that it doesn't state is 0 below and infinite above, as in [Unbounded].
type Bounds struct {
	Dry        Range[unit.DryRate] // that is impregnated
	Loading    Range[unit.Loading] // of the liquid alone
	MostLiquid unit.Loading        // of all liquids that a ton takes up
}

// Unbounded are the bounds of a label that states none.
func Unbounded() Bounds {
	inf := math.Inf(1)
	return Bounds{Range[unit.DryRate]{Max: unit.DryRate(inf)}, Range[unit.Loading]{Max: unit.Loading(inf)}, unit.Loading(inf)}
}

// howTos lists all of it. A row is obeyed and told of everywhere: the loadings that dry
// rates allow ([Terms.Windows]), the dry rates that loadings allow ([Terms.DryWindow]), the
// rates that a refit may choose, the doses of batches, the findings of a blend as it is,
// the sheets. All of them add the rows up by [JobLiquid.Bounds]; a test holds each end of
// each bound against them.
var howTos = []howTo{
	{
		Key: "min-dry-rate", Says: "the smallest impregnated dry rate of the label",
		narrow: func(p *label.Profile, b *Bounds) { b.Dry.Min = p.MinDryRate.Or(b.Dry.Min) },
	},
	{
		Key: "loading", Says: "the label's own range per ton",
		narrow: func(p *label.Profile, b *Bounds) {
			b.Loading = Range[unit.Loading](p.Loading.Or(label.Range[unit.Loading](b.Loading)))
		},
	},
	{
		Key: "max-liquid", Says: "the most liquid that a ton takes up by the label",
		narrow: func(p *label.Profile, b *Bounds) { b.MostLiquid = p.MaxLiquid.Or(b.MostLiquid) },
	},
}

// HowTos lists what the label of a liquid says on how to impregnate, with the bounds of
// each; nothing without a label.
func (l JobLiquid) HowTos(yield func(howTo, Bounds) bool) {
	if l.Label == nil {
		return
	}
	for _, h := range howTos {
		b := Unbounded()
		if h.narrow(l.Label, &b); b != Unbounded() && !yield(h, b) {
			return
		}
	}
}

// Bounds returns what the label of a liquid says on how to impregnate, all together: the
// ends that bound the most.
func (l JobLiquid) Bounds() Bounds {
	all := Unbounded()
	for _, b := range l.HowTos {
		all.Dry, all.Loading = all.Dry.and(b.Dry), all.Loading.and(b.Loading)
		all.MostLiquid = min(all.MostLiquid, b.MostLiquid)
	}
	return all
}

// whyNotDry says which of the label's bounds on impregnated dry a range of rates leaves;
// empty for none.
func (l JobLiquid) whyNotDry(dry Range[unit.DryRate], s unit.System) string {
	for limit, b := range l.HowTos {
		switch {
		case b.Dry.Under(dry.Min):
			return fmt.Sprintf("the lowest dry rate, %s, is below %s, %s", dry.Min.Brief(s), limit.Says, b.Dry.Min.Brief(s))
		case b.Dry.Over(dry.Max):
			return fmt.Sprintf("the highest dry rate, %s, is above %s, %s", dry.Max.Brief(s), limit.Says, b.Dry.Max.Brief(s))
		}
	}
	return ""
}

// insideDry takes the dry rates that stay on label at a loading into the label's bounds on
// impregnated dry, or says why none is left.
func (l JobLiquid) insideDry(dry *Range[unit.DryRate], s unit.System) string {
	for limit, b := range l.HowTos {
		switch {
		case dry.Over(b.Dry.Min):
			return fmt.Sprintf("no more than %s may be spread, and %s is %s", dry.Max.Brief(s), limit.Says, b.Dry.Min.Brief(s))
		case dry.Under(b.Dry.Max):
			return fmt.Sprintf("no less than %s may be spread, and %s is %s", dry.Min.Brief(s), limit.Says, b.Dry.Max.Brief(s))
		}
		dry.Min = max(dry.Min, min(b.Dry.Min, dry.Max))
		dry.Max = min(dry.Max, max(b.Dry.Max, dry.Min))
	}
	return ""
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

package rx

import (
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

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

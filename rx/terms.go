package rx

import "rxsplit/rx/equip"

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

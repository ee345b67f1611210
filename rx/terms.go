package rx

import "rxsplit/rx/equip"

// Materials returns the materials of the dry blend; none if the job doesn't give
// them.
func (t Terms) Materials() []equip.Material {
	if t.Job == nil {
		return nil
	}
	return t.Job.Blend
}

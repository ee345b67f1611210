package equip

import (
	"rxsplit/label"
	"rxsplit/label/unit"
)

// Material is one dry component of a blend.
type Material struct {
	Name    string                    `yaml:"name,required"`
	Grade   label.Known[Grade]        `yaml:"grade"`
	Share   unit.Ratio                `yaml:"share"`   // of the blend's weight
	Density label.Known[unit.Density] `yaml:"density"` // loose bulk density
}

// Blend is what the blender mixes before any liquid; the shares of a blend from a
// job file add up to 1.
type Blend []Material

// Share returns the share of a material, by any of its usual names; 0 if the blend
// has none of it.
func (b Blend) Share(name string) unit.Ratio {
	var share unit.Ratio
	for _, m := range b {
		if label.CarrierName(m.Name) == label.CarrierName(name) {
			share += m.Share
		}
	}
	return share
}

// Grade returns the grade of the blend, the sum of its materials' by weight; not
// known if that of one of them is not, or if there is none.
func (b Blend) Grade() (Grade, bool) {
	var sum Grade
	for _, m := range b {
		g, ok := m.Grade.Get()
		if !ok {
			return Grade{}, false
		}
		sum = sum.Plus(g.Scaled(m.Share))
	}
	return sum, len(b) > 0
}

// BulkDensity returns the density of the blend if its materials keep their room,
// 1/Σ(share/density); not known if that of one of them is not. Real blends settle a
// little denser, as fine grains fill the gaps: weigh a known volume.
func (b Blend) BulkDensity() (unit.Density, bool) {
	var room unit.Density // per mass, so 1/density
	for _, m := range b {
		d, ok := m.Density.Get()
		if !ok {
			return 0, false
		}
		room += unit.Density(m.Share) / d
	}
	return 1 / room, room > 0
}

// Split returns the mass of each material in a mass of blend, in their order.
func (b Blend) Split(total unit.Mass) []unit.Mass {
	masses := make([]unit.Mass, len(b))
	for i, m := range b {
		masses[i] = total * unit.Mass(m.Share)
	}
	return masses
}

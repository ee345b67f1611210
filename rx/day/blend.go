package day

import (
	"math"
	"reflect"
	"slices"

	"rxsplit/label"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// Blend is what the blender makes for a field, whatever the loading: the dry that is
// impregnated and the liquids that go onto it. Fields of one blend alone share loadings and
// batches, and may get what is left over of them.
type Blend struct {
	Materials  equip.Blend    // of the dry that is impregnated, by its shares; none where nobody names them
	Unnamed    string         // tells one dry from another where no materials are named; else empty
	Stabilizer *label.Profile // whose loading is shared
	Further    []rx.JobLiquid // that go onto the blend besides, each at its fixed loading
}

// BlendOf returns the blend that a prescription is impregnated as. Where the terms name no
// materials, nobody knows whether two dry products are the same: unnamed says which one it is.
func BlendOf(t rx.Terms, p *rx.Prescription, unnamed string) Blend {
	b := Blend{Materials: t.MaterialsOf(p, p.CarrierField()), Stabilizer: t.Label, Further: t.FurtherOn(equip.OnBlend)}
	if len(b.Materials) == 0 {
		b.Unnamed = unnamed
	}
	return b
}

// sameShare is how far shares of one blend may be apart, from writing them down in percent.
const sameShare = 1e-9

// Same reports whether two blends are one: materials of the same names and grades at the same shares,
// in whichever order, by one label, and the same further liquids at the same loadings.
func (b Blend) Same(o Blend) bool {
	if b.Unnamed != o.Unnamed || len(b.Materials) != len(o.Materials) || len(b.Further) != len(o.Further) || !reflect.DeepEqual(b.Stabilizer, o.Stabilizer) {
		return false
	}
	for _, m := range b.Materials {
		if !slices.ContainsFunc(o.Materials, func(n equip.Material) bool { return sameMaterial(m, n) }) {
			return false
		}
	}
	for i, l := range b.Further {
		if n := o.Further[i]; l.Name != n.Name || l.Loading != n.Loading || !reflect.DeepEqual(l.Label, n.Label) {
			return false
		}
	}
	return true
}

func sameMaterial(a, b equip.Material) bool {
	return a.Name == b.Name && a.Grade == b.Grade && math.Abs(float64(a.Share-b.Share)) <= sameShare
}

package rx

import (
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Fills returns the tank fills that a boom takes for an area at a rate of stabilizer, with
// the further liquids for its tank, and the same as meters read them: a liquid of a fill is
// the nearest step of a meter that keeps the fill's rate inside [Terms.Pass], so that near
// an end of it the dose is rounded inward. The sheets and the cost go by the same fills.
func (t Terms) Fills(b equip.Boom, area unit.Area, rate unit.LiquidRate) (exact, metered equip.Fills, err error) {
	pass, _ := t.PassRange()
	keeps := []func(unit.LiquidRate) bool{pass.Contains}
	var further []unit.LiquidRate
	for _, l := range t.FurtherOn(equip.OnBoom) {
		own, _ := t.Pass(l)
		keeps, further = append(keeps, own.Contains), append(further, l.Intended)
	}
	exact, err = b.Fills(area, rate, further...)
	if err != nil {
		return equip.Fills{}, equip.Fills{}, err
	}
	return exact, exact.Metered(t.Units, keeps...), nil
}

// MixDensity returns the density of the mix in a boom's tank at a spray volume and a rate
// of stabilizer, as far as it is known: what has no density counts as water.
func (t Terms) MixDensity(volume, rate unit.LiquidRate) unit.Density {
	density, ok := t.Label.Density.Get()
	if !ok || volume < rate {
		return equip.WaterDensity
	}
	mix := equip.MixDensity(volume, rate, density)
	for _, l := range t.FurtherOn(equip.OnBoom) {
		if own, ok := l.Density.Get(); ok {
			mix += equip.MixDensity(volume, l.Intended, own) - equip.WaterDensity
		}
	}
	return mix
}

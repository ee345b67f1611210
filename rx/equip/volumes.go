package equip

import (
	"math"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// VolumeStep is what a spray volume is spoken of and written in, a hundredth of a gal/ac
// or of a L/ha.
func VolumeStep(s unit.System) unit.LiquidRate {
	one, _ := unit.SprayVolumeUnit(s)
	return one / 100
}

// Volumes returns the least and the most spray volume, in whole steps, that a nozzle size
// holds over the whole speed range inside the pressure range; ok is false if there is
// none. mix gives the density of the mix at a volume, since a thinner mix is lighter.
// Both ends are held as returned: they are rounded inward.
func (b Boom) Volumes(n Nozzle, step unit.LiquidRate, mix func(volume unit.LiquidRate) unit.Density) (r label.Range[unit.LiquidRate], ok bool) {
	least := b.settle(mix, func(f Fit) unit.LiquidRate { return f.Volume.Min }, n)
	most := b.settle(mix, func(f Fit) unit.LiquidRate { return f.Volume.Max }, n)
	low, high := math.Ceil(float64(least/step)-pressureLeeway), math.Floor(float64(most/step)+pressureLeeway)
	if !(low <= high) {
		return r, false
	}
	r = label.Range[unit.LiquidRate]{Min: unit.LiquidRate(low) * step, Max: unit.LiquidRate(high) * step}
	return r, b.holdsAt(n, r.Min, mix) && b.holdsAt(n, r.Max, mix)
}

// settle finds an end of the volumes at the density that the mix has there.
func (b Boom) settle(mix func(unit.LiquidRate) unit.Density, end func(Fit) unit.LiquidRate, n Nozzle) unit.LiquidRate {
	const rounds = 30 // each takes the error down by more than half, as long as most of the mix is water
	volume := b.Volume
	for range rounds {
		volume = end(b.Fit(n, mix(volume)))
	}
	return volume
}

func (b Boom) holdsAt(n Nozzle, volume unit.LiquidRate, mix func(unit.LiquidRate) unit.Density) bool {
	b.Volume = volume
	return b.Fit(n, mix(volume)).Holds
}

package equip

import (
	"rxsplit/label"
	"rxsplit/label/unit"
)

// UsualDryingAgent is where plants start: 1 lb of agent per pint of water-based
// liquid. Common practice, no source.
const UsualDryingAgent = 1 * unit.PoundPerPint

// AgentShare returns the drying agent a loading calls for, as a share of the dry
// blend's weight.
func AgentShare(l unit.Loading, perLiquid unit.Density) unit.Ratio { return weightShare(l, perLiquid) }

// LiquidShare returns the weight of a loading of a liquid, as a share of the dry
// blend's weight.
func LiquidShare(l unit.Loading, density unit.Density) unit.Ratio { return weightShare(l, density) }

func weightShare(l unit.Loading, perVolume unit.Density) unit.Ratio {
	return unit.Ratio(unit.LiquidWeight(unit.Uptake(l, unit.Ton), perVolume) / unit.Ton)
}

// RaisedSetting returns the spreader setting that delivers a dry rate of blend to
// which liquid and drying agent have added a share: R·(1+m/2000).
func RaisedSetting(r unit.DryRate, added unit.Ratio) unit.DryRate { return r * unit.DryRate(1+added) }

// Unraised returns what reaches the ground if nobody raises the setting: A·R/(2000+m),
// the rate of the raised setting over 1+m/2000.
func Unraised(s unit.LiquidRate, added unit.Ratio) unit.LiquidRate {
	return s / unit.LiquidRate(1+added)
}

// Fall of bulk density after impregnation: usually 4 to 5 lb/ft³, up to 8 in humid
// weather. Common practice, no source.
const (
	leastFall = 4 * unit.PoundPerCubicFoot
	usualFall = 5 * unit.PoundPerCubicFoot
	humidFall = 8 * unit.PoundPerCubicFoot
)

// TreatedDensity returns the bulk density to expect after impregnation, usually and
// in humid weather; above 0 for any dry product that is spread.
func TreatedDensity(dry unit.Density) (usual label.Range[unit.Density], humid unit.Density) {
	return label.Range[unit.Density]{Min: dry - usualFall, Max: dry - leastFall}, dry - humidFall
}

// MeterDelivers returns what a volumetric meter that is set for one bulk density
// delivers of product of another: set·ρ₁/ρ₀.
func MeterDelivers(set unit.DryRate, setFor, real unit.Density) unit.DryRate {
	return set * unit.DryRate(real/setFor)
}

// MeterSetting returns the rate to set on a volumetric meter that stays set for one
// bulk density, so that product of another comes out as wanted; the inverse of
// [MeterDelivers].
func MeterSetting(wanted unit.DryRate, setFor, real unit.Density) unit.DryRate {
	return wanted * unit.DryRate(setFor/real)
}

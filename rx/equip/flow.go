package equip

import (
	"math"

	"rxsplit/label/unit"
)

// WaterDensity is that of water in nozzle tables, 1 kg/L.
const WaterDensity = 1 * unit.KilogramPerLiter

// FlowOver returns the flow that covers a width at a volume and a speed:
// gal/min = gal/ac · mph · ft / 495, by definition of the acre and the mile. For one
// nozzle the width is its spacing, and with inches the divisor is 5940; in metric
// units L/min = L/ha · km/h · m / 600. [UF/IFAS EDIS WG013; Univ. Missouri G1270]
func FlowOver(width unit.Length, volume unit.LiquidRate, speed unit.Speed) unit.Flow {
	return unit.Flow(float64(volume/unit.GallonPerAcre) * float64(speed) * float64(width) / 495)
}

// SpeedFor returns the speed at which a flow covers a width at a volume; the
// inverse of [FlowOver]. Width and volume are above 0.
func SpeedFor(flow unit.Flow, width unit.Length, volume unit.LiquidRate) unit.Speed {
	return unit.Speed(495 * float64(flow) / (float64(volume/unit.GallonPerAcre) * float64(width)))
}

// VolumeFor returns the volume that a flow lays over a width at a speed; the
// inverse of [FlowOver]. Width and speed are above 0.
func VolumeFor(flow unit.Flow, width unit.Length, speed unit.Speed) unit.LiquidRate {
	return unit.LiquidRate(495*float64(flow)/(float64(speed)*float64(width))) * unit.GallonPerAcre
}

// PressureFor returns the pressure at which an orifice that gives one flow at one
// pressure gives another: P₂ = P₁·(Q₂/Q₁)², the orifice equation.
func PressureFor(wanted, flow unit.Flow, at unit.Pressure) unit.Pressure {
	ratio := float64(wanted / flow)
	return at * unit.Pressure(ratio*ratio)
}

// FlowAt returns the flow of an orifice at another pressure: Q₂ = Q₁·√(P₂/P₁).
func FlowAt(p unit.Pressure, flow unit.Flow, at unit.Pressure) unit.Flow {
	return flow * unit.Flow(math.Sqrt(float64(p/at)))
}

// WaterFlow returns what a table made for water must read so that a liquid of
// another density flows as wanted: gal/min · √SG, SG its density over water's.
// [Univ. Nebraska CropWatch 2016, Setting the Sprayer Flow Rate for Non-Water
// Solutions]
func WaterFlow(wanted unit.Flow, density unit.Density) unit.Flow {
	return wanted * unit.Flow(math.Sqrt(float64(density/WaterDensity)))
}

// MixDensity returns the density of product in water: both by their part of the
// volume, volumes taken to add up. The product's rate is part of the volume.
func MixDensity(volume, product unit.LiquidRate, density unit.Density) unit.Density {
	part := unit.Density(product / volume)
	return part*density + (1-part)*WaterDensity
}

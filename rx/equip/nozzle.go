package equip

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/label/unit"
)

// nozzle is a nozzle's size as it is stamped, such as "03".
type nozzle string

// RatedPressure is that at which the sizes of [nozzle] are named, 40 psi. ISO 10625
// colors name them at 3 bar, 43.5 psi, by 0.4 L/min per 01, quoted from memory; the
// two scales differ by 1.3 %.
const RatedPressure = 40 * unit.PSI

// nozzleSizes are the sizes of the trade, smallest first; quoted from memory.
var nozzleSizes = []nozzle{"01", "015", "02", "025", "03", "04", "05", "06", "08", "10", "15", "20"}

// Flow returns the flow of water at [RatedPressure], which the size's name says: its first
// two digits are tenths of a gallon a minute, a third one hundredths. 0 for a size that is
// not one.
func (n nozzle) Flow() unit.Flow {
	if !slices.Contains(nozzleSizes, n) {
		return 0
	}
	hundredths, err := strconv.Atoi((string(n) + "0")[:3])
	if err != nil {
		return 0
	}
	return unit.Flow(hundredths) / 100
}

// UnmarshalText takes the sizes that are known here alone.
func (n *nozzle) UnmarshalText(b []byte) error {
	size := nozzle(strings.TrimSpace(string(b)))
	if size.Flow() == 0 {
		names := each.Of(nozzleSizes, func(s nozzle) string { return string(s) })
		return fmt.Errorf("%q is not a nozzle size: want one of %s", b, strings.Join(names, ", "))
	}
	*n = size
	return nil
}

// WaterDensity is that of water in nozzle tables, 1 kg/L.
const WaterDensity = 1 * unit.KilogramPerLiter

// flowOver returns the flow that covers a width at a volume and a speed:
// gal/min = gal/ac · mph · ft / 495, by definition of the acre and the mile. For one
// nozzle the width is its spacing, and with inches the divisor is 5940; in metric
// units L/min = L/ha · km/h · m / 600. [UF/IFAS EDIS WG013; Univ. Missouri G1270]
func flowOver(width unit.Length, volume unit.LiquidRate, speed unit.Speed) unit.Flow {
	return unit.Flow(float64(volume/unit.GallonPerAcre) * float64(speed) * float64(width) / 495)
}

// speedFor returns the speed at which a flow covers a width at a volume; the
// inverse of [flowOver]. Width and volume are above 0.
func speedFor(flow unit.Flow, width unit.Length, volume unit.LiquidRate) unit.Speed {
	return unit.Speed(495 * float64(flow) / (float64(volume/unit.GallonPerAcre) * float64(width)))
}

// volumeFor returns the volume that a flow lays over a width at a speed; the
// inverse of [flowOver]. Width and speed are above 0.
func volumeFor(flow unit.Flow, width unit.Length, speed unit.Speed) unit.LiquidRate {
	return unit.LiquidRate(495*float64(flow)/(float64(speed)*float64(width))) * unit.GallonPerAcre
}

// pressureFor returns the pressure at which an orifice that gives one flow at one
// pressure gives another: P₂ = P₁·(Q₂/Q₁)², the orifice equation.
func pressureFor(wanted, flow unit.Flow, at unit.Pressure) unit.Pressure {
	ratio := float64(wanted / flow)
	return at * unit.Pressure(ratio*ratio)
}

// flowAt returns the flow of an orifice at another pressure: Q₂ = Q₁·√(P₂/P₁).
func flowAt(p unit.Pressure, flow unit.Flow, at unit.Pressure) unit.Flow {
	return flow * unit.Flow(math.Sqrt(float64(p/at)))
}

// waterFlow returns what a table made for water must read so that a liquid of
// another density flows as wanted: gal/min · √SG, SG its density over water's.
// [Univ. Nebraska CropWatch 2016, Setting the Sprayer Flow Rate for Non-Water
// Solutions]
func waterFlow(wanted unit.Flow, density unit.Density) unit.Flow {
	return wanted * unit.Flow(math.Sqrt(float64(density/WaterDensity)))
}

// MixDensity returns the density of product in water: both by their part of the
// volume, volumes taken to add up. The product's rate is part of the volume.
func MixDensity(volume, product unit.LiquidRate, density unit.Density) unit.Density {
	part := unit.Density(product / volume)
	return unit.Density(part*density) + unit.Density((1-part)*WaterDensity)
}

// CatchCourse returns the length of the course on which the fluid ounces caught
// from one nozzle are the gallons per acre: the strip of one spacing that is 1/128 of
// an acre, 4083.75/inches in feet. [Ohio State Univ. Extension Bulletin 817; LSU
// AgCenter, Ounces Equal Gallons]
func CatchCourse(spacing unit.Length) unit.Length {
	return unit.Length(unit.Acre/unit.SquareFoot) / 128 / spacing
}

// MetricCatchCourse returns the length of the course on which the milliliters caught
// from one nozzle are the liters per hectare: the strip of one spacing that has 10 m²,
// a thousandth of a hectare. Exact by definition of the hectare.
func MetricCatchCourse(spacing unit.Length) unit.Length {
	return unit.Length(10*unit.SquareMeter/unit.SquareFoot) / spacing
}

// Caught returns what one nozzle should give while the machine drives a course at a
// volume.
func Caught(volume unit.LiquidRate, course, spacing unit.Length) unit.Volume {
	return unit.VolumeOver(volume, unit.Area(float64(course)*float64(spacing))*unit.SquareFoot)
}

// CatchTime returns how long a course takes at a speed above 0; 88 ft/min is 1 mph.
func CatchTime(course unit.Length, speed unit.Speed) unit.Time {
	return unit.Time(float64(course) / (88 * float64(speed)))
}

package unit

import (
	"fmt"
	"strings"
)

// Quantities of product, dry and liquid.

// Mass is a weight in pounds (avoirdupois).
type Mass = Quantity[mass]

// Units of [Mass].
const (
	Pound     Mass = 1
	Ton       Mass = poundsPerTon
	Kilogram  Mass = 1 / kilogramsPerPound
	MetricTon Mass = poundsPerMetricTon
)

type mass struct{}

func (mass) table() *table { return masses }

var masses = define("a weight", "3 ton", "lb", "kg", units[mass]{
	{"lb", Pound},
	{"ton", Ton},
	{"kg", Kilogram},
	{"t", MetricTon},
})

// Volume is an amount of liquid in US fluid ounces.
type Volume = Quantity[volume]

// Units of [Volume].
const (
	FluidOunce Volume = 1
	Gallon     Volume = fluidOzPerGallon
	Milliliter Volume = 1 / (1000 * litersPerFluidOz)
	Liter      Volume = 1000 * Milliliter
)

type volume struct{}

func (volume) table() *table { return volumes }

var volumes = define("a volume of liquid", "120 gal", "fl oz", "mL", units[volume]{
	{"fl oz", FluidOunce},
	{"pt", 16},
	{"qt", 32},
	{"gal", Gallon},
	{"mL", Milliliter},
	{"L", Liter},
})

// Loading is the volume of a liquid that a mass of dry blend takes up in the
// blender, in fl oz per ton of blend.
type Loading = Quantity[loading]

// Units of [Loading].
const (
	FluidOuncePerTon       Loading = 1
	MilliliterPerMetricTon Loading = poundsPerTon / (1000 * litersPerFluidOz * poundsPerMetricTon)
)

type loading struct{}

func (loading) table() *table { return loadings }

var loadings = define("a loading", "320 fl oz/ton", "fl oz/ton", "mL/t", units[loading]{
	{"fl oz/ton", FluidOuncePerTon},
	{"pt/ton", 16},
	{"qt/ton", 32},
	{"gal/ton", fluidOzPerGallon},
	{"mL/t", MilliliterPerMetricTon},
	{"L/t", 1000 * MilliliterPerMetricTon},
})

// Density is a mass per volume in lb/gal: of a liquid, of bulk dry product
// (lb/ft³), or of drying agent per volume of liquid (lb/pt).
type Density = Quantity[density]

// Units of [Density].
const (
	PoundPerGallon        Density = 1
	PoundPerPint          Density = 8
	PoundPerCubicFoot     Density = 1 / gallonsPerCubicFt
	KilogramPerLiter      Density = litersPerGallon / kilogramsPerPound
	KilogramPerCubicMeter Density = KilogramPerLiter / 1000
)

type density struct{}

func (density) table() *table { return densities }

var densityUnits = units[density]{
	{"lb/gal", PoundPerGallon},
	{"lb/pt", PoundPerPint},
	{"lb/ft3", PoundPerCubicFoot},
	{"kg/L", KilogramPerLiter},
	{"kg/m3", KilogramPerCubicMeter},
	{"g/mL", KilogramPerLiter},
}

var densities = define("a density", "9 lb/gal", "lb/gal", "kg/L", densityUnits)

// BulkDensity is a [Density], in lb/gal as well, that shows in the units in which
// plants weigh dry product, lb/ft3 or kg/m3: BulkDensity(d).Brief(s).
type BulkDensity = Quantity[bulkDensity]

type bulkDensity struct{}

func (bulkDensity) table() *table { return bulkDensities }

var bulkDensities = define("a density", "48 lb/ft3", "lb/ft3", "kg/m3", densityUnits)

// Capacity is a room that bulk dry product fills, in cubic feet: a blender's
// drum or a bin.
type Capacity = Quantity[capacity]

// CubicFoot is the unit of [Capacity].
const CubicFoot Capacity = 1

type capacity struct{}

func (capacity) table() *table { return capacities }

var capacities = define("a bulk volume", "180 ft3", "ft3", "m3", units[capacity]{
	{"ft3", CubicFoot},
	{"m3", 1 / cubicMetersPerCubicFt},
})

// Ratio is a dimensionless share; 0.05 is 5 %.
type Ratio = Quantity[ratio]

// Percent is one part in a hundred.
const Percent Ratio = 0.01

type ratio struct{}

func (ratio) table() *table { return ratios }

var ratios = define("a share", "5 %", "%", "%", units[ratio]{{"%", Percent}})

// Money, in the currency of the prices that were given, shown as $, and prices.

// Money is a sum, as [Quantity] of $.
type Money = Quantity[money]

type money struct{}

func (money) table() *table { return sums }

var sums = define("a sum of money", "1200 $", "$", "$", units[money]{{"$", 1}})

// Cents prints a sum as people write sums, to the cent and with commas between
// thousands: $1,234.50, and -$260.77 for what is earned rather than spent.
func Cents(m Money) string {
	digits, negative := strings.CutPrefix(Thousands(fmt.Sprintf("%.2f", float64(m))), "-")
	if negative && strings.ContainsAny(digits, "123456789") {
		return "-$" + digits
	}
	return "$" + digits
}

// VolumePrice is the price of a liquid in $/gal.
type VolumePrice = Quantity[volumePrice]

// DollarPerGallon is the unit of [VolumePrice].
const DollarPerGallon VolumePrice = 1

type volumePrice struct{}

func (volumePrice) table() *table { return volumePrices }

var volumePrices = define("a price of a liquid", "38.50 $/gal", "$/gal", "$/L", units[volumePrice]{
	{"$/gal", DollarPerGallon},
	{"$/qt", 4},
	{"$/pt", 8},
	{"$/fl oz", fluidOzPerGallon},
	{"$/L", litersPerGallon},
})

// MassPrice is the price of dry product, or of work on it, in $/ton.
type MassPrice = Quantity[massPrice]

// Units of [MassPrice].
const (
	DollarPerTon       MassPrice = 1
	dollarPerMetricTon MassPrice = poundsPerTon / poundsPerMetricTon
)

type massPrice struct{}

func (massPrice) table() *table { return massPrices }

var massPrices = define("a price by weight", "520 $/ton", "$/ton", "$/t", units[massPrice]{
	{"$/ton", DollarPerTon},
	{"$/lb", poundsPerTon},
	{"$/t", dollarPerMetricTon},
	{"$/kg", 1000 * dollarPerMetricTon},
})

// AreaPrice is the price of work on the ground in $/ac.
type AreaPrice = Quantity[areaPrice]

// DollarPerAcre is the unit of [AreaPrice].
const DollarPerAcre AreaPrice = 1

type areaPrice struct{}

func (areaPrice) table() *table { return areaPrices }

var areaPrices = define("a price by area", "7.50 $/ac", "$/ac", "$/ha", units[areaPrice]{
	{"$/ac", DollarPerAcre},
	{"$/ha", 1 / acresPerHectare},
})

// GrainPrice is the price of the crop in $/bu; what a bushel weighs depends on the
// crop and is not known here.
type GrainPrice = Quantity[grainPrice]

// DollarPerBushel is the unit of [GrainPrice].
const DollarPerBushel GrainPrice = 1

type grainPrice struct{}

func (grainPrice) table() *table { return grainPrices }

var grainPrices = define("a price of grain", "4.25 $/bu", "$/bu", "$/bu", units[grainPrice]{{"$/bu", DollarPerBushel}})

package unit

import (
	"math"
	"strconv"
)

// Quantities of ground, and of what lies on it or drives over it.

// Area is a surface in international acres.
type Area = Quantity[area]

// Units of [Area].
const (
	Acre        Area = 1
	Hectare     Area = acresPerHectare
	SquareMeter Area = 1 / squareMetersPerAc
	SquareFoot  Area = 1.0 / squareFeetPerAcre
)

type area struct{}

func (area) table() *table { return areas }

var areas = define("an area", "40 ac", "ac", "ha", units[area]{
	{"ac", Acre},
	{"ha", Hectare},
	{"m2", SquareMeter},
	{"ft2", SquareFoot},
})

// DryRate is a mass of dry product on the ground, in lb/ac.
type DryRate = Quantity[dryRate]

// Units of [DryRate].
const (
	PoundPerAcre       DryRate = 1
	kilogramPerHectare DryRate = 1 / (kilogramsPerPound * acresPerHectare)
)

type dryRate struct{}

func (dryRate) table() *table { return dryRates }

var dryRates = define("a dry rate", "200 lb/ac", "lb/ac", "kg/ha", units[dryRate]{
	{"lb/ac", PoundPerAcre},
	{"ton/ac", poundsPerTon},
	{"kg/ha", kilogramPerHectare},
	{"t/ha", 1000 * kilogramPerHectare},
})

// DryRateUnits lists the names of the units of dry rates that can be read.
func DryRateUnits() []string { return dryRates.names() }

// LiquidRateUnits does the same for rates of liquids.
func LiquidRateUnits() []string { return liquidRates.names() }

// ParseDryRateUnit returns the dry rate of one of the named unit, such as
// "kg/ha"; the error is an [*Error] that lists the units.
func ParseDryRateUnit(name string) (DryRate, error) {
	f, err := dryRates.factor(name)
	return DryRate(f), err
}

// LiquidRate is a volume of liquid on the ground, in fl oz/ac: a stabilizer rate
// or a spray volume.
type LiquidRate = Quantity[liquidRate]

// Units of [LiquidRate].
const (
	FluidOuncePerAcre    LiquidRate = 1
	GallonPerAcre        LiquidRate = fluidOzPerGallon
	milliliterPerHectare LiquidRate = 1 / (1000 * litersPerFluidOz * acresPerHectare)
	literPerHectare      LiquidRate = 1000 * milliliterPerHectare
)

type liquidRate struct{}

func (liquidRate) table() *table { return liquidRates }

var liquidRates = define("a liquid rate", "30 fl oz/ac", "fl oz/ac", "mL/ha", units[liquidRate]{
	{"fl oz/ac", FluidOuncePerAcre},
	{"pt/ac", 16},
	{"qt/ac", 32},
	{"gal/ac", GallonPerAcre},
	{"mL/ha", milliliterPerHectare},
	{"L/ha", literPerHectare},
})

// SprayVolumeUnit returns the unit that spray volumes are spoken of and written in, and
// its symbol: gal/ac or L/ha.
func SprayVolumeUnit(s System) (one LiquidRate, symbol string) {
	if s == Metric {
		return literPerHectare, "L/ha"
	}
	return GallonPerAcre, "gal/ac"
}

// Length is a distance in feet.
type Length = Quantity[length]

// Units of [Length].
const (
	Foot       Length = 1
	Inch       Length = 1.0 / 12
	Meter      Length = 1 / metersPerFoot
	Millimeter Length = Meter / 1000
)

type length struct{}

func (length) table() *table { return lengths }

var lengths = define("a length", "70 ft", "ft", "m", units[length]{
	{"ft", Foot},
	{"in", Inch},
	{"m", Meter},
	{"cm", Meter / 100},
	{"mm", Millimeter},
})

// Speed is a ground speed in miles per hour.
type Speed = Quantity[speed]

// MilePerHour is the unit of [Speed].
const MilePerHour Speed = 1

type speed struct{}

func (speed) table() *table { return speeds }

var speeds = define("a speed", "15 mph", "mph", "km/h", units[speed]{
	{"mph", MilePerHour},
	{"km/h", 1000 / (feetPerMile * metersPerFoot)},
})

// Quantities of what flows.

// Flow is a volume of liquid per time in US gallons per minute.
type Flow = Quantity[flow]

type flow struct{}

func (flow) table() *table { return flows }

var flows = define("a flow", "0.4 gal/min", "gal/min", "L/min", units[flow]{
	{"gal/min", 1},
	{"L/min", 1 / litersPerGallon},
})

// MassFlow is a mass of dry product per time in lb/min, as a spreader delivers it.
type MassFlow = Quantity[massFlow]

type massFlow struct{}

func (massFlow) table() *table { return massFlows }

var massFlows = define("a flow of dry product", "424 lb/min", "lb/min", "kg/min", units[massFlow]{
	{"lb/min", 1},
	{"kg/min", 1 / kilogramsPerPound},
})

// BulkFlow is a room of dry product per time in ft3/min, as a meter turns it out.
type BulkFlow = Quantity[bulkFlow]

type bulkFlow struct{}

func (bulkFlow) table() *table { return bulkFlows }

var bulkFlows = define("a bulk flow", "9 ft3/min", "ft3/min", "m3/min", units[bulkFlow]{
	{"ft3/min", 1},
	{"m3/min", 1 / cubicMetersPerCubicFt},
})

// Pressure is a gauge pressure in psi.
type Pressure = Quantity[pressure]

// PSI is the unit of [Pressure].
const PSI Pressure = 1

type pressure struct{}

func (pressure) table() *table { return pressures }

var pressures = define("a pressure", "40 psi", "psi", "bar", units[pressure]{
	{"psi", PSI},
	{"bar", 100000 / pascalsPerPSI},
	{"kPa", 1000 / pascalsPerPSI},
})

// Time is a duration in minutes. It prints in min, in s below one of them, or in h
// where that is a whole number.
type Time = Quantity[duration]

// Units of [Time].
const (
	Minute Time = 1
	Second Time = 1.0 / 60
	Hour   Time = 60
	Day    Time = 24 * 60
)

type duration struct{}

func (duration) table() *table { return durations }

var durations = define("a time", "5 min", "min", "min", units[duration]{
	{"min", Minute},
	{"s", Second},
	{"h", Hour},
	{"d", Day},
}).readAs(bestTime)

func bestTime(minutes float64) string {
	switch t := Time(minutes); {
	case t >= Hour && math.Mod(minutes, float64(Hour)) == 0:
		return "h"
	case t > 0 && t < Minute:
		return "s"
	}
	return "min"
}

// Days prints a time of whole days, one at least, as such, and any other as its text.
func Days(t Time, s System) string {
	switch n := float64(t / Day); {
	case n < 1 || n != math.Trunc(n):
		return t.Text(s)
	case n == 1:
		return "1 day"
	default:
		return strconv.Itoa(int(n)) + " days"
	}
}

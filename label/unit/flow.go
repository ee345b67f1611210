package unit

import (
	"math"
	"strconv"
)

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

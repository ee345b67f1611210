package unit

import (
	"fmt"
	"strings"
)

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

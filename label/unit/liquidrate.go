package unit

// LiquidRate is a volume of liquid on the ground, in fl oz/ac: a stabilizer rate
// or a spray volume.
type LiquidRate float64

// Units of [LiquidRate].
const (
	FluidOuncePerAcre    LiquidRate = 1
	PintPerAcre          LiquidRate = 16
	QuartPerAcre         LiquidRate = 32
	GallonPerAcre        LiquidRate = fluidOzPerGallon
	MilliliterPerHectare LiquidRate = 1 / (1000 * litersPerFluidOz * acresPerHectare)
	LiterPerHectare      LiquidRate = 1000 * MilliliterPerHectare
)

var liquidRateUnits = dimension{
	what: "a liquid rate", example: "30 fl oz/ac",
	shown:   [2]symbol{{"fl oz/ac", float64(FluidOuncePerAcre)}, {"mL/ha", float64(MilliliterPerHectare)}},
	symbols: []symbol{{"fl oz/ac", float64(FluidOuncePerAcre)}, {"pt/ac", float64(PintPerAcre)}, {"qt/ac", float64(QuartPerAcre)}, {"gal/ac", float64(GallonPerAcre)}, {"ml/ha", float64(MilliliterPerHectare)}, {"l/ha", float64(LiterPerHectare)}},
}

// ParseLiquidRate reads a liquid rate such as "30 fl oz/ac", never a negative one; the error is
// an [*Error].
func ParseLiquidRate(s string) (LiquidRate, error) {
	v, err := liquidRateUnits.parse(s)
	return LiquidRate(v), err
}

// In returns the number of fl oz/ac or mL/ha.
func (q LiquidRate) In(s System) float64 { return float64(q) / liquidRateUnits.shown[s].factor }

// LiquidRateSymbol returns the unit that [LiquidRate.In] counts.
func LiquidRateSymbol(s System) string { return liquidRateUnits.shown[s].name }

// SprayVolumeUnit returns the unit that spray volumes are spoken of and written in, and
// its symbol: gal/ac or L/ha.
func SprayVolumeUnit(s System) (one LiquidRate, symbol string) {
	if s == Metric {
		return LiterPerHectare, "L/ha"
	}
	return GallonPerAcre, "gal/ac"
}

// Text prints the quantity with its unit, with at most ten significant digits.
func (q LiquidRate) Text(s System) string { return liquidRateUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q LiquidRate) Brief(s System) string { return liquidRateUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q LiquidRate) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseLiquidRate] reads.
func (q *LiquidRate) UnmarshalText(b []byte) (err error) {
	*q, err = ParseLiquidRate(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q LiquidRate) MarshalText() ([]byte, error) { return liquidRateUnits.exact(float64(q)) }

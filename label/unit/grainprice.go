package unit

// GrainPrice is the price of the crop in $/bu; what a bushel weighs depends on the
// crop and is not known here.
type GrainPrice float64

// Units of [GrainPrice].
const (
	DollarPerBushel GrainPrice = 1
)

var grainPriceUnits = dimension{
	what: "a price of grain", example: "4.25 $/bu",
	shown:   [2]symbol{{"$/bu", float64(DollarPerBushel)}, {"$/bu", float64(DollarPerBushel)}},
	symbols: []symbol{{"$/bu", float64(DollarPerBushel)}},
}

// ParseGrainPrice reads a price of grain such as "4.25 $/bu", never a negative one; the error is
// an [*Error].
func ParseGrainPrice(s string) (GrainPrice, error) {
	v, err := grainPriceUnits.parse(s)
	return GrainPrice(v), err
}

// In returns the number of $/bu.
func (q GrainPrice) In(s System) float64 { return float64(q) / grainPriceUnits.shown[s].factor }

// GrainPriceSymbol returns the unit that [GrainPrice.In] counts.
func GrainPriceSymbol(s System) string { return grainPriceUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q GrainPrice) Text(s System) string { return grainPriceUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q GrainPrice) Brief(s System) string { return grainPriceUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q GrainPrice) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseGrainPrice] reads.
func (q *GrainPrice) UnmarshalText(b []byte) (err error) {
	*q, err = ParseGrainPrice(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q GrainPrice) MarshalText() ([]byte, error) { return grainPriceUnits.exact(float64(q)) }

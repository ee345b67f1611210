package unit

// MassPrice is the price of dry product, or of work on it, in $/ton.
type MassPrice float64

// Units of [MassPrice].
const (
	DollarPerTon       MassPrice = 1
	DollarPerPound     MassPrice = poundsPerTon
	DollarPerMetricTon MassPrice = poundsPerTon / poundsPerMetricTon
	DollarPerKilogram  MassPrice = 1000 * DollarPerMetricTon
)

var massPriceUnits = dimension{
	what: "a price by weight", example: "520 $/ton",
	shown:   [2]symbol{{"$/ton", float64(DollarPerTon)}, {"$/t", float64(DollarPerMetricTon)}},
	symbols: []symbol{{"$/ton", float64(DollarPerTon)}, {"$/lb", float64(DollarPerPound)}, {"$/t", float64(DollarPerMetricTon)}, {"$/kg", float64(DollarPerKilogram)}},
}

// ParseMassPrice reads a price by weight such as "520 $/ton", never a negative one; the error is
// an [*Error].
func ParseMassPrice(s string) (MassPrice, error) {
	v, err := massPriceUnits.parse(s)
	return MassPrice(v), err
}

// In returns the number of $/ton or $/t.
func (q MassPrice) In(s System) float64 { return float64(q) / massPriceUnits.shown[s].factor }

// MassPriceSymbol returns the unit that [MassPrice.In] counts.
func MassPriceSymbol(s System) string { return massPriceUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q MassPrice) Text(s System) string { return massPriceUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q MassPrice) Brief(s System) string { return massPriceUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q MassPrice) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseMassPrice] reads.
func (q *MassPrice) UnmarshalText(b []byte) (err error) {
	*q, err = ParseMassPrice(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q MassPrice) MarshalText() ([]byte, error) { return massPriceUnits.exact(float64(q)) }

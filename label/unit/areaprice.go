package unit

// AreaPrice is the price of work on the ground in $/ac.
type AreaPrice float64

// Units of [AreaPrice].
const (
	DollarPerAcre    AreaPrice = 1
	DollarPerHectare AreaPrice = 1 / acresPerHectare
)

var areaPriceUnits = dimension{
	what: "a price by area", example: "7.50 $/ac",
	shown:   [2]symbol{{"$/ac", float64(DollarPerAcre)}, {"$/ha", float64(DollarPerHectare)}},
	symbols: []symbol{{"$/ac", float64(DollarPerAcre)}, {"$/ha", float64(DollarPerHectare)}},
}

// ParseAreaPrice reads a price by area such as "7.50 $/ac", never a negative one; the error is
// an [*Error].
func ParseAreaPrice(s string) (AreaPrice, error) {
	v, err := areaPriceUnits.parse(s)
	return AreaPrice(v), err
}

// In returns the number of $/ac or $/ha.
func (q AreaPrice) In(s System) float64 { return float64(q) / areaPriceUnits.shown[s].factor }

// AreaPriceSymbol returns the unit that [AreaPrice.In] counts.
func AreaPriceSymbol(s System) string { return areaPriceUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q AreaPrice) Text(s System) string { return areaPriceUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q AreaPrice) Brief(s System) string { return areaPriceUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q AreaPrice) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseAreaPrice] reads.
func (q *AreaPrice) UnmarshalText(b []byte) (err error) {
	*q, err = ParseAreaPrice(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q AreaPrice) MarshalText() ([]byte, error) { return areaPriceUnits.exact(float64(q)) }

package unit

// Ratio is a dimensionless share; 0.05 is 5 %.
type Ratio float64

// Units of [Ratio].
const (
	Percent Ratio = 0.01 // one part in a hundred
)

var ratioUnits = dimension{
	what: "a share", example: "5 %",
	shown:   [2]symbol{{"%", float64(Percent)}, {"%", float64(Percent)}},
	symbols: []symbol{{"%", float64(Percent)}},
}

// ParseRatio reads a share such as "5 %", never a negative one; the error is
// an [*Error].
func ParseRatio(s string) (Ratio, error) {
	v, err := ratioUnits.parse(s)
	return Ratio(v), err
}

// In returns the number of %.
func (q Ratio) In(s System) float64 { return float64(q) / ratioUnits.shown[s].factor }

// RatioSymbol returns the unit that [Ratio.In] counts.
func RatioSymbol(s System) string { return ratioUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q Ratio) Text(s System) string { return ratioUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q Ratio) Brief(s System) string { return ratioUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q Ratio) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseRatio] reads.
func (q *Ratio) UnmarshalText(b []byte) (err error) {
	*q, err = ParseRatio(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q Ratio) MarshalText() ([]byte, error) { return ratioUnits.exact(float64(q)) }

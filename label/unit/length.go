package unit

// Length is a distance in feet.
type Length float64

// Units of [Length].
const (
	Foot       Length = 1
	Inch       Length = 1.0 / 12
	Meter      Length = 1 / metersPerFoot
	Centimeter Length = Meter / 100
	Millimeter Length = Meter / 1000
)

var lengthUnits = dimension{
	what: "a length", example: "70 ft",
	shown:   [2]symbol{{"ft", float64(Foot)}, {"m", float64(Meter)}},
	symbols: []symbol{{"ft", float64(Foot)}, {"in", float64(Inch)}, {"m", float64(Meter)}, {"cm", float64(Centimeter)}, {"mm", float64(Millimeter)}},
}

// ParseLength reads a length such as "70 ft", never a negative one; the error is
// an [*Error].
func ParseLength(s string) (Length, error) {
	v, err := lengthUnits.parse(s)
	return Length(v), err
}

// In returns the number of ft or m.
func (q Length) In(s System) float64 { return float64(q) / lengthUnits.shown[s].factor }

// LengthSymbol returns the unit that [Length.In] counts.
func LengthSymbol(s System) string { return lengthUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q Length) Text(s System) string { return lengthUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q Length) Brief(s System) string { return lengthUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q Length) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseLength] reads.
func (q *Length) UnmarshalText(b []byte) (err error) {
	*q, err = ParseLength(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q Length) MarshalText() ([]byte, error) { return lengthUnits.exact(float64(q)) }

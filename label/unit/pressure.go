package unit

// Pressure is a gauge pressure in psi.
type Pressure float64

// Units of [Pressure].
const (
	PSI        Pressure = 1
	Bar        Pressure = 100000 / pascalsPerPSI
	Kilopascal Pressure = 1000 / pascalsPerPSI
)

var pressureUnits = dimension{
	what: "a pressure", example: "40 psi",
	shown:   [2]symbol{{"psi", float64(PSI)}, {"bar", float64(Bar)}},
	symbols: []symbol{{"psi", float64(PSI)}, {"bar", float64(Bar)}, {"kpa", float64(Kilopascal)}},
}

// ParsePressure reads a pressure such as "40 psi", never a negative one; the error is
// an [*Error].
func ParsePressure(s string) (Pressure, error) {
	v, err := pressureUnits.parse(s)
	return Pressure(v), err
}

// In returns the number of psi or bar.
func (q Pressure) In(s System) float64 { return float64(q) / pressureUnits.shown[s].factor }

// PressureSymbol returns the unit that [Pressure.In] counts.
func PressureSymbol(s System) string { return pressureUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q Pressure) Text(s System) string { return pressureUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q Pressure) Brief(s System) string { return pressureUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q Pressure) String() string { return q.Text(US) }

// UnmarshalText reads what [ParsePressure] reads.
func (q *Pressure) UnmarshalText(b []byte) (err error) {
	*q, err = ParsePressure(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q Pressure) MarshalText() ([]byte, error) { return pressureUnits.exact(float64(q)) }

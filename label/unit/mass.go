package unit

// Mass is a weight in pounds (avoirdupois).
type Mass float64

// Units of [Mass].
const (
	Pound     Mass = 1
	Ton       Mass = poundsPerTon
	Kilogram  Mass = 1 / kilogramsPerPound
	MetricTon Mass = poundsPerMetricTon
)

var massUnits = dimension{
	what: "a weight", example: "3 ton",
	shown:   [2]symbol{{"lb", float64(Pound)}, {"kg", float64(Kilogram)}},
	symbols: []symbol{{"lb", float64(Pound)}, {"ton", float64(Ton)}, {"kg", float64(Kilogram)}, {"t", float64(MetricTon)}},
}

// ParseMass reads a weight such as "3 ton", never a negative one; the error is
// an [*Error].
func ParseMass(s string) (Mass, error) {
	v, err := massUnits.parse(s)
	return Mass(v), err
}

// In returns the number of lb or kg.
func (q Mass) In(s System) float64 { return float64(q) / massUnits.shown[s].factor }

// MassSymbol returns the unit that [Mass.In] counts.
func MassSymbol(s System) string { return massUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q Mass) Text(s System) string { return massUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q Mass) Brief(s System) string { return massUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q Mass) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseMass] reads.
func (q *Mass) UnmarshalText(b []byte) (err error) {
	*q, err = ParseMass(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q Mass) MarshalText() ([]byte, error) { return massUnits.exact(float64(q)) }

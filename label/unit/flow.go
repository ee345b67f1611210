package unit

// Flow is a volume per time in US gallons per minute.
type Flow float64

// Units of [Flow].
const (
	GallonPerMinute Flow = 1
	LiterPerMinute  Flow = 1 / litersPerGallon
)

var flowUnits = dimension{
	what: "a flow", example: "0.4 gal/min",
	shown:   [2]symbol{{"gal/min", float64(GallonPerMinute)}, {"L/min", float64(LiterPerMinute)}},
	symbols: []symbol{{"gal/min", float64(GallonPerMinute)}, {"l/min", float64(LiterPerMinute)}},
}

// ParseFlow reads a flow such as "0.4 gal/min", never a negative one; the error is
// an [*Error].
func ParseFlow(s string) (Flow, error) {
	v, err := flowUnits.parse(s)
	return Flow(v), err
}

// In returns the number of gal/min or L/min.
func (q Flow) In(s System) float64 { return float64(q) / flowUnits.shown[s].factor }

// FlowSymbol returns the unit that [Flow.In] counts.
func FlowSymbol(s System) string { return flowUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q Flow) Text(s System) string { return flowUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q Flow) Brief(s System) string { return flowUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q Flow) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseFlow] reads.
func (q *Flow) UnmarshalText(b []byte) (err error) {
	*q, err = ParseFlow(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q Flow) MarshalText() ([]byte, error) { return flowUnits.exact(float64(q)) }

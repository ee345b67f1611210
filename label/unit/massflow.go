package unit

// MassFlow is a mass of dry product per time in lb/min, as a spreader delivers it.
type MassFlow float64

// Units of [MassFlow].
const (
	PoundPerMinute    MassFlow = 1
	KilogramPerMinute MassFlow = 1 / kilogramsPerPound
)

var massFlowUnits = dimension{
	what: "a flow of dry product", example: "424 lb/min",
	shown:   [2]symbol{{"lb/min", float64(PoundPerMinute)}, {"kg/min", float64(KilogramPerMinute)}},
	symbols: []symbol{{"lb/min", float64(PoundPerMinute)}, {"kg/min", float64(KilogramPerMinute)}},
}

// ParseMassFlow reads a flow of dry product such as "424 lb/min", never a negative one; the error is
// an [*Error].
func ParseMassFlow(s string) (MassFlow, error) {
	v, err := massFlowUnits.parse(s)
	return MassFlow(v), err
}

// In returns the number of lb/min or kg/min.
func (q MassFlow) In(s System) float64 { return float64(q) / massFlowUnits.shown[s].factor }

// MassFlowSymbol returns the unit that [MassFlow.In] counts.
func MassFlowSymbol(s System) string { return massFlowUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q MassFlow) Text(s System) string { return massFlowUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q MassFlow) Brief(s System) string { return massFlowUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q MassFlow) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseMassFlow] reads.
func (q *MassFlow) UnmarshalText(b []byte) (err error) {
	*q, err = ParseMassFlow(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q MassFlow) MarshalText() ([]byte, error) { return massFlowUnits.exact(float64(q)) }

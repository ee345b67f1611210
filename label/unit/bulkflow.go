package unit

// BulkFlow is a room of dry product per time in ft3/min, as a meter turns it out.
type BulkFlow float64

// Units of [BulkFlow].
const (
	CubicFootPerMinute  BulkFlow = 1
	CubicMeterPerMinute BulkFlow = CubicFootPerMinute / (metersPerFoot * metersPerFoot * metersPerFoot)
)

var bulkFlowUnits = dimension{
	what: "a bulk flow", example: "9 ft3/min",
	shown:   [2]symbol{{"ft3/min", float64(CubicFootPerMinute)}, {"m3/min", float64(CubicMeterPerMinute)}},
	symbols: []symbol{{"ft3/min", float64(CubicFootPerMinute)}, {"m3/min", float64(CubicMeterPerMinute)}},
}

// ParseBulkFlow reads a bulk flow such as "9 ft3/min", never a negative one; the error is
// an [*Error].
func ParseBulkFlow(s string) (BulkFlow, error) {
	v, err := bulkFlowUnits.parse(s)
	return BulkFlow(v), err
}

// In returns the number of ft3/min or m3/min.
func (q BulkFlow) In(s System) float64 { return float64(q) / bulkFlowUnits.shown[s].factor }

// BulkFlowSymbol returns the unit that [BulkFlow.In] counts.
func BulkFlowSymbol(s System) string { return bulkFlowUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q BulkFlow) Text(s System) string { return bulkFlowUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q BulkFlow) Brief(s System) string { return bulkFlowUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q BulkFlow) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseBulkFlow] reads.
func (q *BulkFlow) UnmarshalText(b []byte) (err error) {
	*q, err = ParseBulkFlow(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q BulkFlow) MarshalText() ([]byte, error) { return bulkFlowUnits.exact(float64(q)) }

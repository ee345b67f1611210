package unit

// Speed is a ground speed in miles per hour.
type Speed float64

// Units of [Speed].
const (
	MilePerHour      Speed = 1
	KilometerPerHour Speed = 1000 / (feetPerMile * metersPerFoot)
)

var speedUnits = dimension{
	what: "a speed", example: "15 mph",
	shown:   [2]symbol{{"mph", float64(MilePerHour)}, {"km/h", float64(KilometerPerHour)}},
	symbols: []symbol{{"mph", float64(MilePerHour)}, {"km/h", float64(KilometerPerHour)}},
}

// ParseSpeed reads a speed such as "15 mph", never a negative one; the error is
// an [*Error].
func ParseSpeed(s string) (Speed, error) {
	v, err := speedUnits.parse(s)
	return Speed(v), err
}

// In returns the number of mph or km/h.
func (q Speed) In(s System) float64 { return float64(q) / speedUnits.shown[s].factor }

// SpeedSymbol returns the unit that [Speed.In] counts.
func SpeedSymbol(s System) string { return speedUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q Speed) Text(s System) string { return speedUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q Speed) Brief(s System) string { return speedUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q Speed) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseSpeed] reads.
func (q *Speed) UnmarshalText(b []byte) (err error) {
	*q, err = ParseSpeed(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q Speed) MarshalText() ([]byte, error) { return speedUnits.exact(float64(q)) }

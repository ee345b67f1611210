package unit

import "math"

// Time is a duration in minutes.
type Time float64

// Units of [Time].
const (
	Minute Time = 1
	Second Time = 1.0 / 60
	Hour   Time = 60
	Day    Time = 24 * 60
)

var timeUnits = dimension{
	what: "a time", example: "5 min",
	shown:   [2]symbol{{"min", float64(Minute)}, {"min", float64(Minute)}},
	symbols: []symbol{{"min", float64(Minute)}, {"s", float64(Second)}, {"h", float64(Hour)}, {"d", float64(Day)}},
}

// ParseTime reads a time such as "5 min", never a negative one; the error is
// an [*Error].
func ParseTime(s string) (Time, error) {
	v, err := timeUnits.parse(s)
	return Time(v), err
}

// In returns the number of min.
func (q Time) In(s System) float64 { return float64(q) / timeUnits.shown[s].factor }

// TimeSymbol returns the unit that [Time.In] counts.
func TimeSymbol(s System) string { return timeUnits.shown[s].name }

// Text prints the time in min, in s below one of them, or in h where that is a whole
// number.
func (q Time) Text(s System) string { return timeShown(q).text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q Time) Brief(s System) string { return timeShown(q).brief(float64(q), s) }

// String prints the quantity in US units.
func (q Time) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseTime] reads.
func (q *Time) UnmarshalText(b []byte) (err error) {
	*q, err = ParseTime(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same. It
// counts in min where others show s: not every time is a float64 of s away from 0.
func (q Time) MarshalText() ([]byte, error) {
	shown := timeShown(q)
	if shown == &secondUnits {
		shown = &timeUnits
	}
	return shown.exact(float64(q))
}

// timeShown returns the units in which a time reads best.
func timeShown(q Time) *dimension {
	switch {
	case q >= Hour && math.Mod(float64(q), float64(Hour)) == 0:
		return &hourUnits
	case q > 0 && q < Minute:
		return &secondUnits
	}
	return &timeUnits
}

var secondUnits = dimension{
	what: timeUnits.what, example: "4 s",
	shown:   [2]symbol{{"s", float64(Second)}, {"s", float64(Second)}},
	symbols: timeUnits.symbols,
}

var hourUnits = dimension{
	what: timeUnits.what, example: "24 h",
	shown:   [2]symbol{{"h", float64(Hour)}, {"h", float64(Hour)}},
	symbols: timeUnits.symbols,
}

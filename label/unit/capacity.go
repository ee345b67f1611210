package unit

// Capacity is a room that bulk dry product fills, in cubic feet: a blender's
// drum or a bin.
type Capacity float64

// Units of [Capacity].
const (
	CubicFoot  Capacity = 1
	CubicMeter Capacity = 1 / (metersPerFoot * metersPerFoot * metersPerFoot)
)

var capacityUnits = dimension{
	what: "a bulk volume", example: "180 ft3",
	shown:   [2]symbol{{"ft3", float64(CubicFoot)}, {"m3", float64(CubicMeter)}},
	symbols: []symbol{{"ft3", float64(CubicFoot)}, {"m3", float64(CubicMeter)}},
}

// ParseCapacity reads a bulk volume such as "180 ft3", never a negative one; the error is
// an [*Error].
func ParseCapacity(s string) (Capacity, error) {
	v, err := capacityUnits.parse(s)
	return Capacity(v), err
}

// In returns the number of ft3 or m3.
func (q Capacity) In(s System) float64 { return float64(q) / capacityUnits.shown[s].factor }

// CapacitySymbol returns the unit that [Capacity.In] counts.
func CapacitySymbol(s System) string { return capacityUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q Capacity) Text(s System) string { return capacityUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q Capacity) Brief(s System) string { return capacityUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q Capacity) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseCapacity] reads.
func (q *Capacity) UnmarshalText(b []byte) (err error) {
	*q, err = ParseCapacity(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q Capacity) MarshalText() ([]byte, error) { return capacityUnits.exact(float64(q)) }

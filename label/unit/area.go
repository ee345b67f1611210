package unit

// Area is a surface in international acres.
type Area float64

// Units of [Area].
const (
	Acre        Area = 1
	Hectare     Area = acresPerHectare
	SquareMeter Area = 1 / squareMetersPerAc
	SquareFoot  Area = 1.0 / squareFeetPerAcre
)

var areaUnits = dimension{
	what: "an area", example: "40 ac",
	shown:   [2]symbol{{"ac", float64(Acre)}, {"ha", float64(Hectare)}},
	symbols: []symbol{{"ac", float64(Acre)}, {"ha", float64(Hectare)}, {"m2", float64(SquareMeter)}, {"ft2", float64(SquareFoot)}},
}

// ParseArea reads an area such as "40 ac", never a negative one; the error is
// an [*Error].
func ParseArea(s string) (Area, error) {
	v, err := areaUnits.parse(s)
	return Area(v), err
}

// In returns the number of ac or ha.
func (q Area) In(s System) float64 { return float64(q) / areaUnits.shown[s].factor }

// AreaSymbol returns the unit that [Area.In] counts.
func AreaSymbol(s System) string { return areaUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q Area) Text(s System) string { return areaUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q Area) Brief(s System) string { return areaUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q Area) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseArea] reads.
func (q *Area) UnmarshalText(b []byte) (err error) {
	*q, err = ParseArea(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q Area) MarshalText() ([]byte, error) { return areaUnits.exact(float64(q)) }

// SquareMeters returns the area in square meters.
func (q Area) SquareMeters() float64 { return float64(q) * squareMetersPerAc }

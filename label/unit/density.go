package unit

// Density is a mass per volume in lb/gal: of a liquid, of bulk dry product
// (lb/ft³), or of drying agent per volume of liquid (lb/pt).
type Density float64

// Units of [Density].
const (
	PoundPerGallon        Density = 1
	PoundPerPint          Density = 8
	PoundPerCubicFoot     Density = 1 / gallonsPerCubicFt
	KilogramPerLiter      Density = litersPerGallon / kilogramsPerPound
	KilogramPerCubicMeter Density = KilogramPerLiter / 1000
)

var densityUnits = dimension{
	what: "a density", example: "9 lb/gal",
	shown:   [2]symbol{{"lb/gal", float64(PoundPerGallon)}, {"kg/L", float64(KilogramPerLiter)}},
	symbols: []symbol{{"lb/gal", float64(PoundPerGallon)}, {"lb/pt", float64(PoundPerPint)}, {"lb/ft3", float64(PoundPerCubicFoot)}, {"kg/l", float64(KilogramPerLiter)}, {"kg/m3", float64(KilogramPerCubicMeter)}, {"g/ml", float64(KilogramPerLiter)}},
}

// ParseDensity reads a density such as "9 lb/gal", never a negative one; the error is
// an [*Error].
func ParseDensity(s string) (Density, error) {
	v, err := densityUnits.parse(s)
	return Density(v), err
}

// In returns the number of lb/gal or kg/L.
func (q Density) In(s System) float64 { return float64(q) / densityUnits.shown[s].factor }

// DensitySymbol returns the unit that [Density.In] counts.
func DensitySymbol(s System) string { return densityUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q Density) Text(s System) string { return densityUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q Density) Brief(s System) string { return densityUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q Density) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseDensity] reads.
func (q *Density) UnmarshalText(b []byte) (err error) {
	*q, err = ParseDensity(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q Density) MarshalText() ([]byte, error) { return densityUnits.exact(float64(q)) }

// BulkText prints the density as that of bulk dry product, in lb/ft3 or kg/m3.
func (q Density) BulkText(s System) string { return bulkDensityUnits.text(float64(q), s) }

// BulkBrief does the same for reading, rounded to four significant digits.
func (q Density) BulkBrief(s System) string { return bulkDensityUnits.brief(float64(q), s) }

// bulkDensityUnits shows a density as plants weigh dry product.
var bulkDensityUnits = dimension{
	what: densityUnits.what, example: "48 lb/ft3",
	shown:   [2]symbol{{"lb/ft3", float64(PoundPerCubicFoot)}, {"kg/m3", float64(KilogramPerCubicMeter)}},
	symbols: densityUnits.symbols,
}

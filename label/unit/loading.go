package unit

// Loading is the volume of a liquid that a mass of dry blend takes up in the
// blender, in fl oz per ton of blend.
type Loading float64

// Units of [Loading].
const (
	FluidOuncePerTon       Loading = 1
	PintPerTon             Loading = 16
	QuartPerTon            Loading = 32
	GallonPerTon           Loading = fluidOzPerGallon
	MilliliterPerMetricTon Loading = poundsPerTon / (1000 * litersPerFluidOz * poundsPerMetricTon)
	LiterPerMetricTon      Loading = 1000 * MilliliterPerMetricTon
)

var loadingUnits = dimension{
	what: "a loading", example: "320 fl oz/ton",
	shown:   [2]symbol{{"fl oz/ton", float64(FluidOuncePerTon)}, {"mL/t", float64(MilliliterPerMetricTon)}},
	symbols: []symbol{{"fl oz/ton", float64(FluidOuncePerTon)}, {"pt/ton", float64(PintPerTon)}, {"qt/ton", float64(QuartPerTon)}, {"gal/ton", float64(GallonPerTon)}, {"ml/t", float64(MilliliterPerMetricTon)}, {"l/t", float64(LiterPerMetricTon)}},
}

// ParseLoading reads a loading such as "320 fl oz/ton", never a negative one; the error is
// an [*Error].
func ParseLoading(s string) (Loading, error) {
	v, err := loadingUnits.parse(s)
	return Loading(v), err
}

// In returns the number of fl oz/ton or mL/t.
func (q Loading) In(s System) float64 { return float64(q) / loadingUnits.shown[s].factor }

// LoadingSymbol returns the unit that [Loading.In] counts.
func LoadingSymbol(s System) string { return loadingUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q Loading) Text(s System) string { return loadingUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q Loading) Brief(s System) string { return loadingUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q Loading) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseLoading] reads.
func (q *Loading) UnmarshalText(b []byte) (err error) {
	*q, err = ParseLoading(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q Loading) MarshalText() ([]byte, error) { return loadingUnits.exact(float64(q)) }

package unit

// Volume is an amount of liquid in US fluid ounces.
type Volume float64

// Units of [Volume].
const (
	FluidOunce Volume = 1
	Pint       Volume = 16
	Quart      Volume = 32
	Gallon     Volume = fluidOzPerGallon
	Milliliter Volume = 1 / (1000 * litersPerFluidOz)
	Liter      Volume = 1000 * Milliliter
)

var volumeUnits = dimension{
	what: "a volume of liquid", example: "120 gal",
	shown:   [2]symbol{{"fl oz", float64(FluidOunce)}, {"mL", float64(Milliliter)}},
	symbols: []symbol{{"fl oz", float64(FluidOunce)}, {"pt", float64(Pint)}, {"qt", float64(Quart)}, {"gal", float64(Gallon)}, {"ml", float64(Milliliter)}, {"l", float64(Liter)}},
}

// ParseVolume reads a volume of liquid such as "120 gal", never a negative one; the error is
// an [*Error].
func ParseVolume(s string) (Volume, error) {
	v, err := volumeUnits.parse(s)
	return Volume(v), err
}

// In returns the number of fl oz or mL.
func (q Volume) In(s System) float64 { return float64(q) / volumeUnits.shown[s].factor }

// VolumeSymbol returns the unit that [Volume.In] counts.
func VolumeSymbol(s System) string { return volumeUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q Volume) Text(s System) string { return volumeUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q Volume) Brief(s System) string { return volumeUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q Volume) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseVolume] reads.
func (q *Volume) UnmarshalText(b []byte) (err error) {
	*q, err = ParseVolume(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q Volume) MarshalText() ([]byte, error) { return volumeUnits.exact(float64(q)) }

package unit

// VolumePrice is the price of a liquid in $/gal.
type VolumePrice float64

// Units of [VolumePrice].
const (
	DollarPerGallon     VolumePrice = 1
	DollarPerQuart      VolumePrice = 4
	DollarPerPint       VolumePrice = 8
	DollarPerFluidOunce VolumePrice = fluidOzPerGallon
	DollarPerLiter      VolumePrice = litersPerGallon
)

var volumePriceUnits = dimension{
	what: "a price of a liquid", example: "38.50 $/gal",
	shown:   [2]symbol{{"$/gal", float64(DollarPerGallon)}, {"$/L", float64(DollarPerLiter)}},
	symbols: []symbol{{"$/gal", float64(DollarPerGallon)}, {"$/qt", float64(DollarPerQuart)}, {"$/pt", float64(DollarPerPint)}, {"$/fl oz", float64(DollarPerFluidOunce)}, {"$/l", float64(DollarPerLiter)}},
}

// ParseVolumePrice reads a price of a liquid such as "38.50 $/gal", never a negative one; the error is
// an [*Error].
func ParseVolumePrice(s string) (VolumePrice, error) {
	v, err := volumePriceUnits.parse(s)
	return VolumePrice(v), err
}

// In returns the number of $/gal or $/L.
func (q VolumePrice) In(s System) float64 { return float64(q) / volumePriceUnits.shown[s].factor }

// VolumePriceSymbol returns the unit that [VolumePrice.In] counts.
func VolumePriceSymbol(s System) string { return volumePriceUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q VolumePrice) Text(s System) string { return volumePriceUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q VolumePrice) Brief(s System) string { return volumePriceUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q VolumePrice) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseVolumePrice] reads.
func (q *VolumePrice) UnmarshalText(b []byte) (err error) {
	*q, err = ParseVolumePrice(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q VolumePrice) MarshalText() ([]byte, error) { return volumePriceUnits.exact(float64(q)) }

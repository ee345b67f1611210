package unit

// DryRate is a mass of dry product on the ground, in lb/ac.
type DryRate float64

// Units of [DryRate].
const (
	PoundPerAcre        DryRate = 1
	TonPerAcre          DryRate = poundsPerTon
	KilogramPerHectare  DryRate = 1 / (kilogramsPerPound * acresPerHectare)
	MetricTonPerHectare DryRate = 1000 * KilogramPerHectare
)

var dryRateUnits = dimension{
	what: "a dry rate", example: "200 lb/ac",
	shown:   [2]symbol{{"lb/ac", float64(PoundPerAcre)}, {"kg/ha", float64(KilogramPerHectare)}},
	symbols: []symbol{{"lb/ac", float64(PoundPerAcre)}, {"ton/ac", float64(TonPerAcre)}, {"kg/ha", float64(KilogramPerHectare)}, {"t/ha", float64(MetricTonPerHectare)}},
}

// ParseDryRate reads a dry rate such as "200 lb/ac", never a negative one; the error is
// an [*Error].
func ParseDryRate(s string) (DryRate, error) {
	v, err := dryRateUnits.parse(s)
	return DryRate(v), err
}

// In returns the number of lb/ac or kg/ha.
func (q DryRate) In(s System) float64 { return float64(q) / dryRateUnits.shown[s].factor }

// DryRateSymbol returns the unit that [DryRate.In] counts.
func DryRateSymbol(s System) string { return dryRateUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q DryRate) Text(s System) string { return dryRateUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q DryRate) Brief(s System) string { return dryRateUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q DryRate) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseDryRate] reads.
func (q *DryRate) UnmarshalText(b []byte) (err error) {
	*q, err = ParseDryRate(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q DryRate) MarshalText() ([]byte, error) { return dryRateUnits.exact(float64(q)) }

// ParseDryRateUnit returns the dry rate of one of the named unit, such as
// "kg/ha"; the error is an [*Error] that lists the units.
func ParseDryRateUnit(name string) (DryRate, error) {
	f, err := dryRateUnits.factor(name)
	return DryRate(f), err
}

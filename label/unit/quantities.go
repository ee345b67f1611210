package unit

// One block a quantity type: what it is read from, what it is shown in.

var areaUnits = dimension{
	what: "an area", example: "40 ac",
	shown:   [2]symbol{{"ac", float64(Acre)}, {"ha", float64(Hectare)}},
	symbols: []symbol{{"ac", float64(Acre)}, {"ha", float64(Hectare)}, {"m2", float64(SquareMeter)}, {"ft2", float64(SquareFoot)}},
}

// ParseArea reads an area such as "40 ac"; the error is an [*Error].
func ParseArea(s string) (Area, error) { v, err := areaUnits.parse(s); return Area(v), err }

// In returns the number of ac or ha.
func (q Area) In(s System) float64 { return float64(q) / areaUnits.shown[s].factor }

// AreaSymbol returns the unit that [Area.In] counts.
func AreaSymbol(s System) string { return areaUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q Area) Text(s System) string { return areaUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q Area) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseArea] reads.
func (q *Area) UnmarshalText(b []byte) (err error) { *q, err = ParseArea(string(b)); return err }

// MarshalText prints what [Area.String] prints.
func (q Area) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

var dryRateUnits = dimension{
	what: "a dry rate", example: "200 lb/ac",
	shown:   [2]symbol{{"lb/ac", float64(PoundPerAcre)}, {"kg/ha", float64(KilogramPerHectare)}},
	symbols: []symbol{{"lb/ac", float64(PoundPerAcre)}, {"ton/ac", float64(TonPerAcre)}, {"kg/ha", float64(KilogramPerHectare)}, {"t/ha", float64(1000 * KilogramPerHectare)}},
}

// ParseDryRate reads a dry rate such as "200 lb/ac"; the error is an [*Error].
func ParseDryRate(s string) (DryRate, error) { v, err := dryRateUnits.parse(s); return DryRate(v), err }

// In returns the number of lb/ac or kg/ha.
func (q DryRate) In(s System) float64 { return float64(q) / dryRateUnits.shown[s].factor }

// DryRateSymbol returns the unit that [DryRate.In] counts.
func DryRateSymbol(s System) string { return dryRateUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q DryRate) Text(s System) string { return dryRateUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q DryRate) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseDryRate] reads.
func (q *DryRate) UnmarshalText(b []byte) (err error) { *q, err = ParseDryRate(string(b)); return err }

// MarshalText prints what [DryRate.String] prints.
func (q DryRate) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

var liquidRateUnits = dimension{
	what: "a liquid rate", example: "30 fl oz/ac",
	shown:   [2]symbol{{"fl oz/ac", float64(FluidOuncePerAcre)}, {"mL/ha", float64(MilliliterPerHectare)}},
	symbols: []symbol{{"fl oz/ac", float64(FluidOuncePerAcre)}, {"pt/ac", float64(PintPerAcre)}, {"qt/ac", float64(QuartPerAcre)}, {"gal/ac", float64(GallonPerAcre)}, {"ml/ha", float64(MilliliterPerHectare)}, {"l/ha", float64(LiterPerHectare)}},
}

// ParseLiquidRate reads a liquid rate such as "30 fl oz/ac"; the error is an [*Error].
func ParseLiquidRate(s string) (LiquidRate, error) {
	v, err := liquidRateUnits.parse(s)
	return LiquidRate(v), err
}

// In returns the number of fl oz/ac or mL/ha.
func (q LiquidRate) In(s System) float64 { return float64(q) / liquidRateUnits.shown[s].factor }

// LiquidRateSymbol returns the unit that [LiquidRate.In] counts.
func LiquidRateSymbol(s System) string { return liquidRateUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q LiquidRate) Text(s System) string { return liquidRateUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q LiquidRate) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseLiquidRate] reads.
func (q *LiquidRate) UnmarshalText(b []byte) (err error) {
	*q, err = ParseLiquidRate(string(b))
	return err
}

// MarshalText prints what [LiquidRate.String] prints.
func (q LiquidRate) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

var loadingUnits = dimension{
	what: "a loading", example: "320 fl oz/ton",
	shown:   [2]symbol{{"fl oz/ton", float64(FluidOuncePerTon)}, {"mL/t", float64(MilliliterPerMetricTon)}},
	symbols: []symbol{{"fl oz/ton", float64(FluidOuncePerTon)}, {"pt/ton", float64(PintPerTon)}, {"qt/ton", float64(QuartPerTon)}, {"gal/ton", float64(GallonPerTon)}, {"ml/t", float64(MilliliterPerMetricTon)}, {"l/t", float64(LiterPerMetricTon)}},
}

// ParseLoading reads a loading such as "320 fl oz/ton"; the error is an [*Error].
func ParseLoading(s string) (Loading, error) { v, err := loadingUnits.parse(s); return Loading(v), err }

// In returns the number of fl oz/ton or mL/t.
func (q Loading) In(s System) float64 { return float64(q) / loadingUnits.shown[s].factor }

// LoadingSymbol returns the unit that [Loading.In] counts.
func LoadingSymbol(s System) string { return loadingUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q Loading) Text(s System) string { return loadingUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q Loading) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseLoading] reads.
func (q *Loading) UnmarshalText(b []byte) (err error) { *q, err = ParseLoading(string(b)); return err }

// MarshalText prints what [Loading.String] prints.
func (q Loading) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

var massUnits = dimension{
	what: "a weight", example: "3 ton",
	shown:   [2]symbol{{"lb", float64(Pound)}, {"kg", float64(Kilogram)}},
	symbols: []symbol{{"lb", float64(Pound)}, {"ton", float64(Ton)}, {"kg", float64(Kilogram)}, {"t", float64(MetricTon)}},
}

// ParseMass reads a weight such as "3 ton"; the error is an [*Error].
func ParseMass(s string) (Mass, error) { v, err := massUnits.parse(s); return Mass(v), err }

// In returns the number of lb or kg.
func (q Mass) In(s System) float64 { return float64(q) / massUnits.shown[s].factor }

// MassSymbol returns the unit that [Mass.In] counts.
func MassSymbol(s System) string { return massUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q Mass) Text(s System) string { return massUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q Mass) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseMass] reads.
func (q *Mass) UnmarshalText(b []byte) (err error) { *q, err = ParseMass(string(b)); return err }

// MarshalText prints what [Mass.String] prints.
func (q Mass) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

var volumeUnits = dimension{
	what: "a volume of liquid", example: "120 gal",
	shown:   [2]symbol{{"fl oz", float64(FluidOunce)}, {"mL", float64(Milliliter)}},
	symbols: []symbol{{"fl oz", float64(FluidOunce)}, {"pt", float64(Pint)}, {"qt", float64(Quart)}, {"gal", float64(Gallon)}, {"ml", float64(Milliliter)}, {"l", float64(Liter)}},
}

// ParseVolume reads a volume of liquid such as "120 gal"; the error is an [*Error].
func ParseVolume(s string) (Volume, error) { v, err := volumeUnits.parse(s); return Volume(v), err }

// In returns the number of fl oz or mL.
func (q Volume) In(s System) float64 { return float64(q) / volumeUnits.shown[s].factor }

// VolumeSymbol returns the unit that [Volume.In] counts.
func VolumeSymbol(s System) string { return volumeUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q Volume) Text(s System) string { return volumeUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q Volume) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseVolume] reads.
func (q *Volume) UnmarshalText(b []byte) (err error) { *q, err = ParseVolume(string(b)); return err }

// MarshalText prints what [Volume.String] prints.
func (q Volume) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

var densityUnits = dimension{
	what: "a density", example: "9 lb/gal",
	shown:   [2]symbol{{"lb/gal", float64(PoundPerGallon)}, {"kg/L", float64(KilogramPerLiter)}},
	symbols: []symbol{{"lb/gal", float64(PoundPerGallon)}, {"lb/pt", float64(PoundPerPint)}, {"lb/ft3", float64(PoundPerCubicFoot)}, {"kg/l", float64(KilogramPerLiter)}, {"kg/m3", float64(KilogramPerCubicMeter)}, {"g/ml", float64(KilogramPerLiter)}},
}

// ParseDensity reads a density such as "9 lb/gal"; the error is an [*Error].
func ParseDensity(s string) (Density, error) { v, err := densityUnits.parse(s); return Density(v), err }

// In returns the number of lb/gal or kg/L.
func (q Density) In(s System) float64 { return float64(q) / densityUnits.shown[s].factor }

// DensitySymbol returns the unit that [Density.In] counts.
func DensitySymbol(s System) string { return densityUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q Density) Text(s System) string { return densityUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q Density) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseDensity] reads.
func (q *Density) UnmarshalText(b []byte) (err error) { *q, err = ParseDensity(string(b)); return err }

// MarshalText prints what [Density.String] prints.
func (q Density) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

var lengthUnits = dimension{
	what: "a length", example: "70 ft",
	shown:   [2]symbol{{"ft", float64(Foot)}, {"m", float64(Meter)}},
	symbols: []symbol{{"ft", float64(Foot)}, {"in", float64(Inch)}, {"m", float64(Meter)}, {"cm", float64(Centimeter)}, {"mm", float64(Millimeter)}},
}

// ParseLength reads a length such as "70 ft"; the error is an [*Error].
func ParseLength(s string) (Length, error) { v, err := lengthUnits.parse(s); return Length(v), err }

// In returns the number of ft or m.
func (q Length) In(s System) float64 { return float64(q) / lengthUnits.shown[s].factor }

// LengthSymbol returns the unit that [Length.In] counts.
func LengthSymbol(s System) string { return lengthUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q Length) Text(s System) string { return lengthUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q Length) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseLength] reads.
func (q *Length) UnmarshalText(b []byte) (err error) { *q, err = ParseLength(string(b)); return err }

// MarshalText prints what [Length.String] prints.
func (q Length) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

var speedUnits = dimension{
	what: "a speed", example: "15 mph",
	shown:   [2]symbol{{"mph", float64(MilePerHour)}, {"km/h", float64(KilometerPerHour)}},
	symbols: []symbol{{"mph", float64(MilePerHour)}, {"km/h", float64(KilometerPerHour)}},
}

// ParseSpeed reads a speed such as "15 mph"; the error is an [*Error].
func ParseSpeed(s string) (Speed, error) { v, err := speedUnits.parse(s); return Speed(v), err }

// In returns the number of mph or km/h.
func (q Speed) In(s System) float64 { return float64(q) / speedUnits.shown[s].factor }

// SpeedSymbol returns the unit that [Speed.In] counts.
func SpeedSymbol(s System) string { return speedUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q Speed) Text(s System) string { return speedUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q Speed) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseSpeed] reads.
func (q *Speed) UnmarshalText(b []byte) (err error) { *q, err = ParseSpeed(string(b)); return err }

// MarshalText prints what [Speed.String] prints.
func (q Speed) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

var pressureUnits = dimension{
	what: "a pressure", example: "40 psi",
	shown:   [2]symbol{{"psi", float64(PSI)}, {"bar", float64(Bar)}},
	symbols: []symbol{{"psi", float64(PSI)}, {"bar", float64(Bar)}, {"kpa", float64(Kilopascal)}},
}

// ParsePressure reads a pressure such as "40 psi"; the error is an [*Error].
func ParsePressure(s string) (Pressure, error) {
	v, err := pressureUnits.parse(s)
	return Pressure(v), err
}

// In returns the number of psi or bar.
func (q Pressure) In(s System) float64 { return float64(q) / pressureUnits.shown[s].factor }

// PressureSymbol returns the unit that [Pressure.In] counts.
func PressureSymbol(s System) string { return pressureUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q Pressure) Text(s System) string { return pressureUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q Pressure) String() string { return q.Text(US) }

// UnmarshalText reads what [ParsePressure] reads.
func (q *Pressure) UnmarshalText(b []byte) (err error) {
	*q, err = ParsePressure(string(b))
	return err
}

// MarshalText prints what [Pressure.String] prints.
func (q Pressure) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

var flowUnits = dimension{
	what: "a flow", example: "0.4 gal/min",
	shown:   [2]symbol{{"gal/min", float64(GallonPerMinute)}, {"L/min", float64(LiterPerMinute)}},
	symbols: []symbol{{"gal/min", float64(GallonPerMinute)}, {"gpm", float64(GallonPerMinute)}, {"l/min", float64(LiterPerMinute)}},
}

// ParseFlow reads a flow such as "0.4 gal/min"; the error is an [*Error].
func ParseFlow(s string) (Flow, error) { v, err := flowUnits.parse(s); return Flow(v), err }

// In returns the number of gal/min or L/min.
func (q Flow) In(s System) float64 { return float64(q) / flowUnits.shown[s].factor }

// FlowSymbol returns the unit that [Flow.In] counts.
func FlowSymbol(s System) string { return flowUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q Flow) Text(s System) string { return flowUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q Flow) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseFlow] reads.
func (q *Flow) UnmarshalText(b []byte) (err error) { *q, err = ParseFlow(string(b)); return err }

// MarshalText prints what [Flow.String] prints.
func (q Flow) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

var capacityUnits = dimension{
	what: "a bulk volume", example: "180 ft3",
	shown:   [2]symbol{{"ft3", float64(CubicFoot)}, {"m3", float64(CubicMeter)}},
	symbols: []symbol{{"ft3", float64(CubicFoot)}, {"m3", float64(CubicMeter)}},
}

// ParseCapacity reads a bulk volume such as "180 ft3"; the error is an [*Error].
func ParseCapacity(s string) (Capacity, error) {
	v, err := capacityUnits.parse(s)
	return Capacity(v), err
}

// In returns the number of ft3 or m3.
func (q Capacity) In(s System) float64 { return float64(q) / capacityUnits.shown[s].factor }

// CapacitySymbol returns the unit that [Capacity.In] counts.
func CapacitySymbol(s System) string { return capacityUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q Capacity) Text(s System) string { return capacityUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q Capacity) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseCapacity] reads.
func (q *Capacity) UnmarshalText(b []byte) (err error) {
	*q, err = ParseCapacity(string(b))
	return err
}

// MarshalText prints what [Capacity.String] prints.
func (q Capacity) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

var timeUnits = dimension{
	what: "a time", example: "5 min",
	shown:   [2]symbol{{"min", float64(Minute)}, {"min", float64(Minute)}},
	symbols: []symbol{{"min", float64(Minute)}, {"s", float64(Second)}, {"h", float64(Hour)}, {"d", float64(Day)}},
}

// ParseTime reads a time such as "5 min"; the error is an [*Error].
func ParseTime(s string) (Time, error) { v, err := timeUnits.parse(s); return Time(v), err }

// In returns the number of min or min.
func (q Time) In(s System) float64 { return float64(q) / timeUnits.shown[s].factor }

// TimeSymbol returns the unit that [Time.In] counts.
func TimeSymbol(s System) string { return timeUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q Time) Text(s System) string { return timeUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q Time) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseTime] reads.
func (q *Time) UnmarshalText(b []byte) (err error) { *q, err = ParseTime(string(b)); return err }

// MarshalText prints what [Time.String] prints.
func (q Time) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

var ratioUnits = dimension{
	what: "a share", example: "5 %",
	shown:   [2]symbol{{"%", float64(Percent)}, {"%", float64(Percent)}},
	symbols: []symbol{{"%", float64(Percent)}},
}

// ParseRatio reads a share such as "5 %"; the error is an [*Error].
func ParseRatio(s string) (Ratio, error) { v, err := ratioUnits.parse(s); return Ratio(v), err }

// In returns the number of % or %.
func (q Ratio) In(s System) float64 { return float64(q) / ratioUnits.shown[s].factor }

// RatioSymbol returns the unit that [Ratio.In] counts.
func RatioSymbol(s System) string { return ratioUnits.shown[s].name }

// Text prints the quantity with its unit, as short as is exact to ten digits.
func (q Ratio) Text(s System) string { return ratioUnits.text(float64(q), s) }

// String prints the quantity in US units.
func (q Ratio) String() string { return q.Text(US) }

// UnmarshalText reads what [ParseRatio] reads.
func (q *Ratio) UnmarshalText(b []byte) (err error) { *q, err = ParseRatio(string(b)); return err }

// MarshalText prints what [Ratio.String] prints.
func (q Ratio) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// ParseDryRateUnit returns the dry rate of one of the named unit, such as "kg/ha".
func ParseDryRateUnit(name string) (DryRate, error) {
	f, err := dryRateUnits.factor(name)
	return DryRate(f), err
}

var dimensions = []*dimension{&areaUnits, &dryRateUnits, &liquidRateUnits, &loadingUnits, &massUnits, &volumeUnits, &densityUnits, &lengthUnits, &speedUnits, &pressureUnits, &flowUnits, &capacityUnits, &timeUnits, &ratioUnits}

// Package unit holds the quantities of the job as types: a dry rate can't be
// taken for a stabilizer rate, nor an acre for a hectare.
//
// Each type is a float64 in the customary unit of the United States trade, named
// in its comment, so that the worked figures of the trade come out as they are
// written. A constant turns a number into a quantity and a method turns it back:
//
//	rate := 200 * unit.PoundPerAcre
//	rate.In(unit.Metric)   // 224.17..., in kg/ha
//	unit.ParseDryRate("224 kg/ha")
//
// "fl oz" is the US liquid ounce, "ton" the US short ton of 2000 lb, "acre" the
// international acre of 43 560 international square feet, "t" the metric ton.
//
// Factors are those of NIST Special Publication 811 and NIST Handbook 44,
// Appendix C. The US survey foot, retired by 85 FR 62698, is in neither the acre
// nor the mile used here.
package unit

// Exact definitions (NIST SP 811, NIST Handbook 44 App. C).
const (
	metersPerFoot      = 0.3048
	kilogramsPerPound  = 0.45359237
	litersPerGallon    = 3.785411784
	fluidOzPerGallon   = 128
	poundsPerTon       = 2000
	squareFeetPerAcre  = 43560
	feetPerMile        = 5280
	squareMetersPerAc  = squareFeetPerAcre * metersPerFoot * metersPerFoot // 4046.8564224
	litersPerFluidOz   = litersPerGallon / fluidOzPerGallon
	pascalsPerPSI      = kilogramsPerPound * 9.80665 / (0.0254 * 0.0254)
	acresPerHectare    = 10000 / squareMetersPerAc
	gallonsPerCubicFt  = metersPerFoot * metersPerFoot * metersPerFoot * 1000 / litersPerGallon
	poundsPerMetricTon = 1000 / kilogramsPerPound
)

// Area is a surface in international acres.
type Area float64

// Units of [Area].
const (
	Acre        Area = 1
	Hectare     Area = acresPerHectare
	SquareMeter Area = 1 / squareMetersPerAc
	SquareFoot  Area = 1.0 / squareFeetPerAcre
)

// SquareMeters returns the area in square meters.
func (a Area) SquareMeters() float64 { return float64(a) * squareMetersPerAc }

// DryRate is a mass of dry product on the ground, in lb/ac.
type DryRate float64

// Units of [DryRate].
const (
	PoundPerAcre       DryRate = 1
	TonPerAcre         DryRate = poundsPerTon
	KilogramPerHectare DryRate = 1 / (kilogramsPerPound * acresPerHectare)
)

// LiquidRate is a volume of liquid on the ground, in fl oz/ac: a stabilizer rate
// or a spray volume.
type LiquidRate float64

// Units of [LiquidRate].
const (
	FluidOuncePerAcre    LiquidRate = 1
	PintPerAcre          LiquidRate = 16
	QuartPerAcre         LiquidRate = 32
	GallonPerAcre        LiquidRate = fluidOzPerGallon
	MilliliterPerHectare LiquidRate = 1 / (1000 * litersPerFluidOz * acresPerHectare)
	LiterPerHectare      LiquidRate = 1000 * MilliliterPerHectare
)

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

// Mass is a weight in pounds (avoirdupois).
type Mass float64

// Units of [Mass].
const (
	Pound     Mass = 1
	Ton       Mass = poundsPerTon
	Kilogram  Mass = 1 / kilogramsPerPound
	MetricTon Mass = poundsPerMetricTon
)

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

// Length is a distance in feet.
type Length float64

// Units of [Length].
const (
	Foot       Length = 1
	Inch       Length = 1.0 / 12
	Meter      Length = 1 / metersPerFoot
	Centimeter Length = Meter / 100
	Millimeter Length = Meter / 1000
)

// Meters returns the length in meters.
func (l Length) Meters() float64 { return float64(l) * metersPerFoot }

// Speed is a ground speed in miles per hour.
type Speed float64

// Units of [Speed].
const (
	MilePerHour      Speed = 1
	KilometerPerHour Speed = 1000 / (feetPerMile * metersPerFoot)
)

// Pressure is a gauge pressure in psi.
type Pressure float64

// Units of [Pressure].
const (
	PSI        Pressure = 1
	Bar        Pressure = 100000 / pascalsPerPSI
	Kilopascal Pressure = 1000 / pascalsPerPSI
)

// Flow is a volume per time in US gallons per minute.
type Flow float64

// Units of [Flow].
const (
	GallonPerMinute Flow = 1
	LiterPerMinute  Flow = 1 / litersPerGallon
)

// Capacity is a room that bulk dry product fills, in cubic feet: a blender's
// drum or a bin.
type Capacity float64

// Units of [Capacity].
const (
	CubicFoot  Capacity = 1
	CubicMeter Capacity = 1 / (metersPerFoot * metersPerFoot * metersPerFoot)
)

// Time is a duration in minutes.
type Time float64

// Units of [Time].
const (
	Minute Time = 1
	Second Time = 1.0 / 60
	Hour   Time = 60
	Day    Time = 24 * 60
)

// Ratio is a dimensionless share; 0.05 is 5 %.
type Ratio float64

// Percent is one part in a hundred.
const Percent Ratio = 0.01

// StabilizerRate returns what reaches the ground when dry blend loaded with l is
// spread at r: S = A·R/2000.
func StabilizerRate(l Loading, r DryRate) LiquidRate {
	return LiquidRate(float64(l) * float64(r) / poundsPerTon)
}

// LoadingFor returns the loading that puts s on the ground where the dry rate is
// r, above 0: A = 2000·S/R.
func LoadingFor(s LiquidRate, r DryRate) Loading {
	return Loading(poundsPerTon * float64(s) / float64(r))
}

// DryRateFor returns the dry rate at which a blend loaded with l, above 0, puts s
// on the ground: R = 2000·S/A.
func DryRateFor(s LiquidRate, l Loading) DryRate {
	return DryRate(poundsPerTon * float64(s) / float64(l))
}

// Over returns the mass of dry product that a rate puts on an area.
func (r DryRate) Over(a Area) Mass { return Mass(float64(r) * float64(a)) }

// Over returns the volume of liquid that a rate puts on an area.
func (r LiquidRate) Over(a Area) Volume { return Volume(float64(r) * float64(a)) }

// Of returns the volume of liquid that a mass of blend takes up.
func (l Loading) Of(m Mass) Volume { return Volume(float64(l) * float64(m) / poundsPerTon) }

// Weight returns the mass of a volume of liquid of density d.
func (v Volume) Weight(d Density) Mass { return Mass(float64(v) / fluidOzPerGallon * float64(d)) }

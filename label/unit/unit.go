// Package unit holds the quantities of the job as types: a dry rate can't be
// taken for a stabilizer rate, nor an acre for a hectare.
//
// Each is a [Quantity], a float64 in the customary unit of the United States trade,
// named in its comment, so that the worked figures of the trade come out as they are
// written. A constant turns a number into a quantity and a method turns it back:
//
//	rate := 200 * unit.PoundPerAcre
//	rate.In(unit.Metric)   // 224.17..., in kg/ha
//	unit.Parse[unit.DryRate]("224 kg/ha")
//
// "fl oz" is the US liquid ounce, "ton" the US short ton of 2000 lb, "acre" the
// international acre of 43 560 international square feet, "t" the metric ton.
//
// To add a unit, add a line to the table of its quantity; to add a quantity, add its
// type with its table, and the table to those that Parse tells apart. The tests ask for
// an outside figure for every unit.
//
// Factors are those of NIST Special Publication 811 and NIST Handbook 44,
// Appendix C. The US survey foot, retired by 85 FR 62698, is in neither the acre
// nor the mile used here.
package unit

import (
	"fmt"
	"strings"
)

// Exact definitions (NIST SP 811, NIST Handbook 44 App. C).
const (
	metersPerFoot         = 0.3048
	kilogramsPerPound     = 0.45359237
	litersPerGallon       = 3.785411784
	fluidOzPerGallon      = 128
	poundsPerTon          = 2000
	squareFeetPerAcre     = 43560
	feetPerMile           = 5280
	squareMetersPerAc     = squareFeetPerAcre * metersPerFoot * metersPerFoot // 4046.8564224
	litersPerFluidOz      = litersPerGallon / fluidOzPerGallon
	pascalsPerPSI         = kilogramsPerPound * 9.80665 / (0.0254 * 0.0254)
	acresPerHectare       = 10000 / squareMetersPerAc
	cubicMetersPerCubicFt = metersPerFoot * metersPerFoot * metersPerFoot
	gallonsPerCubicFt     = cubicMetersPerCubicFt * 1000 / litersPerGallon
	poundsPerMetricTon    = 1000 / kilogramsPerPound
)

// System says in which units quantities are shown and written.
type System int

// The two systems.
const (
	US System = iota
	Metric
)

// ParseSystem reads "us" or "metric".
func ParseSystem(s string) (System, error) {
	switch strings.ToLower(s) {
	case "us":
		return US, nil
	case "metric":
		return Metric, nil
	}
	return US, fmt.Errorf("%q is not a system of units: want us or metric", s)
}

// Choices lists the words that can be entered.
func (System) Choices() []string { return []string{US.String(), Metric.String()} }

// String returns "us" or "metric".
func (s System) String() string {
	if s == Metric {
		return "metric"
	}
	return "us"
}

// UnmarshalText reads what [ParseSystem] reads.
func (s *System) UnmarshalText(b []byte) (err error) {
	*s, err = ParseSystem(string(b))
	return err
}

// The methods of a [Quantity] know its own dimension alone; what leads from one
// dimension to another stands here.

// The core relation of the job, S = A·R/2000: what reaches the ground, S, is the
// loading, A, times the dry rate, R, over the pounds of a ton.

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

// Uptake returns the volume of liquid that a mass of blend takes up at a loading.
func Uptake(l Loading, m Mass) Volume { return Volume(float64(l) * float64(m) / poundsPerTon) }

// MassOver returns the mass of dry product that a rate puts on an area.
func MassOver(r DryRate, a Area) Mass { return Mass(float64(r) * float64(a)) }

// VolumeOver returns the volume of liquid that a rate puts on an area.
func VolumeOver(r LiquidRate, a Area) Volume { return Volume(float64(r) * float64(a)) }

// LiquidWeight returns the mass of a volume of liquid of density d.
func LiquidWeight(v Volume, d Density) Mass { return Mass(float64(v) / fluidOzPerGallon * float64(d)) }

// BulkWeight returns the mass of bulk product of density d that fills a room.
func BulkWeight(c Capacity, d Density) Mass { return Mass(float64(c) * float64(d/PoundPerCubicFoot)) }

// Meters returns a length in meters.
func Meters(l Length) float64 { return float64(float64(l) * metersPerFoot) }

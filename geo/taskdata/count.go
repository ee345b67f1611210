package taskdata

import (
	"fmt"
	"math"
	"math/big"

	"rxsplit/label/unit"
)

// One acre is 4046.8564224 m², one pound 0.45359237 kg, one gallon of 128 fl oz
// 3.785411784 L [NIST SP 811]; a count is 1 mg/m², or 0.01 mm³/m².
var (
	countsPerPoundAcre   = big.NewRat(4535923700000, 40468564224)
	countsPerFluidOzAcre = big.NewRat(3785411784000000, 40468564224*128)
)

// dust is what a rate at a limit may miss it by from rounding alone.
const dust = 1e-9

// CountError is a rate that no count can say.
type CountError struct{ Why string }

func (e *CountError) Error() string { return e.Why }

// MassCount returns a dry rate in counts of [SetpointMassPerArea]: the nearest one, half
// away from zero. Where the rate is within the limits and the nearest count is not, it is
// the nearest that is, if there is one. most is +Inf for no limit.
func MassCount(r, least, most unit.DryRate) (int32, error) {
	return count(float64(r), float64(least), float64(most), countsPerPoundAcre)
}

// VolumeCount returns a liquid rate in counts of [SetpointVolumePerArea], rounded as
// [MassCount] does.
func VolumeCount(r, least, most unit.LiquidRate) (int32, error) {
	return count(float64(r), float64(least), float64(most), countsPerFluidOzAcre)
}

// MassRate returns the dry rate of a count.
func MassRate(n int32) unit.DryRate { return unit.DryRate(rate(n, countsPerPoundAcre)) }

// VolumeRate returns the liquid rate of a count.
func VolumeRate(n int32) unit.LiquidRate { return unit.LiquidRate(rate(n, countsPerFluidOzAcre)) }

func rate(n int32, per *big.Rat) float64 {
	v, _ := new(big.Rat).Quo(new(big.Rat).SetInt64(int64(n)), per).Float64()
	return v
}

func count(v, least, most float64, per *big.Rat) (int32, error) {
	if !(v >= 0) || math.IsInf(v, 0) {
		return 0, &CountError{fmt.Sprintf("a rate of %v can't be counted", v)}
	}
	exact := counts(v, per)
	nearest := halfAway(exact)
	if low, ok := bound(least, per); ok && v >= least*(1-dust) && new(big.Rat).SetInt(nearest).Cmp(low) < 0 {
		nearest = inward(nearest, +1, most, per)
	} else if high, ok := bound(most, per); ok && v <= most*(1+dust) && new(big.Rat).SetInt(nearest).Cmp(high) > 0 {
		nearest = inward(nearest, -1, least, per)
	}
	if !nearest.IsInt64() || nearest.Int64() > math.MaxInt32 {
		return 0, &CountError{fmt.Sprintf("a rate of %v is more than a terminal can be told", v)}
	}
	return int32(nearest.Int64()), nil
}

// counts is a rate in exact counts.
func counts(v float64, per *big.Rat) *big.Rat {
	return new(big.Rat).Mul(new(big.Rat).SetFloat64(v), per)
}

// bound is a limit in exact counts; there is none at 0 or at infinity.
func bound(v float64, per *big.Rat) (*big.Rat, bool) {
	if !(v > 0) || math.IsInf(v, 0) {
		return nil, false
	}
	return counts(v, per), true
}

// inward takes one step into the limits, unless that passes the other one: a limit of
// one rate alone may lie between two counts.
func inward(from *big.Int, step int64, other float64, per *big.Rat) *big.Int {
	to := new(big.Int).Add(from, big.NewInt(step))
	if limit, ok := bound(other, per); ok && new(big.Rat).SetInt(to).Cmp(limit) == int(step) {
		return from
	}
	return to
}

// halfAway rounds a number that is not negative.
func halfAway(v *big.Rat) *big.Int {
	twice := new(big.Int).Lsh(v.Num(), 1)
	twice.Add(twice, v.Denom())
	return twice.Quo(twice, new(big.Int).Lsh(v.Denom(), 1))
}

package equip

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/label/unit"
)

// Overlap says which zone owns ground that two cover; empty if nothing was chosen.
type Overlap string

// Choices lists the words that can be entered.
func (Overlap) Choices() []string { return []string{"error", "first", "last", "max"} }

// UnmarshalText takes the choices alone.
func (o *Overlap) UnmarshalText(b []byte) (err error) {
	*o, err = choose[Overlap](b, o.Choices()...)
	return err
}

// RateOf says what the rates of a prescription count; empty if nothing was chosen.
type RateOf string

// Choices lists the words that can be entered.
func (RateOf) Choices() []string { return []string{"product", "N"} }

// UnmarshalText takes "product" or "N".
func (r *RateOf) UnmarshalText(b []byte) (err error) {
	*r, err = choose[RateOf](b, r.Choices()...)
	return err
}

// RateUnit is the unit that the rates of a prescription count in, such as "lb/ac";
// empty if none was given.
type RateUnit string

// UnmarshalText takes the units of a dry rate.
func (u *RateUnit) UnmarshalText(b []byte) error {
	if _, err := unit.ParseDryRateUnit(string(b)); err != nil {
		return err
	}
	*u = RateUnit(b)
	return nil
}

func choose[T ~string](got []byte, words ...string) (T, error) {
	if s := strings.TrimSpace(string(got)); slices.Contains(words, s) {
		return T(s), nil
	}
	return "", fmt.Errorf("%q is not one of %s", got, strings.Join(words, ", "))
}

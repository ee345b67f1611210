// Package figures prints numbers and Quantities for people, in the units that they
// chose.
package figures

import (
	"fmt"
	"strings"
)

// Fixed prints a number with so many decimals.
func Fixed(v float64, decimals int) string { return fmt.Sprintf("%.*f", decimals, v) }

// Short prints up to one decimal, none where it is zero.
func Short(v float64) string { return strings.TrimSuffix(Fixed(v, 1), ".0") }

// Trim prints up to six digits, without zeros at the end.
func Trim(v float64) string { return fmt.Sprintf("%.6g", v) }

// Count prints a whole number, in groups of three digits.
func Count[N int | int64](n N) string { return Thousands(fmt.Sprint(n)) }

// Plural prints a number with the noun that goes with it.
func Plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return Count(n) + " " + many
}

// Thousands puts a comma between groups of three digits before the point of a
// printed number.
func Thousands(s string) string {
	whole, frac, _ := strings.Cut(s, ".")
	sign := ""
	if strings.HasPrefix(whole, "-") {
		sign, whole = "-", whole[1:]
	}
	var out []byte
	for i := range len(whole) {
		if i > 0 && (len(whole)-i)%3 == 0 {
			out = append(out, ',')
		}
		out = append(out, whole[i])
	}
	if frac != "" {
		return sign + string(out) + "." + frac
	}
	return sign + string(out)
}

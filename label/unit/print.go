package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// text prints a value in the system's unit with at most ten significant digits,
// so that a factor's last bits don't show.
func (d *dimension) text(v float64, s System) string {
	u := d.shown[s]
	return withUnit(decimal(round(v/u.factor, 10)), u.name)
}

// brief prints a value in the system's unit for reading.
func (d *dimension) brief(v float64, s System) string {
	u := d.shown[s]
	return withUnit(decimal(roundBrief(v/u.factor)), u.name)
}

// exact prints the shortest text in the US unit that parses to v bit by bit. The
// division by a factor may miss v by its last bits; the text that was read to
// make v is among the neighbors.
func (d *dimension) exact(v float64) ([]byte, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
		return nil, fmt.Errorf("%v is not %s that can be written", v, d.what)
	}
	u := d.shown[US]
	x := v / u.factor
	candidates := []float64{round(x, 10), round(x, 15), x, math.Nextafter(x, 0), math.Nextafter(x, math.Inf(1))}
	for _, c := range candidates {
		if c*u.factor == v {
			return []byte(withUnit(decimal(c), u.name)), nil
		}
	}
	return []byte(withUnit(decimal(x), u.name)), nil
}

// withUnit joins number and unit; the sign of money stands before its number,
// which then shows at least two decimals.
func withUnit(number, name string) string {
	rest, money := strings.CutPrefix(name, "$")
	if !money {
		return number + " " + name
	}
	if _, cents, _ := strings.Cut(number, "."); len(cents) < 2 {
		number = cent(number)
	}
	if digits, negative := strings.CutPrefix(number, "-"); negative {
		return "-$" + digits + rest
	}
	return "$" + number + rest
}

// cent fills a decimal number up to two decimals.
func cent(number string) string {
	whole, cents, _ := strings.Cut(number, ".")
	return whole + "." + (cents + "00")[:2]
}

func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// round rounds to that many significant decimal digits.
func round(v float64, digits int) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// roundBrief rounds to four significant digits, or to a whole number where that
// has more.
func roundBrief(v float64) float64 {
	if math.Abs(v) >= 1000 {
		return math.Round(v)
	}
	return round(v, 4)
}

package unit

import (
	"math"
	"strconv"
	"strings"
)

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

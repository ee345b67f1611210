package unit

import (
	"fmt"
	"math"
	"strings"
)

// Money is a sum in the currency of the prices that were given, shown as $.
type Money float64

// Units of [Money].
const (
	Dollar Money = 1
)

var moneyUnits = dimension{
	what: "a sum of money", example: "1200 $",
	shown:   [2]symbol{{"$", float64(Dollar)}, {"$", float64(Dollar)}},
	symbols: []symbol{{"$", float64(Dollar)}},
}

// ParseMoney reads a sum of money such as "1200 $", never a negative one; the error is
// an [*Error].
func ParseMoney(s string) (Money, error) {
	v, err := moneyUnits.parse(s)
	return Money(v), err
}

// In returns the number of $.
func (q Money) In(s System) float64 { return float64(q) / moneyUnits.shown[s].factor }

// MoneySymbol returns the unit that [Money.In] counts.
func MoneySymbol(s System) string { return moneyUnits.shown[s].name }

// Text prints the quantity with its unit, with at most ten significant digits.
func (q Money) Text(s System) string { return moneyUnits.text(float64(q), s) }

// Brief prints the quantity for reading, rounded to four significant digits;
// whole digits are kept.
func (q Money) Brief(s System) string { return moneyUnits.brief(float64(q), s) }

// String prints the quantity in US units.
func (q Money) String() string { return q.Text(US) }

// Cents prints the sum as people write sums, to the cent and with commas between
// thousands: $1,234.50, and -$260.77 for what is earned rather than spent.
func (q Money) Cents() string {
	digits, negative := strings.CutPrefix(fmt.Sprintf("%.2f", float64(q)), "-")
	for i := len(digits) - len(".00") - 3; i > 0 && !math.IsInf(float64(q), 0); i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	if negative && strings.ContainsAny(digits, "123456789") {
		return "-$" + digits
	}
	return "$" + digits
}

// UnmarshalText reads what [ParseMoney] reads.
func (q *Money) UnmarshalText(b []byte) (err error) {
	*q, err = ParseMoney(string(b))
	return err
}

// MarshalText prints the shortest text in US units that reads back the same.
func (q Money) MarshalText() ([]byte, error) { return moneyUnits.exact(float64(q)) }

package unit

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// Quantity is an amount of one dimension, in the dimension's base unit: that in which
// the United States trade speaks of it. Quantities of two dimensions are two types:
// only a conversion makes one of the other.
type Quantity[D dimension] float64

// dimension tells quantities apart. Each is an empty struct whose only method returns
// its table.
type dimension interface{ table() *table }

// table is what a dimension can be read from and is shown in.
type table struct {
	what    string    // "a dry rate"
	example string    // "200 lb/ac"
	shown   [2]symbol // by System
	units   []symbol

	// best names the unit in which a value reads best; nil where it is always the
	// shown one.
	best func(value float64) string
}

// symbol is one unit: its name as it is shown, and how many base units it holds.
type symbol struct {
	name   string
	factor float64
}

// units are those of one dimension, each with the quantity that it is one of.
type units[D dimension] []struct {
	name string
	one  Quantity[D]
}

// define makes the table of a dimension, shown in one unit for each system.
func define[D dimension](what, example, us, metric string, all units[D]) *table {
	t := &table{what: what, example: example}
	for _, u := range all {
		t.units = append(t.units, symbol{u.name, float64(u.one)})
	}
	for s, name := range []string{us, metric} {
		t.shown[s], _ = t.lookup(name) // a test looks each of them up
	}
	return t
}

// readAs adds the choice of the unit in which a value reads best.
func (t *table) readAs(best func(value float64) string) *table {
	t.best = best
	return t
}

// lookup finds a unit by its canonical name.
func (t *table) lookup(canon string) (symbol, bool) {
	for _, u := range t.units {
		if strings.EqualFold(u.name, canon) {
			return u, true
		}
	}
	return symbol{}, false
}

// reads returns the unit in which a value reads best in a system.
func (t *table) reads(value float64, s System) symbol {
	if t.best != nil {
		if u, ok := t.lookup(t.best(value)); ok {
			return u
		}
	}
	return t.shown[s]
}

func (q Quantity[D]) table() *table { var d D; return d.table() }

// In returns the number of the system's unit that q is, such as lb/ac or kg/ha.
func (q Quantity[D]) In(s System) float64 { return float64(q) / q.table().shown[s].factor }

// Text prints the quantity with its unit, with at most ten significant digits, so that
// a factor's last bits don't show.
func (q Quantity[D]) Text(s System) string {
	u := q.table().reads(float64(q), s)
	return withUnit(decimal(round(float64(q)/u.factor, 10)), u.name)
}

// Brief prints the quantity for reading, rounded to four significant digits, with a comma
// between thousands; whole digits are kept.
func (q Quantity[D]) Brief(s System) string {
	u := q.table().reads(float64(q), s)
	return withUnit(Thousands(decimal(roundBrief(float64(q)/u.factor))), u.name)
}

// Digits prints a number with so many significant digits, never with an exponent, and with
// a comma between thousands.
func Digits(v float64, digits int) string { return Thousands(decimal(round(v, digits))) }

// Thousands puts a comma between groups of three digits before the point of a printed
// number, which its unit may follow; other text stays as it is.
func Thousands(text string) string {
	start := len(text) - len(strings.TrimPrefix(text, "-"))
	rest := strings.TrimLeft(text[start:], "0123456789")
	if rest != "" && rest[0] != '.' && rest[0] != ' ' {
		return text
	}
	for i := len(text) - len(rest) - 3; i > start; i -= 3 {
		text = text[:i] + "," + text[i:]
	}
	return text
}

// String prints the quantity in US units.
func (q Quantity[D]) String() string { return q.Text(US) }

// UnmarshalText reads what [Parse] reads.
func (q *Quantity[D]) UnmarshalText(b []byte) (err error) {
	*q, err = Parse[Quantity[D]](string(b))
	return err
}

// quantity is any of the quantities of this package.
type quantity interface {
	~float64
	table() *table
}

// Parse reads a quantity such as "200 lb/ac", never a negative one; the error is an
// [*Error].
func Parse[Q quantity](s string) (Q, error) {
	var q Q
	v, err := q.table().parse(s)
	return Q(v), err
}

// Units lists the units that the quantity can be entered in, first those that it is shown in.
func (q Quantity[D]) Units() []string {
	t := q.table()
	list := []string{t.shown[US].name, t.shown[Metric].name}
	for _, u := range t.units {
		if !slices.Contains(list, u.name) {
			list = append(list, u.name)
		}
	}
	if list[0] == list[1] {
		list = list[1:]
	}
	return list
}

// Symbol returns the unit that [Quantity.In] counts.
func Symbol[Q quantity](s System) string {
	var q Q
	return q.table().shown[s].name
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
// has more; the last bits of a difference of equal numbers are 0.
func roundBrief(v float64) float64 {
	switch {
	case math.Abs(v) >= 1000:
		return math.Round(v)
	case math.Abs(v) < 1e-9:
		return 0
	}
	return round(v, 4)
}

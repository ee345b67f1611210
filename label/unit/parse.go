package unit

import (
	"math"
	"strconv"
	"strings"
)

// symbol is one unit: its canonical name and how many base units it holds.
type symbol struct {
	name   string
	factor float64
}

// dimension is what a quantity type can be read from and shown in.
type dimension struct {
	what    string    // "a dry rate"
	example string    // "200 lb/ac"
	shown   [2]symbol // by System
	symbols []symbol
}

// parse reads a number followed by one of d's units. This is the one place where
// texts become quantities, and it lets none pass that is negative, infinite or
// not a number: nothing that people type into this program can be below zero.
// Differences that arithmetic makes may be negative; they are printed, not read.
func (d *dimension) parse(text string) (float64, error) {
	digits, name := split(text)
	if digits == "" {
		return 0, d.fail(text, "does not start with a number")
	}
	if strings.HasPrefix(name, ",") {
		return 0, d.fail(text, "has a comma in its number (write 1000 and 0.5)")
	}
	value, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return 0, d.fail(text, "has a number that can't be read")
	}
	if math.Signbit(value) {
		return 0, d.fail(text, "is negative")
	}
	u, why := d.find(name)
	if why != "" {
		return 0, d.fail(text, why)
	}
	value *= u.factor
	if math.IsInf(value, 0) {
		return 0, d.fail(text, "is too large")
	}
	return value, nil
}

// split takes a text apart into its number and its unit; a leading "$" goes to
// the unit, so that "$38.50/gal" is "38.50 $/gal".
func split(text string) (digits, name string) {
	s := strings.TrimSpace(text)
	sign := ""
	if rest, ok := strings.CutPrefix(s, "$"); ok {
		sign, s = "$", strings.TrimSpace(rest)
	}
	end := numberEnd(s)
	return s[:end], sign + s[end:]
}

// find returns the unit of that name, or else why there is none.
func (d *dimension) find(name string) (u symbol, why string) {
	canon := canonical(name)
	if canon == "" {
		return symbol{}, "has no unit"
	}
	if u, ok := d.lookup(canon); ok {
		return u, ""
	}
	if first, _, _ := strings.Cut(canon, "/"); first == "oz" {
		return symbol{}, `has "oz", which is a weight: a volume is in "fl oz"`
	}
	for _, other := range dimensions {
		if _, ok := other.lookup(canon); ok {
			return symbol{}, "is " + other.what
		}
	}
	return symbol{}, "has a unit that is not known here"
}

func (d *dimension) lookup(canon string) (symbol, bool) {
	for _, u := range d.symbols {
		if u.name == canon {
			return u, true
		}
	}
	return symbol{}, false
}

func (d *dimension) fail(got, why string) error {
	return &Error{Got: got, Want: d.what + " such as " + strconv.Quote(d.example), Why: why}
}

// factor returns how many base units one of the named unit holds.
func (d *dimension) factor(name string) (float64, error) {
	if u, ok := d.lookup(canonical(name)); ok {
		return u.factor, nil
	}
	names := make([]string, len(d.symbols))
	for i, u := range d.symbols {
		names[i] = u.name
	}
	return 0, &Error{Got: name, Want: "one of " + strings.Join(names, ", "), Why: "is not a unit of " + d.what}
}

// numberEnd returns the length of the decimal number that s starts with; 0 if it
// starts with none. "nan", "inf" and hexadecimal are no numbers here.
func numberEnd(s string) int {
	i := 0
	if s != "" && (s[0] == '+' || s[0] == '-') {
		i++
	}
	digits := 0
	for ; i < len(s) && (isDigit(s[i]) || s[i] == '.'); i++ {
		if s[i] != '.' {
			digits++
		}
	}
	if digits == 0 {
		return 0
	}
	return i + exponentEnd(s[i:])
}

// exponentEnd returns the length of the exponent that s starts with, if any.
func exponentEnd(s string) int {
	if s == "" || s[0] != 'e' && s[0] != 'E' {
		return 0
	}
	i := 1
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	start := i
	for i < len(s) && isDigit(s[i]) {
		i++
	}
	if i == start {
		return 0
	}
	return i
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
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

// String returns "us" or "metric".
func (s System) String() string {
	if s == Metric {
		return "metric"
	}
	return "us"
}

// symbol is one spelling of a unit and how many base units it holds.
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

// Error says why a text is not the quantity that was wanted.
type Error struct {
	Got  string // the text as it was given
	Want string // what was wanted, with an example
	Why  string // what is wrong with Got
}

func (e *Error) Error() string {
	return fmt.Sprintf("%q %s: want %s", e.Got, e.Why, e.Want)
}

func (d *dimension) fail(got, why string) error {
	return &Error{Got: got, Want: fmt.Sprintf("%s such as %q", d.what, d.example), Why: why}
}

// parse reads a number followed by one of d's units.
func (d *dimension) parse(text string) (float64, error) {
	s := strings.TrimSpace(text)
	end := numberEnd(s)
	if end == 0 {
		return 0, d.fail(text, "does not start with a number")
	}
	if strings.HasPrefix(s[end:], ",") {
		return 0, d.fail(text, "has a comma in its number")
	}
	value, err := strconv.ParseFloat(s[:end], 64)
	if err != nil || math.IsInf(value, 0) {
		return 0, d.fail(text, "has a number that can't be read")
	}
	name := canonical(s[end:])
	if name == "" {
		return 0, d.fail(text, "has no unit")
	}
	for _, u := range d.symbols {
		if u.name == name {
			return value * u.factor, nil
		}
	}
	for _, other := range dimensions {
		for _, u := range other.symbols {
			if u.name == name {
				return 0, d.fail(text, "is "+other.what)
			}
		}
	}
	return 0, d.fail(text, "has a unit that is not known here")
}

// factor returns how many base units one of the named unit holds.
func (d *dimension) factor(name string) (float64, error) {
	canon := canonical(name)
	for _, u := range d.symbols {
		if u.name == canon {
			return u.factor, nil
		}
	}
	names := make([]string, len(d.symbols))
	for i, u := range d.symbols {
		names[i] = u.name
	}
	return 0, &Error{Got: name, Want: "one of " + strings.Join(names, ", "), Why: "is not a unit of " + d.what}
}

// numberEnd returns the length of the decimal number that s starts with.
func numberEnd(s string) int {
	i, digits := 0, 0
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	for i < len(s) && (s[i] >= '0' && s[i] <= '9' || s[i] == '.') {
		if s[i] != '.' {
			digits++
		}
		i++
	}
	if digits == 0 {
		return 0
	}
	if i+1 < len(s) && (s[i] == 'e' || s[i] == 'E') {
		j := i + 1
		if s[j] == '+' || s[j] == '-' {
			j++
		}
		if j < len(s) && s[j] >= '0' && s[j] <= '9' {
			for j < len(s) && s[j] >= '0' && s[j] <= '9' {
				j++
			}
			i = j
		}
	}
	return i
}

var spellings = strings.NewReplacer(
	"²", "2", "³", "3", " per ", "/",
	"fluid ounces", "fl oz", "fluid ounce", "fl oz", "floz", "fl. oz.", "fl. oz", "fl oz", "fl.oz", "fl oz",
	"pounds", "lb", "pound", "lb", "lbs", "lb",
	"gallons", "gal", "gallon", "gal", "quarts", "qt", "quart", "qt", "pints", "pt", "pint", "pt",
	"acres", "ac", "acre", "ac", "hectares", "ha", "hectare", "ha",
	"tons", "ton", "liters", "l", "liter", "l", "litres", "l", "litre", "l",
	"minutes", "min", "minute", "min", "hours", "h", "hour", "h", "seconds", "s", "second", "s", "days", "d", "day", "d",
	"feet", "ft", "foot", "ft", "inches", "in", "inch", "in", "percent", "%",
	"cu ft", "ft3", "sq ft", "ft2",
)

// canonical brings the spellings of a unit to one: lower case, "/" for "per",
// singular short names, no space but the one in "fl oz".
func canonical(s string) string {
	s = " " + strings.Join(strings.Fields(strings.ToLower(s)), " ")
	s = spellings.Replace(s)
	s = strings.TrimSpace(s)
	s = strings.ReplaceAll(s, " / ", "/")
	s = strings.ReplaceAll(s, "/ ", "/")
	return strings.ReplaceAll(s, " /", "/")
}

// text prints a value in the system's unit, as short as reads back the same.
func (d *dimension) text(v float64, s System) string {
	u := d.shown[s]
	return number(v/u.factor) + " " + u.name
}

// number prints v with at most ten significant digits, so that a factor's last
// bits don't show.
func number(v float64) string {
	return strconv.FormatFloat(round10(v), 'f', -1, 64)
}

func round10(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 10, 64), 64)
	if err != nil {
		return v
	}
	return r
}

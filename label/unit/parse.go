package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Error says why a text is not the quantity that was wanted.
type Error struct {
	Got  string // the text as it was given
	Want string // what was wanted, with an example
	Why  string // what is wrong with Got
}

// Error reads `"20 lb/ac" is a dry rate: want a liquid rate such as "30 fl oz/ac"`.
func (e *Error) Error() string {
	return fmt.Sprintf("%q %s: want %s", shorten(e.Got), e.Why, e.Want)
}

// shorten keeps a text that may be anything at all from filling the screen.
func shorten(s string) string {
	const most = 60
	runes := []rune(s)
	if len(runes) <= most {
		return s
	}
	return string(runes[:most]) + "..."
}

// tables are those of all dimensions, to say what a text of the wrong one is.
func tables() []*table {
	return []*table{
		areas, dryRates, liquidRates, loadings, masses, volumes, densities, lengths, speeds, pressures, flows,
		capacities, durations, ratios, sums, volumePrices, massPrices, areaPrices, grainPrices, massFlows, bulkFlows,
	}
}

// parse reads a number followed by one of t's units. This is the one place where
// texts become quantities, and it lets none pass that is negative, infinite or
// not a number: nothing that people type into this program can be below zero.
// Differences that arithmetic makes may be negative; they are printed, not read.
func (t *table) parse(text string) (float64, error) {
	digits, name := split(text)
	if digits == "" {
		return 0, t.fail(text, "does not start with a number")
	}
	if strings.HasPrefix(name, ",") {
		return 0, t.fail(text, "has a comma in its number (write 1000 and 0.5)")
	}
	value, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return 0, t.fail(text, "has a number that can't be read")
	}
	if math.Signbit(value) {
		return 0, t.fail(text, "is negative")
	}
	u, why := t.find(name)
	if why != "" {
		return 0, t.fail(text, why)
	}
	value *= u.factor
	if value > mostRead {
		return 0, t.fail(text, "is too large")
	}
	return value, nil
}

// mostRead is far above any quantity of a field, and so far below the largest number that
// no sum or conversion of it is infinite.
const mostRead = 1e15

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
func (t *table) find(name string) (u symbol, why string) {
	canon := canonical(name)
	if canon == "" {
		return symbol{}, "has no unit"
	}
	if u, ok := t.lookup(canon); ok {
		return u, ""
	}
	if first, _, _ := strings.Cut(canon, "/"); first == "oz" {
		return symbol{}, `has "oz", which is a weight: a volume is in "fl oz"`
	}
	for _, other := range tables() {
		if _, ok := other.lookup(canon); ok {
			return symbol{}, "is " + other.what
		}
	}
	return symbol{}, "has a unit that is not known here"
}

func (t *table) fail(got, why string) error {
	return &Error{Got: got, Want: t.what + " such as " + strconv.Quote(t.example), Why: why}
}

// factor returns how many base units one of the named unit holds.
func (t *table) factor(name string) (float64, error) {
	if u, ok := t.lookup(canonical(name)); ok {
		return u.factor, nil
	}
	return 0, &Error{Got: name, Want: "one of " + strings.Join(t.names(), ", "), Why: "is not a unit of " + t.what}
}

// names lists the units.
func (t *table) names() []string {
	names := make([]string, len(t.units))
	for i, u := range t.units {
		names[i] = u.name
	}
	return names
}

// SameUnit reports whether two texts that can be read as quantities are in one unit, however
// it is spelled: "4 fl oz/ac" and "9 FL. OZ. per acre".
func SameUnit(a, b string) bool {
	_, one := split(a)
	_, other := split(b)
	return canonical(one) == canonical(other)
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

// canonical brings the spellings of a unit to one: lower case, "/" for "per",
// singular short names, no space but the one in "fl oz".
func canonical(s string) string {
	words := strings.Fields(punctuation.Replace(strings.ToLower(s)))
	for i, w := range words {
		if short, ok := shortWords[w]; ok {
			words[i] = short
		}
	}
	s = phrases.Replace(" " + strings.Join(words, " ") + " ")
	s = strings.ReplaceAll(strings.TrimSpace(s), " / ", "/")
	if whole, ok := abbreviations[s]; ok {
		return whole
	}
	return s
}

// punctuation sets the signs between units apart and drops those that say
// nothing, as in "fl. oz." and "ft^3".
var punctuation = strings.NewReplacer("²", "2", "³", "3", "^", "", ".", " ", "/", " / ", "$", " $ ", "%", " % ")

var shortWords = map[string]string{
	"per": "/", "percent": "%", "dollar": "$", "dollars": "$", "usd": "$",
	"fluid": "fl", "ounce": "oz", "ounces": "oz", "floz": "fl oz",
	"pound": "lb", "pounds": "lb", "lbs": "lb",
	"gallon": "gal", "gallons": "gal", "gals": "gal", "quart": "qt", "quarts": "qt", "qts": "qt", "pint": "pt", "pints": "pt", "pts": "pt",
	"acre": "ac", "acres": "ac", "hectare": "ha", "hectares": "ha",
	"tons": "ton", "tonne": "t", "tonnes": "t",
	"liter": "l", "liters": "l", "litre": "l", "litres": "l", "milliliter": "ml", "milliliters": "ml", "millilitre": "ml", "millilitres": "ml",
	"kilogram": "kg", "kilograms": "kg", "gram": "g", "grams": "g",
	"bushel": "bu", "bushels": "bu",
	"second": "s", "seconds": "s", "sec": "s", "minute": "min", "minutes": "min", "mins": "min",
	"hour": "h", "hours": "h", "hr": "h", "hrs": "h", "day": "d", "days": "d",
	"foot": "ft", "feet": "ft", "inch": "in", "inches": "in",
	"meter": "m", "meters": "m", "metre": "m", "metres": "m",
	"mile": "mi", "miles": "mi", "kilometer": "km", "kilometers": "km", "kilometre": "km", "kilometres": "km",
	"square": "sq", "cubic": "cu",
}

// phrases joins names of two words. Each one keeps the spaces around it, and a
// space after it is shared with the next, so it is matched without.
var phrases = strings.NewReplacer(
	" us fl oz", " fl oz", " us gal", " gal", " us qt", " qt", " us pt", " pt",
	" sq ft", " ft2", " sq m", " m2", " cu ft", " ft3", " cu m", " m3",
	" metric ton", " t", " short ton", " ton",
)

var abbreviations = map[string]string{
	"gpa": "gal/ac", "gpm": "gal/min", "lpm": "l/min",
	"mi/h": "mph", "kph": "km/h", "kmh": "km/h", "psig": "psi",
}

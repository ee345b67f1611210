package unit

import "strings"

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

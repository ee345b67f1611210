package read

import (
	"slices"
	"strings"
	"unicode"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// nameWords splits a field's name where people do: at what is no letter, and before a
// capital behind a small letter.
func nameWords(name string) []string {
	var parted strings.Builder
	small := false
	for _, r := range name {
		switch {
		case !unicode.IsLetter(r):
			r = ' '
		case small && unicode.IsUpper(r):
			parted.WriteByte(' ')
		}
		small = unicode.IsLower(r)
		parted.WriteRune(unicode.ToLower(r))
	}
	return strings.Fields(parted.String())
}

// namesOtherUnit reports whether a field's name speaks of a liquid's unit, of ounces or a percentage, or of a dry
// rate's that counts other ground than the one that its rates were taken to count, such as
// "lb/ac".
func namesOtherUnit(name, taken string) bool {
	perHa := strings.HasSuffix(taken, "/ha")
	for _, word := range nameWords(name) {
		switch word {
		case "gal", "gals", "gpa", "liter", "liters", "litre", "litres", "oz", "ozs", "ounce", "ounces", "ozac", "ozacre", "pct", "percent":
			return true
		case "kg", "kgs", "ha":
			return !perHa
		}
		for _, u := range unit.LiquidRateUnits() {
			if slices.Contains(spellings(u), word) {
				return true
			}
		}
		for _, u := range unit.DryRateUnits() {
			if endsWithAny(word, spellings(u)...) {
				return strings.HasSuffix(u, "/ha") != perHa
			}
		}
	}
	return false
}

// spellings lists how the names of fields spell a unit such as "lb/ac": lbac, lbsac,
// lbperac, lbsperacre and so on.
func spellings(of string) (list []string) {
	amount, ground, _ := strings.Cut(strings.ToLower(strings.ReplaceAll(of, " ", "")), "/")
	for _, ending := range []string{ground, map[string]string{"ac": "acre", "ha": "hectare"}[ground]} {
		for _, per := range []string{"", "per"} {
			list = append(list, amount+per+ending, amount+"s"+per+ending)
		}
	}
	return list
}

// endsWithAny reports whether a word ends with one of some; those of three letters are
// looked for as whole words.
func endsWithAny(word string, ends ...string) bool {
	return slices.ContainsFunc(ends, func(end string) bool { return word == end || len(end) > 3 && strings.HasSuffix(word, end) })
}

// NamedUnit returns the unit of dry rates that the field's name spells, as DRY_LBAC and kg_ha do;
// empty if it spells none, or several.
func (r FieldRange) NamedUnit() (of string) {
	words := nameWords(r.Name)
	for i := range words[:max(len(words)-1, 0)] {
		words = append(words, words[i]+words[i+1])
	}
	for _, u := range unit.DryRateUnits() {
		if slices.ContainsFunc(words, func(word string) bool { return endsWithAny(word, spellings(u)...) }) {
			if of != "" {
				return ""
			}
			of = u
		}
	}
	return of
}

// NamesN reports whether the field's name says that its rates count N, and no product.
func (r FieldRange) NamesN() bool { return speaksOfN(r.Name) }

// speaksOfN reports whether a field's name has N for a word, or begins or ends with it
// beside words of rates and units alone, or names nitrogen or ammonia.
func speaksOfN(name string) bool {
	return slices.ContainsFunc(nameWords(name), func(word string) bool {
		switch {
		case word == "n" || word == "nitro" || word == "acten" || strings.HasSuffix(word, "nitrogen"):
			return true
		case word == "nh": // NH3: digits part words
			return true
		}
		if rest, ok := strings.CutPrefix(word, "n"); ok && ofRate(rest) {
			return true
		}
		if rest, ok := strings.CutPrefix(word, "nitro"); ok && ofRate(rest) {
			return true
		}
		rest, ok := strings.CutSuffix(word, "n")
		return ok && ofRate(rest)
	})
}

// namedMaterial returns the dry material that a field's name speaks of, where it does not speak of N as
// well; empty if it names none.
func namedMaterial(name string) string {
	if speaksOfN(name) {
		return ""
	}
	words := nameWords(name)
	for i, word := range words {
		if rest, ok := strings.CutPrefix(word, "urea"); ok && ofRate(rest) { // UREALBS
			return "urea"
		}
		for _, said := range []string{word, strings.Join(words[i:min(i+2, len(words))], " ")} {
			if material := label.CarrierName(said); len(said) > 2 && label.IsCarrierName(material) {
				return material
			}
		}
	}
	return ""
}

// ofRate reports whether a word is made of words of rates and units alone.
func ofRate(word string) bool {
	if word == "" {
		return false
	}
	for _, part := range []string{
		"rate", "units", "unit", "lbs", "lba", "lbac", "lb", "kgs", "kg", "peracre", "perac", "perha", "acre", "ac", "ha",
		"target", "total", "actual", "act", "dose", "goal", "req", "rec", "need", "appl", "app", "rx",
	} {
		if rest, ok := strings.CutPrefix(word, part); ok && (rest == "" || ofRate(rest)) {
			return true
		}
	}
	return false
}

// otherThing says what a field's name says that it holds instead of a rate, where it says
// nothing else; empty if it does not.
func otherThing(name string) string {
	for _, word := range nameWords(name) {
		switch word {
		case "objectid", "fid", "oid", "gid", "id", "uid", "rowid", "zoneid", "gridid", "cellid", "polyid":
			return "an id by its name"
		case "year", "yr", "date", "month":
			return "a time by its name"
		case "elevation", "elev", "altitude", "slope":
			return "a height by its name"
		case "latitude", "lat", "longitude", "lon", "easting", "northing":
			return "a place by its name"
		}
	}
	return ""
}

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
	words := unitWords(name)
	for _, word := range words {
		switch word {
		case "gal", "gals", "gpa", "liter", "liters", "litre", "litres", "oz", "ozs", "ounce", "ounces", "ozac", "ozacre", "pct", "percent":
			return true
		}
		for _, u := range unit.LiquidRateUnits() {
			if slices.Contains(spellings(u), word) {
				return true
			}
		}
	}
	perHa := strings.HasSuffix(taken, "/ha")
	for _, word := range words {
		switch word {
		case "kg", "kgs", "ha":
			return !perHa
		}
		for _, u := range unit.DryRateUnits() {
			if spells(word, u) {
				return strings.HasSuffix(u, "/ha") != perHa
			}
		}
	}
	return false
}

// unitWords returns the words of a name, then what two, three and four neighbors make when
// they are read as one, as "lbs", "per" and "acre" do. An N among them, as in lb_N_ac, parts
// no unit.
func unitWords(name string) []string {
	words := slices.DeleteFunc(nameWords(name), func(word string) bool { return word == "n" })
	said := slices.Clone(words)
	for i := range words {
		for n := 2; n <= 4 && i+n <= len(words); n++ {
			said = append(said, strings.Join(words[i:i+n], ""))
		}
	}
	return said
}

// spellings lists how the names of fields spell a unit such as "lb/ac": lbac, lbsac,
// lbperac, lbsperacre, poundsperacre and so on.
func spellings(of string) (list []string) {
	amount, ground, _ := strings.Cut(strings.ToLower(strings.ReplaceAll(of, " ", "")), "/")
	long := map[string]string{"lb": "pound", "kg": "kilogram", "t": "tonne", "ac": "acre", "ha": "hectare"}
	amounts := []string{amount}
	if len(amount) > 1 {
		amounts = append(amounts, amount+"s")
	}
	if long[amount] != "" {
		amounts = append(amounts, long[amount], long[amount]+"s")
	}
	for _, amount := range amounts {
		for _, per := range []string{"", "per"} {
			list = append(list, amount+per+ground, amount+per+long[ground])
		}
	}
	return list
}

// spells reports whether a word is a dry rate's unit, or ends with it, as ureakgha does. What is spelled in
// three letters, and tonnes, is looked for as a whole word: plantperha ends with "tperha".
func spells(word, of string) bool {
	return slices.ContainsFunc(spellings(of), func(s string) bool {
		return word == s || len(s) > 3 && strings.Index(of, "/") > 1 && strings.HasSuffix(word, s)
	})
}

// NamedUnit returns the unit of dry rates that the field's name spells, as DRY_LBAC, kg_ha and LbsPerAcre do;
// empty if it spells none, or several.
func (r FieldRange) NamedUnit() string { return namedUnit(r.Name) }

func namedUnit(name string) (of string) {
	words := unitWords(name)
	for _, u := range unit.DryRateUnits() {
		if slices.ContainsFunc(words, func(word string) bool { return spells(word, u) }) {
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

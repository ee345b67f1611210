package label

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
)

// fact is one line of a profile: what it says, or that it says nothing.
type fact struct {
	key     string // such as season-max; of a part of a key at first that part, such as .allowed
	what    string // such as "season maximum"
	value   string // in the units asked for; empty if unknown
	without string // what can't be checked or printed while it is unknown
}

// says is the one fact of a key.
func says(what, value, without string) []fact { return []fact{{"", what, value, without}} }

// facts lists all that a profile can say, in the order of its keys.
func (p *Profile) facts(s unit.System) []fact {
	var list []fact
	for _, k := range p.keys(s) {
		for _, f := range k.facts {
			f.key = k.yaml.Name + f.key
			list = append(list, f)
		}
	}
	return list
}

// Said returns what a profile says of each key, as it is shown in a system of units; empty
// where it says nothing.
func (p *Profile) Said(s unit.System) map[string]string {
	said := map[string]string{}
	for _, f := range p.facts(s) {
		said[f.key] = f.value
	}
	return said
}

// Text prints the profile for reading: what is known, then what is not and what
// that means. Lines end with "\n".
func (p *Profile) Text(s unit.System) string {
	var said, unsaid strings.Builder
	for _, f := range p.facts(s) {
		if f.value != "" {
			writeFact(&said, f.what, f.value)
		} else {
			writeFact(&unsaid, f.what, f.without)
		}
	}
	if unsaid.Len() == 0 {
		return said.String()
	}
	return said.String() + "\nunknown, and what follows:\n" + unsaid.String()
}

// writeFact prints a fact for a terminal of 80 columns: words that don't fit go on
// below the first ones.
func writeFact(w *strings.Builder, what, value string) {
	for _, line := range wrap(value, 49) {
		fmt.Fprintf(w, "%-30s %s\n", what, line)
		what = ""
	}
}

// wrap breaks a text between words into lines of at most that many characters, unless
// a word alone has more.
func wrap(text string, width int) []string {
	lines := []string{""}
	for word := range strings.FieldsSeq(text) {
		last := &lines[len(lines)-1]
		switch {
		case *last == "":
			*last = word
		case utf8.RuneCountInString(*last)+1+utf8.RuneCountInString(word) > width:
			lines = append(lines, word)
		default:
			*last += " " + word
		}
	}
	return lines
}

type quantity interface {
	~float64
	Brief(unit.System) string
}

func knownText[Q quantity](k Known[Q], s unit.System) string {
	if q, ok := k.Get(); ok {
		return q.Brief(s)
	}
	return ""
}

// daysText prints a time as [unit.Days] does, as labels write it where it is long.
func daysText(k Known[unit.Time], s unit.System) string {
	if t, ok := k.Get(); ok {
		return unit.Days(t, s)
	}
	return ""
}

func rangeText[Q quantity](k Known[Range[Q]], s unit.System) string {
	r, ok := k.Get()
	if !ok {
		return ""
	}
	low, lowUnit, _ := strings.Cut(r.Min.Brief(s), " ")
	high, highUnit, _ := strings.Cut(r.Max.Brief(s), " ")
	if r.Min == r.Max {
		return low + " " + lowUnit
	}
	if lowUnit == highUnit {
		return low + " to " + high + " " + highUnit
	}
	return low + " " + lowUnit + " to " + high + " " + highUnit
}

// agentText prints drying agent in pounds a pint, as plants speak of it.
func agentText(k Known[unit.Density], s unit.System) string {
	d, ok := k.Get()
	if !ok || s == unit.Metric {
		return knownText(k, s)
	}
	return unit.Digits(float64(d/unit.PoundPerPint), 4) + " lb/pt"
}

// volumeText prints a range of spray volumes in gal/ac or L/ha.
func volumeText(k Known[Range[unit.LiquidRate]], s unit.System) string {
	r, ok := k.Get()
	if !ok {
		return ""
	}
	one, symbol := unit.SprayVolumeUnit(s)
	return unit.Digits(float64(r.Min/one), 4) + " to " + unit.Digits(float64(r.Max/one), 4) + " " + symbol
}

// known prints an answer, or nothing if it is unknown.
func known(answer fmt.Stringer) string {
	if s := answer.String(); s != "unknown" {
		return s
	}
	return ""
}

func join(a, b string) string { return strings.Trim(a+", "+b, ", ") }

// question is a key of a profile as a form asks for it.
type question struct {
	strictyaml.Form
	What string // such as "season maximum"
	Help string // which sentence of the label to look for
}

// Questions lists what a form asks of a label, in the order of the file.
func Questions() (list []question) {
	for _, k := range new(Profile).keys(unit.US) {
		what := k.facts[0].what
		if len(k.facts) > 1 {
			what = k.yaml.Name
		}
		help := k.help
		if before, _, two := strings.Cut(help, ", such as {"); two {
			help = before + "." // a form has a place for each end
		}
		list = append(list, question{strictyaml.FormsOf([]strictyaml.Key{k.yaml})[0], what, help})
	}
	return list
}

// NotOnLabel is the note of a key that somebody looked for on the label and did not find.
const NotOnLabel = "not on the label"

// Written returns what a profile says of each key, as it is written, whatever is wrong with
// the rest of it.
func Written(text []byte) *strictyaml.Document {
	return new(Profile).decode("", text)
}

package label

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"rxsplit/label/unit"
)

// Fact is one line of a profile: what it says, or that it says nothing.
type Fact struct {
	Key     string // such as season-max
	What    string // such as "season maximum"
	Value   string // in the units asked for; empty if unknown
	Without string // what can't be checked or printed while it is unknown
}

// Known reports whether the profile says it.
func (f Fact) Known() bool { return f.Value != "" }

// Facts lists all that a profile can say, in the order of its keys.
func (p *Profile) Facts(s unit.System) []Fact {
	return []Fact{
		{"name", "product", p.Name, ""},
		{"rate", "label rate", rangeText(Know(p.Rate), s), ""},
		{"registered", "registered pesticide", known(p.Registered), "federal wording is not printed"},
		{"registration", "registration number", p.Registration, "the batch sheet leaves room to write it in"},
		{"season-max", "season maximum", knownText(p.SeasonMax, s), "the sum of a season's passes is not checked"},
		{"below-label", "rates below the label", known(p.BelowLabel), "they are a warning, not an error"},
		{"density", "density", knownText(p.Density, s), "no weight of the treated blend, no correction of nozzles"},
		{"base", "made with", known(p.Base), "the sheets leave clean-up to the label"},
		{"carriers.allowed", "carriers allowed", strings.Join(p.Carriers.Allowed, ", "), "every carrier that is not forbidden is a warning"},
		{"carriers.forbidden", "carriers forbidden", strings.Join(p.Carriers.Forbidden, ", "), "no carrier is refused on the label's account"},
		{"min-dry-rate", "smallest impregnated dry rate", knownText(p.MinDryRate, s), "low impregnated rates are not checked"},
		{"max-liquid", "most liquid a ton takes up", knownText(p.MaxLiquid, s), "high loadings are not checked"},
		{"loading", "label's rate per ton", rangeText(p.Loading, s), "the rate per acre alone bounds the loading"},
		{"drying-agent", "drying agent per liquid", agentText(p.DryingAgent, s), "1 lb a pint is assumed as common practice"},
		{"mix-minutes", "mixing time", rangeText(p.MixTime, s), "3 to 5 minutes are printed as common practice"},
		{"spray-volume", "spray volume", volumeText(p.SprayVolume, s), "the boom's volume is not checked"},
		{"ppe", "protective equipment", strings.Join(p.PPE, ", "), "the sheets point to the label"},
		{"re-entry", "restricted-entry interval", knownText(p.ReEntry, s), "the sheets point to the label"},
		{"label", "label version", join(p.Version.Version, string(p.Version.Date)), "check that the profile fits the label in hand"},
		{"entered", "entered", join(p.Entered.By, string(p.Entered.On)), "nobody answers for the profile"},
	}
}

// Text prints the profile for reading: what is known, then what is not and what
// that means. Lines end with "\n".
func (p *Profile) Text(s unit.System) string {
	var said, unsaid strings.Builder
	for _, f := range p.Facts(s) {
		if f.Known() {
			writeFact(&said, f.What, f.Value)
		} else {
			writeFact(&unsaid, f.What, f.Without)
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
	const indent, width = 30, 49
	line := ""
	for word := range strings.FieldsSeq(value) {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			fmt.Fprintf(w, "%-*s %s\n", indent, what, line)
			what, line = "", ""
		}
		line = strings.TrimPrefix(line+" "+word, " ")
	}
	fmt.Fprintf(w, "%-*s %s\n", indent, what, line)
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
	return fmt.Sprintf("%.4g lb/pt", float64(d/unit.PoundPerPint))
}

// volumeText prints a range of spray volumes in gal/ac or L/ha.
func volumeText(k Known[Range[unit.LiquidRate]], s unit.System) string {
	r, ok := k.Get()
	if !ok {
		return ""
	}
	one, symbol := unit.SprayVolumeUnit(s)
	return fmt.Sprintf("%.4g to %.4g %s", float64(r.Min/one), float64(r.Max/one), symbol)
}

// known prints an answer, or nothing if it is unknown.
func known(answer fmt.Stringer) string {
	if s := answer.String(); s != "unknown" {
		return s
	}
	return ""
}

func join(a, b string) string { return strings.Trim(a+", "+b, ", ") }

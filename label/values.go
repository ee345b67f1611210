package label

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"rxsplit/internal/each"
)

// Known is a value that may be unknown; the zero value is. It keeps "the label
// says nothing" apart from "the label says zero".
type Known[T any] struct {
	value T
	known bool
}

// Know returns v as known.
func Know[T any](v T) Known[T] { return Known[T]{v, true} }

// Get returns the value and whether it is known.
func (k Known[T]) Get() (T, bool) { return k.value, k.known }

// Or returns the value, or another where it is unknown.
func (k Known[T]) Or(other T) T {
	if k.known {
		return k.value
	}
	return other
}

// Target makes the value known and returns where it is to be put, for decoders.
func (k *Known[T]) Target() any {
	k.known = true
	return &k.value
}

// Range is a closed range, both ends included.
type Range[Q ~float64] struct {
	Min Q `yaml:"min,required"`
	Max Q `yaml:"max,required"`
}

// Middle returns the arithmetic mean of the ends.
func (r Range[Q]) Middle() Q { return (r.Min + r.Max) / 2 }

// answer is yes, no or unknown, which is the zero value.
type answer uint8

// The answers.
const (
	Unknown answer = iota
	yes
	No
)

var answers = []string{"unknown", "yes", "no"}

// Choices lists the words that can be entered.
func (answer) Choices() []string { return answers }

// String returns "unknown", "yes" or "no".
func (a answer) String() string { return answers[a] }

// UnmarshalText reads what [Answer.String] prints.
func (a *answer) UnmarshalText(b []byte) (err error) {
	*a, err = choose[answer](answers, string(b))
	return err
}

// Permission is what a label says of doing something; the zero value is that it
// says nothing, or that nobody entered what it says.
type Permission uint8

// The permissions.
const (
	Unsaid Permission = iota
	Allowed
	Forbidden
)

var permissions = []string{"unknown", "allowed", "forbidden"}

// Choices lists the words that can be entered.
func (Permission) Choices() []string { return permissions }

// String returns "unknown", "allowed" or "forbidden".
func (p Permission) String() string { return permissions[p] }

// UnmarshalText reads what [Permission.String] prints.
func (p *Permission) UnmarshalText(b []byte) (err error) {
	*p, err = choose[Permission](permissions, string(b))
	return err
}

// Base is what a liquid is made with, which decides what cleans it up; the zero
// value is unknown.
type Base uint8

// The bases.
const (
	unknownBase Base = iota
	Water
	Solvent
)

var bases = []string{"unknown", "water", "solvent"}

// Choices lists the words that can be entered.
func (Base) Choices() []string { return bases }

// String returns "unknown", "water" or "solvent".
func (b Base) String() string { return bases[b] }

// UnmarshalText reads what [Base.String] prints.
func (b *Base) UnmarshalText(text []byte) (err error) {
	*b, err = choose[Base](bases, string(text))
	return err
}

// choose finds a word among those that are allowed.
func choose[T ~uint8](words []string, got string) (T, error) {
	if i := slices.Index(words, strings.ToLower(strings.TrimSpace(got))); i >= 0 {
		return T(i), nil
	}
	return 0, fmt.Errorf("%q is not one of %s", got, strings.Join(words, ", "))
}

// Date is a day such as "2026-01-15", as ISO 8601 writes it; empty if unknown.
// Dates order as their texts do.
type Date string

// year returns its year; 0 if it is unknown.
func (d Date) year() int {
	n, _ := strconv.Atoi(string(d)[:min(4, len(d))])
	return n
}

// UnmarshalText reads a day of the calendar.
func (d *Date) UnmarshalText(b []byte) error {
	if _, err := time.Parse(time.DateOnly, string(b)); err != nil {
		return fmt.Errorf("%q is not a date: want year-month-day such as %q", b, "2026-01-15")
	}
	*d = Date(b)
	return nil
}

// carriers are the dry materials that a label speaks of, by [CarrierName].
type carriers struct {
	Allowed   []string `yaml:"allowed"`
	Forbidden []string `yaml:"forbidden"`
}

func (c carriers) facts() []fact {
	return []fact{
		{".allowed", "carriers allowed", strings.Join(c.Allowed, ", "), "every carrier that is not forbidden is a warning"},
		{".forbidden", "carriers forbidden", strings.Join(c.Forbidden, ", "), "no carrier is refused on the label's account"},
	}
}

// Of returns what the label says of a material; [Unsaid] if it is in neither list.
func (c carriers) Of(material string) Permission {
	name := CarrierName(material)
	switch {
	case slices.ContainsFunc(c.Forbidden, func(s string) bool { return CarrierName(s) == name }):
		return Forbidden
	case slices.ContainsFunc(c.Allowed, func(s string) bool { return CarrierName(s) == name }):
		return Allowed
	}
	return Unsaid
}

// CarrierName brings the usual names of a dry material to one, in lower case:
// "MAP" and "Monoammonium phosphate" are both "map". A name that is not known
// here stays as it is, in lower case.
func CarrierName(s string) string {
	s = strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(s, "-", " "))), " ")
	for name, others := range carrierNames {
		if slices.Contains(others, s) {
			return name
		}
	}
	return s
}

// carrierNames holds common names of the trade; no published list.
var carrierNames = map[string][]string{
	"urea":                     {"prilled urea", "granular urea"},
	"ammonium sulfate":         {"ammonium sulphate", "sulfate of ammonia", "ams"},
	"ammonium nitrate":         {"an"},
	"calcium ammonium nitrate": {"can"},
	"ammonium sulfate nitrate": {"ammonium sulphate nitrate", "ammonium nitrate sulfate", "ammonium nitrate sulphate", "asn"},
	"calcium nitrate":          {"nitrate of lime"},
	"map":                      {"monoammonium phosphate", "mono ammonium phosphate"},
	"dap":                      {"diammonium phosphate", "di ammonium phosphate"},
	"potash":                   {"muriate of potash", "potassium chloride", "kcl", "mop"},
	"sulfate of potash":        {"potassium sulfate", "potassium sulphate", "sop"},
	"potassium nitrate":        {"nitrate of potash"},
	"sodium nitrate":           {"nitrate of soda"},
	"single superphosphate":    {"superphosphate", "ordinary superphosphate", "ssp"},
	"triple superphosphate":    {"concentrated superphosphate", "tsp"},
	"pelletized lime":          {"pell lime", "pelleted lime", "lime"},
}

// IsCarrierName reports whether a name, as [CarrierName] returns it, is one that
// is known here.
func IsCarrierName(name string) bool {
	_, ok := carrierNames[name]
	return ok
}

// CarrierLists returns the carriers that the label allows and forbids, by
// [CarrierName]; both are empty if it speaks of none.
func (p *Profile) CarrierLists() (allowed, forbidden []string) {
	return carrierNamesOf(p.Carriers.Allowed), carrierNamesOf(p.Carriers.Forbidden)
}

func carrierNamesOf(list []string) []string {
	return each.Of(list, CarrierName)
}

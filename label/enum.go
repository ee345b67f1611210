package label

import (
	"fmt"
	"slices"
	"strings"
)

// Answer is yes, no or unknown, which is the zero value.
type Answer uint8

// The answers.
const (
	Unknown Answer = iota
	Yes
	No
)

var answers = []string{"unknown", "yes", "no"}

// String returns "unknown", "yes" or "no".
func (a Answer) String() string { return answers[a] }

// UnmarshalText reads what [Answer.String] prints.
func (a *Answer) UnmarshalText(b []byte) (err error) {
	*a, err = choose[Answer](answers, string(b))
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
	UnknownBase Base = iota
	Water
	Solvent
)

var bases = []string{"unknown", "water", "solvent"}

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

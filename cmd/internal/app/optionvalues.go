package app

import (
	"fmt"
	"strconv"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// What a job file says of an option, as the texts that a flag would have.

// one is the value of an option that a job file may leave empty.
func one[T ~string](s T) []string {
	if s == "" {
		return nil
	}
	return []string{string(s)}
}

// yes is the value of a switch that a job file has turned on.
func yes(on bool) []string {
	if !on {
		return nil
	}
	return []string{strconv.FormatBool(on)}
}

func known[T fmt.Stringer](k label.Known[T]) []string {
	if v, ok := k.Get(); ok {
		return []string{v.String()}
	}
	return nil
}

func texts[T fmt.Stringer](list []T) []string {
	return each.Of(list, T.String)
}

func spreadError(j *equip.Job) []string {
	if e, ok := j.SpreadError(); ok {
		return []string{e.String()}
	}
	return nil
}

// How the texts of an option are read.

// rateError reads how far rates may be off, which is then no longer assumed. A bare 0 is
// no error, whatever it counts.
func rateError(s *settings, v []string) (err error) {
	s.terms.RateError, s.terms.RateErrorAssumed = 0, false
	if strings.TrimSpace(v[0]) != "0" {
		s.terms.RateError, err = unit.Parse[unit.Ratio](v[0])
	}
	return err
}

// aboveZero reads a quantity of which 0 would stand for one that is not given.
func aboveZero[Q ~float64](parse func(string) (Q, error), hint string) func(string) (Q, error) {
	return func(text string) (Q, error) {
		q, err := parse(text)
		if err == nil && !(q > 0) {
			err = &Error{What: text + " is not above 0", Hint: hint}
		}
		return q, err
	}
}

// parseLoading reads a loading that the plant has fixed.
var parseLoading = aboveZero(unit.Parse[unit.Loading], "give what the plant has fixed, or leave it out")

// chosen sets a part of the settings to what a word stands for.
func chosen[T any](at func(*settings) *T, words map[string]T, wrong, hint string) func(*settings, []string) error {
	return func(s *settings, v []string) error {
		value, ok := words[v[0]]
		if !ok {
			return &Error{What: fmt.Sprintf("%q %s", v[0], wrong), Hint: hint}
		}
		*at(s) = value
		return nil
	}
}

// quantity reads a text into a part of the terms.
func quantity[Q any](at func(*settings) *Q, parse func(string) (Q, error)) func(*settings, []string) error {
	return func(s *settings, v []string) (err error) {
		*at(s), err = parse(v[0])
		return err
	}
}

// asKnown makes of what is read something that is known.
func asKnown[T any](parse func(string) (T, error)) func(string) (label.Known[T], error) {
	return func(text string) (label.Known[T], error) {
		v, err := parse(text)
		return label.Know(v), err
	}
}

// number reads a whole number that says how a file is opened.
func number(set func(*settings, int64)) func(*settings, []string) error {
	return func(s *settings, v []string) error {
		n, err := strconv.ParseInt(v[0], 0, 64)
		if err != nil {
			return fmt.Errorf("%q is no whole number", v[0])
		}
		set(s, n)
		return nil
	}
}

// onJob reads a text into a part of the job, where all that goes by the job finds it: a flag
// that wins over a key needs no field in the terms.
func onJob[T any](of func(*equip.Job) *T, parse func(string) (T, error)) func(*settings, []string) error {
	return func(s *settings, v []string) (err error) {
		job := equip.Job{}
		if s.terms.Job != nil {
			job = *s.terms.Job // which others hold too
		}
		s.terms.Job = &job
		*of(&job), err = parse(v[0])
		return err
	}
}

package app

import (
	"errors"
	"math"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/label"
	"rxsplit/label/strictyaml"
	"rxsplit/rx/equip"
	"rxsplit/rx/read"
	"rxsplit/rx/record"
)

// TextKind is what a YAML file is for.
type TextKind int

// The kinds of texts.
const (
	isNeither TextKind = iota // it has too many mistakes as any
	IsLabel
	IsJob
	isLogMap
	isYieldMap
	isSaid
	isDayList
)

// textKind is a kind of text with what messages say of it.
type textKind struct {
	kind   TextKind
	what   string
	taken  string // which command takes it, and how
	writes string // the command that writes one with comments
	looks  string // that looks at one; empty for none
	decode func(name string, text []byte) error
}

// textKinds are the kinds, those that the local page fills in before those of commands alone.
var textKinds = []textKind{
	{
		IsLabel, "a label profile", "give it with --label", "rxsplit label new", "rxsplit label check ",
		func(name string, text []byte) error { _, err := label.Parse(name, text); return err },
	}, {
		IsJob, "a job file", "give it with --job", "rxsplit job new", "rxsplit job check ",
		func(name string, text []byte) error { _, err := equip.ParseJob(name, text); return err },
	}, {
		isLogMap, "the map of a log's columns", "rxsplit applied takes it, with --map", "rxsplit applied new LOG", "",
		func(name string, text []byte) error { _, err := read.ParseLogMap(name, text); return err },
	}, {
		isYieldMap, "the map of columns of yields", "rxsplit readout takes it, with --map", "rxsplit readout new", "",
		func(name string, text []byte) error { _, err := read.ParseYieldMap(name, text); return err },
	}, {
		isSaid, "what those who were there say", "rxsplit record takes it, with --said", "rxsplit record new", "",
		func(name string, text []byte) error { _, err := record.ParseSaid(name, text); return err },
	}, {
		isDayList, "a list of a day's fields", "rxsplit day takes it", "rxsplit day new", "",
		func(name string, text []byte) error { return strictyaml.Decode(name, text, new(dayListing)).Err() },
	},
}

// String says what a text of the kind is, as "a label profile"; empty for one of none.
func (k TextKind) String() string {
	for _, t := range textKinds {
		if t.kind == k {
			return t.what
		}
	}
	return ""
}

// KindOf tells what a YAML file is for by what it says, though it has mistakes: it is that
// of which most of its keys are known, and neither label nor job where both know as many and
// not all. One without any key is a job file, which needs none.
func KindOf(path string) TextKind {
	text, err := readText(path)
	if err != nil {
		return isNeither
	}
	kind, least := isNeither, math.MaxInt
	for _, t := range textKinds {
		switch n := unknownKeys(t.decode(path, text)); {
		case n < least || n == 0 && t.kind == IsJob:
			kind, least = t.kind, n
		case n == least && t.kind == IsJob:
			kind = isNeither
		}
	}
	return kind
}

// unknownKeys counts the keys that are not known, -1 where a text can't be read at all.
func unknownKeys(err error) (n int) {
	var all strictyaml.Errors
	if !errors.As(err, &all) {
		return 0
	}
	for _, e := range all {
		switch {
		case e.Key == "" && e.Line > 0:
			return -1
		case isUnknown(e):
			n++
		}
	}
	return n
}

func isUnknown(e *strictyaml.Error) bool {
	return strings.Contains(e.What, "is not a key that is known here")
}

// textError says what is wrong with a text that was given for one of a kind, or that it is one
// of another, as which it has fewer mistakes and less than half the unknown keys. The error of
// a text without a name, which is that of a written plan, it returns as it is; so it does any
// that tells no mistakes of keys.
func textError(want TextKind, path string, text []byte, err error) error {
	var own strictyaml.Errors
	if !errors.As(err, &own) || path == "" {
		return err
	}
	at := slices.IndexFunc(textKinds, func(t textKind) bool { return t.kind == want })
	meant, other, fewest := textKinds[at], textKind{}, len(own)
	for i, t := range textKinds {
		var mistakes strictyaml.Errors
		if err := t.decode(path, text); i == at || err != nil && !errors.As(err, &mistakes) {
			continue
		}
		if n := len(mistakes); n < fewest && 2*unknownKeys(mistakes) < unknownKeys(own) {
			other, fewest = t, n
		}
	}
	switch {
	case other.kind != isNeither:
		return &Error{What: path + ": is " + other.what + ", not " + meant.what, Hint: other.taken + "; " + meant.writes + " writes " + meant.what + " to fill in"}
	case meant.looks != "":
		return mistaken(err, "correct the file, then look at it with: "+meant.looks+report.Word(path))
	}
	return mistaken(err, "correct the file; "+meant.writes+" writes one with comments")
}

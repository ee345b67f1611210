package app

import (
	"errors"

	"rxsplit/label"
	"rxsplit/label/strictyaml"
	"rxsplit/rx/equip"
)

// TextKind is what a YAML file is for.
type TextKind int

// The kinds of texts.
const (
	IsNeither TextKind = iota // it has too many mistakes as either
	IsLabel
	IsJob
)

// KindOf tells a label profile from a job file by what it says, though it has mistakes: it
// is that of which most of its keys are known. One without any key is a job file, which
// needs none.
func KindOf(path string) TextKind {
	text, err := readText(path)
	if err != nil {
		return IsNeither
	}
	_, asLabel := label.Parse(path, text)
	_, asJob := equip.ParseJob(path, text)
	label, job := unknownKeys(asLabel), unknownKeys(asJob)
	switch {
	case label < 0 || job < 0 || label > 0 && job > 0 && label == job:
		return IsNeither
	case label < job:
		return IsLabel
	}
	return IsJob
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

package strictyaml

import (
	"fmt"
	"strings"
)

// Error is one mistake in a file. It reads FILE:LINE:COLUMN: KEY: WHAT.
type Error struct {
	File   string
	Line   int    // from 1; 0 if the file as a whole is meant
	Column int    // from 1, in characters
	Key    string // such as rate.min or blend[2].share, lists counted from 1; may be empty
	What   string // what is wrong and what to do about it
	Err    error  // what the value's own type said; may be nil
}

// Error prints the place, the key and what is wrong, on one line.
func (e *Error) Error() string {
	var s strings.Builder
	s.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&s, ":%d:%d", e.Line, e.Column)
	}
	s.WriteString(": ")
	if e.Key != "" {
		s.WriteString(e.Key + ": ")
	}
	s.WriteString(e.What)
	return s.String()
}

// Unwrap returns what the value's own type said, such as an error of package unit.
func (e *Error) Unwrap() error { return e.Err }

// Errors are all mistakes of a file, in the order in which they stand in it.
type Errors []*Error

// Error prints one mistake a line.
func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, one := range e {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap returns the mistakes, for errors.Is and errors.As.
func (e Errors) Unwrap() []error {
	errs := make([]error, len(e))
	for i, one := range e {
		errs[i] = one
	}
	return errs
}

package main

import (
	"io"

	"rxsplit/cmd/internal/report"
)

// sink is standard output; what it can't take is an [*outputError], to be told from
// a file that can't be written.
type sink struct{ io.Writer }

func (s sink) Write(p []byte) (int, error) {
	n, err := s.Writer.Write(p)
	if err != nil {
		err = &outputError{err}
	}
	return n, err
}

// outputError says that the result could not be printed.
type outputError struct{ err error }

func (e *outputError) Error() string { return "standard output: " + systemSays(e.err) }

// Unwrap returns what the system said.
func (e *outputError) Unwrap() error { return e.err }

// printed tells that a plan is whole although its summary could not be printed.
func printed(err error, dir string) error {
	if err == nil {
		return nil
	}
	return &hinted{err.Error(), "the plan is whole all the same; look at it with: rxsplit verify " + report.Word(dir)}
}

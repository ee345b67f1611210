package main

import (
	"io"

	"rxsplit/cmd/internal/app"
)

// sink is standard output; what it can't take is told from a file that can't be written.
type sink struct{ io.Writer }

func (s sink) Write(p []byte) (int, error) {
	n, err := s.Writer.Write(p)
	if err != nil {
		err = &app.Error{What: "standard output: " + app.SystemSays(err), Hint: "what was printed is cut short: make room, or print it elsewhere", Err: err}
	}
	return n, err
}

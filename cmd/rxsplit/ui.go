package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"rxsplit/cmd/internal/report"
)

// ui is the one place that prints messages. Results go to out and nothing else
// does; messages go to err as "rxsplit: kind: where: what", with a hint on the
// next line. Progress shows on a terminal alone, and only for long work.
type ui struct {
	in      io.Reader
	out     io.Writer
	err     io.Writer
	timings bool
	words   []string // of the command line

	stage   string
	since   time.Time
	ticking *time.Timer
}

// fail prints an error, a line each where it lists several.
func (u *ui) fail(err error) {
	u.settle()
	for line := range strings.Lines(report.Plain(report.OneLine(err.Error(), u.words...))) {
		fmt.Fprintf(u.err, "rxsplit: error: %s\n", strings.TrimRight(line, "\n"))
	}
	if hint := hintOf(err); hint != "" {
		fmt.Fprintf(u.err, "  %s\n", report.Plain(report.OneLine(hint, u.words...)))
	}
}

func (u *ui) note(format string, args ...any) {
	u.settle()
	fmt.Fprintf(u.err, "rxsplit: %s\n", report.Plain(report.OneLine(fmt.Sprintf(format, args...), u.words...)))
}

// slow is how long a stage may take before a terminal is told what goes on.
const slow = 700 * time.Millisecond

// begin names the stage that starts now and ends the one before.
func (u *ui) begin(stage string) {
	u.end()
	u.stage, u.since = stage, time.Now()
	if isTerminal(u.err) {
		w := u.err
		u.ticking = time.AfterFunc(slow, func() { fmt.Fprintf(w, "\r%s...", stage) })
	}
}

// end closes the stage that is open, if any.
func (u *ui) end() {
	if u.stage == "" {
		return
	}
	u.settle()
	if u.timings {
		fmt.Fprintf(u.err, "%8.3f s  %s\n", time.Since(u.since).Seconds(), u.stage)
	}
	u.stage = ""
}

// settle takes a progress line off the terminal.
func (u *ui) settle() {
	if u.ticking == nil {
		return
	}
	if !u.ticking.Stop() {
		fmt.Fprint(u.err, "\r\x1b[K")
	}
	u.ticking = nil
}

// isTerminal reports whether w is a terminal that takes control characters.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok || os.Getenv("TERM") == "dumb" {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

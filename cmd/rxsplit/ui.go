package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/internal/pages"
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
	counted bool // how far the stage is shows
}

// run is a use of the application that tells its progress here.
func (u *ui) run() app.Run {
	pages.Large(u.room())
	return app.Run{Stdin: u.in, Progress: u.step}
}

// room is how much memory the work may touch, in bytes, by the files and folders that the command
// line names: three times the size of a layer. What is packed, as archives and grids are, may hold
// a million cells in little.
func (u *ui) room() int64 {
	const million = 400 << 20
	bytes := int64(32 << 20) // for small fields
	if slices.Contains([]string{"check", "inspect"}, u.words[0]) {
		bytes = 0 // of which these touch little
	}
	for _, word := range u.words {
		info, err := os.Stat(word)
		switch {
		case word == "-":
			bytes += million
		case err != nil:
		case info.IsDir():
			size := int64(0)
			entries, _ := os.ReadDir(word)
			for _, entry := range entries {
				if info, err := entry.Info(); err == nil {
					size += info.Size()
				}
			}
			bytes += max(3*size, million)
		case strings.EqualFold(filepath.Ext(word), ".zip"):
			bytes += max(20*info.Size(), min(million, 2000*info.Size()))
		default:
			bytes += 3 * info.Size()
		}
	}
	return bytes
}

// timingsFlag adds the flag that has the seconds of each stage printed.
func (u *ui) timingsFlag(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&u.timings, "timings", false, "print the seconds of each stage")
}

// fail prints an error, a line each where it lists several.
func (u *ui) fail(err error) {
	u.settle()
	failure := app.Explain(err)
	for line := range strings.Lines(u.plain(failure.Text)) {
		u.wrap("rxsplit: error: "+strings.TrimRight(line, "\n"), "    ")
	}
	if failure.Hint != "" {
		for line := range strings.Lines(u.plain(failure.Hint)) {
			u.wrap("  "+strings.TrimSpace(line), "    ")
		}
	}
}

// wrap prints one line of a message; see [wrapTo].
func (u *ui) wrap(line, indent string) { wrapTo(u.err, line, indent) }

// wrapTo prints one line. On a terminal it goes on below, indented, where it is wider than that;
// what else reads it gets a line a message.
func wrapTo(w io.Writer, line, indent string) error {
	lines := []string{line}
	if isTerminal(w) {
		lines = fold(line, indent)
	}
	_, err := fmt.Fprintln(w, strings.Join(lines, "\n"))
	return err
}

// fold breaks a line at its spaces where it is wider than a terminal; a long word stays whole.
func fold(line, indent string) (lines []string) {
	const wide = 80
	for utf8.RuneCountInString(line) > wide {
		at := strings.LastIndexByte(string([]rune(line)[:wide+1]), ' ')
		if word := len(line) - len(strings.TrimLeft(line, " ")); at < word { // one long word
			after := strings.IndexByte(line[word:], ' ')
			if after < 0 {
				break
			}
			at = word + after
		}
		lines = append(lines, line[:at])
		line = indent + line[at+1:]
	}
	return append(lines, line)
}

func (u *ui) note(format string, args ...any) {
	u.settle()
	u.wrap("rxsplit: "+u.plain(fmt.Sprintf(format, args...)), "    ")
}

// plain prints a message with the names of the command line on one line each.
func (u *ui) plain(text string) string { return report.Plain(report.OneLine(text, u.words...)) }

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

// step begins a stage, or counts how far it is.
func (u *ui) step(s app.Step) {
	if s.Stage != u.stage {
		u.begin(s.Stage)
		return
	}
	if s.Total > 0 && time.Since(u.since) > slow && isTerminal(u.err) {
		fmt.Fprintf(u.err, "\r%s... %d of %d", s.Stage, s.Done, s.Total)
		u.counted = true
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
	if u.ticking != nil && !u.ticking.Stop() || u.counted {
		fmt.Fprint(u.err, "\r\x1b[K")
	}
	u.ticking, u.counted = nil, false
}

// isTerminal reports whether w is a terminal that takes control characters.
func isTerminal(w io.Writer) bool {
	if s, ok := w.(sink); ok {
		w = s.Writer
	}
	f, ok := w.(*os.File)
	if !ok || os.Getenv("TERM") == "dumb" {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// sink is standard output; what it can't take is told from a file that can't be written.
type sink struct{ io.Writer }

func (s sink) Write(p []byte) (int, error) {
	n, err := s.Writer.Write(p)
	if err != nil {
		err = &app.Error{What: "standard output: " + app.SystemSays(err), Hint: "what was printed is cut short: make room, or print it elsewhere", Err: err}
	}
	return n, err
}

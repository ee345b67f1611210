package rx

import (
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Approval is who released a plan, when, and by which way. It is a record and no lock:
// nobody is kept from working without one, and nobody proves by it who they are.
type Approval struct {
	Plan    string    // the plan's digest of itself, 64 hex digits, as its manifest has it
	Way     WayName   // the way that the plan takes
	By      string    // whoever approves
	License string    // of the applicator, as written; may be empty
	Note    string    // may be empty
	At      time.Time // to the second
}

// longestSaid is how many bytes a name, a license or a note may have: a line or a short
// paragraph, which fits on the release sheet.
const longestSaid = 400

// Check returns what is wrong with what a person has said of an approval: no name, text
// that is longer than 400 bytes, or that has line breaks and other characters that don't print.
func (a Approval) Check() error {
	if strings.TrimSpace(a.By) == "" {
		return errors.New("nobody is named who approves")
	}
	for _, said := range []struct{ what, text string }{{"name", a.By}, {"license", a.License}, {"note", a.Note}} {
		if len(said.text) > longestSaid {
			return fmt.Errorf("the %s has %d bytes, the most is %d", said.what, len(said.text), longestSaid)
		}
		if strings.ContainsFunc(said.text, func(r rune) bool { return !unicode.IsPrint(r) }) || !utf8.ValidString(said.text) {
			return fmt.Errorf("the %s has a line break or another character that doesn't print", said.what)
		}
	}
	return nil
}

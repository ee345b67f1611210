package report

import (
	"strings"
	"unicode"
)

// stand takes the place of a rune that is not shown.
const stand = '\uFFFD'

// Plain returns a text as it may go to a terminal: what a file or its name holds
// must not reach it as a command, nor turn the order of what is read. Control
// characters but the end of a line, those that set the direction of writing, and
// bytes that are no UTF-8 become U+FFFD.
func Plain(text string) string {
	return strings.Map(func(r rune) rune {
		if r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r)) {
			return stand
		}
		return r
	}, text)
}

package unit

import "fmt"

// Error says why a text is not the quantity that was wanted.
type Error struct {
	Got  string // the text as it was given
	Want string // what was wanted, with an example
	Why  string // what is wrong with Got
}

// Error reads `"20 lb/ac" is a dry rate: want a liquid rate such as "30 fl oz/ac"`.
func (e *Error) Error() string {
	return fmt.Sprintf("%q %s: want %s", shorten(e.Got), e.Why, e.Want)
}

// shorten keeps a text that may be anything at all from filling the screen.
func shorten(s string) string {
	const most = 60
	runes := []rune(s)
	if len(runes) <= most {
		return s
	}
	return string(runes[:most]) + "..."
}

package geo_test

import (
	"strings"
	"testing"

	"rxsplit/geo"
)

// What a message quotes has 40 bytes at most, with the mark that it was cut, and no part of a letter.
func TestShorten(t *testing.T) {
	ten := "0123456789"
	for value, want := range map[string]string{
		"": "", strings.Repeat(ten, 4): strings.Repeat(ten, 4), strings.Repeat(ten, 4) + "0": strings.Repeat(ten, 3) + "0123456...",
		strings.Repeat(ten, 3) + "012345é0123": strings.Repeat(ten, 3) + "012345...", strings.Repeat(ten, 3) + "01234é0123": strings.Repeat(ten, 3) + "01234é...",
	} {
		if got := geo.Shorten(value); got != want {
			t.Errorf("%s: got %q, want %q", value, got, want)
		}
	}
}

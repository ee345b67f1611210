package serve

import (
	"strings"
	"testing"
)

// One column is missing, or several are.
func TestColumnsThatAreNotInTheFile(t *testing.T) {
	for _, c := range []struct {
		missing []string
		want    string
	}{{[]string{"N"}, "asks for the column N,"}, {[]string{"N", "P"}, "asks for the columns N, P,"}} {
		if got := notInFile(c.missing).Error(); !strings.Contains(got, c.want) {
			t.Errorf("%v: %q, want %q in it", c.missing, got, c.want)
		}
	}
}

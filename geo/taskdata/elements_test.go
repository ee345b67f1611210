package taskdata

import (
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
)

// tried are values on both sides of each bound of the schemas.
var tried = []string{
	"", "x", strings.Repeat("x", 32), strings.Repeat("x", 33), strings.Repeat("x", 64), strings.Repeat("x", 65), "-1", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "14", "15", "16", "32", "33", "64", "65", "99", "100", "254", "255", "256",
	"65534", "65535", "65536", "2147483647", "2147483648", "-2147483648", "-2147483649", "4294967294", "4294967295", "4294967296", "268435456", "268435457",
	"0.5", "1.5", "-0.5", "-90", "-90.1", "90.1", "180", "-180.1", "180.1", "1e-4", "abc", "FFFF", "ffff", "0006", "006", "00FF", "1FFFFFFFF", "FFFFFFFF", "FFFFFFFFFFFFFFFF", "FFFFFFFFFFFFFFFFF",
	"2026-05-01T07:30:00", "2026-05-01T07:30:00Z", "2026-05-01", "GRD00001", "TLG00001", "CTR1", "CTR-1", "FRM1", "PFD1", "PDT1", "PGP1", "VPN1", "TSK1", "WKR1", "DVC1", "DET1", "DET-1", "CPC1", "OTQ1", "CTP1", "CVT1", "CCT1", "CCG1", "CLD1", "AFE1", "BSN1", "PLN1", "PNT1", "GGP1", "GPN1", "LSG1", "DVP1", "GRD1",
}

// Each element says and holds what testdata/elements.txt has: its attributes with ! where one is required and 4
// where it came with version 4, and how its values are checked; the elements in it behind the colon. At the end, the
// values of a list on both sides of each bound that a check takes. The facts are those of the published
// schemas of ISO 11783-10; the file was made from the table that they were entered in.
func TestElementsAreThoseOfTheSchemas(t *testing.T) {
	var b, checks strings.Builder
	number := map[string]int{}
	for _, name := range slices.Sorted(maps.Keys(elements)) {
		k := elements[name]
		var said []string
		for _, a := range k.attrs {
			var takes []string
			for _, v := range tried {
				if a.valid(v) == "" {
					takes = append(takes, v)
				}
			}
			list := fmt.Sprintf("%.12q", takes)
			if number[list] == 0 {
				number[list] = len(number) + 1
				fmt.Fprintf(&checks, "%d takes %s\n", number[list], list)
			}
			one := a.name
			if a.required {
				one += "!"
			}
			if a.v4 {
				one += "4"
			}
			said = append(said, fmt.Sprintf("%s(%d)", one, number[list]))
		}
		slices.Sort(said)
		children := strings.Fields(k.children)
		slices.Sort(children)
		if k.anything {
			children = append(children, "and anything")
		}
		fmt.Fprintf(&b, "%s %s: %s\n", name, strings.Join(said, " "), strings.Join(children, " "))
	}
	want, err := os.ReadFile("testdata/elements.txt")
	if got := b.String() + checks.String(); err != nil || string(want) != got {
		t.Errorf("%v; got\n%s", err, got)
	}
}

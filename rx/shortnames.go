package rx

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// ownColumns are the columns that layers have beside the source's rates.
var ownColumns = []string{"RX_RATE", "ZONE", "ACRES", "HA"}

// shortest is what the table of a shapefile holds of a name, in bytes (dBASE III).
const shortest = 10

// ShortNames returns the names that the rate fields have in a shapefile, whose table
// holds ten bytes of one: their own where those fit, else as much of their start, with
// a number where another has that name, in capitals or not, or a layer's own column
// has it.
func (p *Prescription) ShortNames() []string {
	names := make([]string, len(p.Fields))
	var taken []string
	for i, f := range p.Fields { // names that fit come first
		if fits(f.Name) && !slices.Contains(taken, strings.ToUpper(f.Name)) {
			names[i] = f.Name
			taken = append(taken, strings.ToUpper(f.Name))
		}
	}
	taken = append(taken, ownColumns...)
	for i, f := range p.Fields {
		if names[i] != "" {
			continue
		}
		name := cut(printable(f.Name), shortest)
		for n := 2; slices.Contains(taken, strings.ToUpper(name)); n++ {
			number := fmt.Sprintf("_%d", n)
			name = cut(printable(f.Name), shortest-len(number)) + number
		}
		names[i] = name
		taken = append(taken, strings.ToUpper(name))
	}
	return names
}

func fits(name string) bool {
	return name != "" && len(name) <= shortest && printable(name) == name
}

// printable puts a low line for what no column's name may hold. Readers take spaces
// at the ends for padding.
func printable(name string) string {
	name = strings.Map(func(r rune) rune {
		if r < ' ' || r == utf8.RuneError {
			return '_'
		}
		return r
	}, name)
	return cmp.Or(strings.TrimSpace(name), "RATE")
}

// cut keeps whole characters of a name, in at most so many bytes.
func cut(name string, most int) string {
	for len(name) > most {
		_, last := utf8.DecodeLastRuneInString(name)
		name = name[:len(name)-last]
	}
	return strings.TrimSpace(name)
}

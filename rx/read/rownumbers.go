package read

import (
	"fmt"
	"math"

	"rxsplit/rx"
)

// fewestRows is how many zones it takes to tell a row number from a rate.
const fewestRows = 5

// rowNumbers finds a rate field that is an id of the rows: whole numbers that grow
// from record to record and leave out no more than every other number. Rates that
// were sorted grow as well, but in longer steps.
func rowNumbers(s *suspect) (out []rx.Finding) {
	for f, field := range s.Fields {
		if first, last, ok := s.grows(f); ok {
			w := warning("rate-is-id", fmt.Sprintf("%g to %g, growing from row to row", first, last), "rates",
				fmt.Sprintf("field %s holds whole numbers that grow from row to row, as the numbers of rows do: it may be no rate", field.Name),
				"name the field that holds the rates with --rate-field")
			w.Field = field.Name
			out = append(out, w)
		}
	}
	return out
}

func (s *suspect) grows(f int) (first, last float64, ok bool) {
	n := 0
	for z, zone := range s.Zones {
		if !zone.HasRate() {
			continue
		}
		v, ok := s.number(z, s.Fields[f].Index)
		if !ok || v != math.Trunc(v) || n > 0 && v <= last {
			return 0, 0, false
		}
		if n == 0 {
			first = v
		}
		last = v
		n++
	}
	return first, last, n >= fewestRows && last-first <= 2*float64(n-1)
}

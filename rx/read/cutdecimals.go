package read

import (
	"fmt"
	"math"

	"rxsplit/geo"
	"rxsplit/rx"
)

// cutDecimals finds rates with decimals in a DBF field that declares none: others
// read such a field as whole numbers, and 150.75 as 150.
func cutDecimals(s *suspect) (out []rx.Finding) {
	all := s.Cells.Fields()
	for _, rate := range s.Fields {
		if field := all[rate.Index]; field.Width == 0 || field.Decimals > 0 || field.Kind != geo.Number {
			continue
		}
		var zones []int
		got := ""
		for z := range s.Zones {
			if decimals(s.Cells.Cell(int(s.Zones[z].Record), rate.Index).Text) == 0 {
				continue
			}
			if v, ok := s.number(z, rate.Index); ok && v != math.Trunc(v) {
				if zones == nil {
					got = string(s.Cells.Cell(int(s.Zones[z].Record), rate.Index).Text)
				}
				zones = append(zones, s.Zones[z].Number())
			}
		}
		if zones == nil {
			continue
		}
		w := warning("rate-decimals", got, "a field with decimals, or whole numbers",
			fmt.Sprintf("field %s is declared without decimals, but %s some, such as %s: they were read as they stand, other programs may cut them off", rate.Name, count(len(zones), "rate has", "rates have"), got),
			"export the rates as a field with decimals, or as whole numbers")
		w.Field, w.Zones = rate.Name, zones
		out = append(out, w)
	}
	return out
}

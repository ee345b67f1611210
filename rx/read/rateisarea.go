package read

import (
	"fmt"
	"math"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// rateIsArea finds a rate field that repeats the zones' areas, which differ.
func rateIsArea(s *suspect) (out []rx.Finding) {
	zones := s.sample(sampled, treated)
	least, most := math.Inf(1), 0.0
	var areas []unit.Area
	for _, z := range zones {
		areas = append(areas, s.Zones[z].Area)
		least, most = min(least, float64(s.Zones[z].Area)), max(most, float64(s.Zones[z].Area))
	}
	if most < 1.1*least {
		return nil
	}
	for _, field := range s.Fields {
		same := newAreaMatch(areas)
		for i, z := range zones {
			if v, ok := s.number(z, field.Index); ok {
				same.add(i, v)
			}
		}
		symbol := same.unit(len(zones))
		if symbol == "" {
			continue
		}
		w := warning("rate-is-area", "the zones' areas in "+symbol, "rates",
			fmt.Sprintf("field %s holds the areas of the zones in %s: it is no rate", field.Name, symbol), "name the field that holds the rates with --rate-field")
		w.Field = field.Name
		out = append(out, w)
	}
	return out
}

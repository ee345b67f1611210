package read

import (
	"fmt"
	"math"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// amounts are what a column of amounts a zone counts its rate's unit in: a rate of
// lb/ac gives pounds, or tons where it is 1/2000 of them.
var amounts = [...]struct {
	area   unit.Area
	per    string
	factor float64
}{
	{unit.Acre, "acre", 1}, {unit.Acre, "acre", 1. / 2000},
	{unit.Hectare, "hectare", 1}, {unit.Hectare, "hectare", 1. / 1000},
}

// ratePerArea finds rates per hectare that are taken as rates per acre, and the
// other way round: where a column holds the amounts of the zones, it says how many
// areas of which unit a rate was multiplied with.
func ratePerArea(s *suspect) []rx.Finding {
	if len(s.Fields) > 1 {
		return nil
	}
	rate := s.Fields[0]
	taken := "acre"
	if perHectare(rate) {
		taken = "hectare"
	}
	zones := s.sample(sampled, treated)
	for column, field := range s.Cells.Fields() {
		per := s.amountPer(zones, column)
		if s.isRate(column) || per == "" || per == taken {
			continue
		}
		w := warning("rate-per-area", "per "+per, "per "+taken,
			fmt.Sprintf("field %s is each zone's %s times its %ss: the rates count per %s, but were taken per %s", field.Name, rate.Name, per, per, taken),
			"say what the rates count with --rate-unit, such as --rate-unit kg/ha")
		w.Field = rate.Name
		return []rx.Finding{w}
	}
	return nil
}

// amountPer returns the unit of area by which a column is the rate times the area;
// empty if it is no such thing.
func (s *suspect) amountPer(zones []int, column int) string {
	var hits [len(amounts)]int
	for _, z := range zones {
		amount, ok := s.number(z, column)
		if !ok {
			continue
		}
		rate := float64(s.Zones[z].Dry / s.Fields[0].Unit)
		for i, a := range amounts {
			if math.Abs(amount/(rate*float64(s.Zones[z].Area/a.area)*a.factor)-1) < 0.02 {
				hits[i]++
			}
		}
	}
	for i, n := range hits {
		if len(zones) > 2 && float64(n) >= nearlyAll*float64(len(zones)) {
			return amounts[i].per
		}
	}
	return ""
}

package read

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// What the mean of a dry rate can hardly be: less than a spreader meters, more
// than is ever spread.
const (
	lowestMean  = 15 * unit.PoundPerAcre
	highestMean = 3000 * unit.PoundPerAcre
)

// meanRate finds rates in the wrong unit.
func meanRate(s *suspect) []rx.Finding {
	treated := s.TreatedArea()
	if treated <= 0 {
		return nil
	}
	mean := unit.DryRate(float64(s.DryMass()) / float64(treated))
	want := fmt.Sprintf("%g to %g lb/ac", float64(lowestMean), float64(highestMean))
	switch {
	case mean < lowestMean:
		return []rx.Finding{warning("rate-low", mean.String(), want,
			fmt.Sprintf("the mean dry rate is %.4g lb/ac, less than a spreader can meter: the unit may be wrong, or the field holds something else", float64(mean)),
			"check --rate-field and --rate-unit, and whether the rates count product or N (--rate-of)")}
	case mean > highestMean:
		return []rx.Finding{warning("rate-high", mean.String(), want,
			fmt.Sprintf("the mean dry rate is %.6g lb/ac, more than is ever spread: the unit may be wrong, or the field holds something else", float64(mean)),
			"check --rate-field and --rate-unit")}
	}
	return nil
}

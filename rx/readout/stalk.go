package readout

import (
	"fmt"

	"rxsplit/internal/samebits"
)

// NitrateToN is how many times as heavy as its nitrogen nitrate is: NO3 by N, by the standard
// atomic weights (62.0049/14.0067).
const NitrateToN = 4.4268

// StalkLimits part the classes of nitrate-N in the lower stalk at harvest, in ppm.
type StalkLimits struct{ Marginal, Optimal, Excess float64 }

// DefaultStalkLimits are those quoted of Iowa State University Extension's Pm-1584. States
// differ, so they are an input.
var DefaultStalkLimits = StalkLimits{250, 700, 2000}

// Class names the class of a sample. A limit belongs to the class above it, but the upper end
// of the optimal class is in it: our choice, as the source doesn't say.
func (l StalkLimits) Class(ppm float64) string {
	switch {
	case ppm < l.Marginal:
		return "low"
	case ppm < l.Optimal:
		return "marginal"
	case ppm <= l.Excess:
		return "optimal"
	}
	return "excess"
}

// Sample is the nitrate-N of one strip's stalks.
type Sample struct {
	Rep     int
	Treated bool
	PPM     float64 // of nitrate-N, positive
	Below   bool    // under the laboratory's limit of detection
	Record  int
}

// stalks returns a replicate's differences of logarithms, treated less untreated, as far as
// samples stand for it: [Ratio] reads a difference. Replicates that lack a side are
// named in missing.
func stalks(samples []Sample) (readings []Reading, missing []string) {
	for _, rep := range repsOf(samples) {
		var treated, untreated []float64
		for _, s := range samples {
			switch {
			case s.Rep != rep:
			case s.Treated:
				treated = append(treated, s.PPM)
			default:
				untreated = append(untreated, s.PPM)
			}
		}
		if len(untreated) != 1 || len(treated) != 2 {
			missing = append(missing, fmt.Sprintf("replicate %d: %d untreated and %d treated samples, want 1 and 2", rep, len(untreated), len(treated)))
			continue
		}
		one := func(v float64) Mean { return Mean{Points: 1, Value: v} }
		readings = append(readings, Reading{
			Rep: rep, Untreated: one(untreated[0]), Treated: [2]Mean{one(treated[0]), one(treated[1])},
			Difference: float64((samebits.Log(treated[0])+samebits.Log(treated[1]))/2) - samebits.Log(untreated[0]),
		})
	}
	return readings, missing
}

// Ratio is that of treated to untreated which a difference of logarithms stands for.
func Ratio(difference float64) float64 { return samebits.Exp(difference) }

// repsOf lists the replicates in the order of their first sample.
func repsOf(samples []Sample) (reps []int) {
	seen := map[int]bool{}
	for _, s := range samples {
		if !seen[s.Rep] {
			seen[s.Rep] = true
			reps = append(reps, s.Rep)
		}
	}
	return reps
}

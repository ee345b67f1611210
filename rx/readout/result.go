package readout

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/internal/samebits"
)

// Options say how strips are read.
type Options struct {
	Header Header
	Clean  Clean
	Weigh  bool // by each point's ground
	Level  float64
	Price  float64 // for one of the yield's unit; 0 where nobody says what it is worth
	Cost   float64 // of treating one of the ground's unit
}

// The things that strips are read for.
const (
	Yield  = "yield"
	Index  = "index"
	Stalk  = "stalk"
	fewest = 5 // points of a strip, under which its mean is told to be unsteady
)

// Result is what strips say of one thing.
type Result struct {
	What     string // Yield, Index or Stalk
	Readings []Reading
	Missing  []string // replicates that can't be told, and why
	Estimate Estimate
	All      *Estimate // of all points, before cleaning; nil where nothing is cleaned
	AllPoint []Reading // the readings of all points
	Cleaned  *Cleaned
	Profit   *profit
	Few      []string // strips with few points
	Crossed  []string // strips that were cut across, or driven over
	Over     int      // points whose header reaches over the side of their strip
	Samples  []Sample // of stalks
}

// Yields reads strips from a yield monitor's points, cleaned and not. It fails where no
// replicate can be told.
func (f *Field) Yields(points []Point, o Options) (Result, error) {
	kept := o.Clean.apply(points, o.Header.Meters, o.Weigh)
	r, err := f.result(Yield, kept.Points, o)
	if err != nil {
		return r, err
	}
	r.Cleaned = &kept
	all, _ := parted(f.read(points, o.Header, o.Weigh))
	r.AllPoint = all
	if len(all) > 0 {
		r.All = new(Of(Differences(all), o.Level))
	}
	if o.Price > 0 {
		r.Profit = new(r.Estimate.Profit(o.Price, o.Cost))
	}
	return r, nil
}

// Indexes reads strips from the points of a vegetation index, all of the same weight.
func (f *Field) Indexes(points []Point, o Options) (Result, error) {
	return f.result(Index, points, Options{Header: o.Header, Level: o.Level})
}

func (f *Field) result(what string, points []Point, o Options) (Result, error) {
	r := Result{What: what}
	readings := f.read(points, o.Header, o.Weigh)
	for _, one := range readings {
		for k, m := range one.Means() {
			r.Over += m.Over
			name := [3]string{"the untreated strip", "the first treated strip", "the second treated strip"}[k]
			if m.Across*5 > m.Points {
				r.Crossed = append(r.Crossed, fmt.Sprintf("replicate %d: %d of %d points in %s", one.Rep, m.Across, m.Points, name))
			}
			switch {
			case m.Points == 0:
				r.Missing = append(r.Missing, fmt.Sprintf("replicate %d: no point counts in %s", one.Rep, name))
			case m.Points < fewest:
				r.Few = append(r.Few, fmt.Sprintf("replicate %d: only %d in %s", one.Rep, m.Points, name))
			}
		}
	}
	var missing []int
	r.Readings, missing = parted(readings)
	for _, rep := range missing {
		if name := fmt.Sprintf("replicate %d:", rep); !slices.ContainsFunc(r.Missing, func(m string) bool { return strings.HasPrefix(m, name) }) {
			r.Missing = append(r.Missing, name+" its values or its ground give no mean")
		}
	}
	return r.estimate(o.Level)
}

// estimate ends a result.
func (r Result) estimate(level float64) (Result, error) {
	if len(r.Readings) == 0 {
		return r, &NothingError{What: r.What, Why: r.Missing, Over: r.Over}
	}
	r.Estimate = Of(Differences(r.Readings), level)
	return r, nil
}

// StalkResult tells what stalk samples say: the differences are of logarithms.
func StalkResult(samples []Sample, level float64) (Result, error) {
	r := Result{What: Stalk, Samples: slices.Clone(samples)}
	r.Readings, r.Missing = stalks(samples)
	return r.estimate(level)
}

// NothingError says that no replicate can be told.
type NothingError struct {
	What string
	Why  []string // a reason for each strip
	Over int      // points in strips that don't count, as their header reaches over the side
}

func (e *NothingError) Error() string {
	text := "no replicate can be told from the " + e.What
	if len(e.Why) > 0 {
		text += ": " + e.Why[0]
		if n := len(e.Why) - 1; n > 0 {
			text += fmt.Sprintf(", and %d more", n)
		}
	}
	return text
}

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

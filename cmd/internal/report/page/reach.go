package page

import (
	"iter"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// changeTheme draws where the plan spreads another rate than prescribed.
func changeTheme(r report.Result, q figures.Quantities) mapTheme {
	t := mapTheme{ID: "map-change", Title: "Change of dry rates", Button: "Change", Note: "What the plan spreads against what was prescribed; it needs the agronomist's yes."}
	t.Blank = 2
	t.classes = []mapClass{
		{Text: "added", Fill: svg.Added.Fill()}, {Text: "removed", Fill: svg.Taken.Fill()},
		{Text: "as prescribed", Fill: verdictFill(rx.Within)}, {Text: report.VerdictText(rx.NoDry), Fill: verdictFill(rx.NoDry)},
	}
	t.classify(r.Prescription, func(z int) int {
		was, now := r.Prescription.Zones[z].Dry, spread(r, z)
		switch {
		case !(was > 0):
			return 3
		case now > was*(1+1e-9):
			return 0
		case now < was*(1-1e-9):
			return 1
		}
		return 2
	})
	t.Tip = func(z int) string { return planTip(r, q, z) }
	t.Tips = func(zones []int, how string) string { return joinedPlanTip(r, q, zones, how) }
	return t
}

// metered returns what the spreader has to meter on a zone for the layers of the plan or,
// without one, as prescribed.
func metered(r report.Result, z int) iter.Seq[unit.DryRate] {
	if r.Plan == nil {
		return r.Prescription.Metered(z)
	}
	return func(yield func(unit.DryRate) bool) {
		for i := range r.Plan.Layers {
			if r.Plan.Layers[i].Product != rx.Dry {
				continue
			}
			for rate := range r.Plan.Layers[i].Metered(r.Prescription, z) {
				if !yield(rate) {
					return
				}
			}
		}
	}
}

// spread returns what all dry layers of the plan spread on a zone together.
func spread(r report.Result, z int) (sum unit.DryRate) {
	for i := range r.Plan.Layers {
		if l := &r.Plan.Layers[i]; l.Product == rx.Dry {
			if v := l.DryRate(r.Prescription, z); v > 0 {
				sum += v
			}
		}
	}
	return sum
}

// reach says whether the spreader can deliver what a zone asks for.
type reach int

const (
	asDrawn reach = iota
	outOfReach
	tooNarrow
	noSpread
)

// String says it in words.
func (c reach) String() string {
	return [...]string{"as drawn", "rate out of reach", "too narrow or short in part", "nothing is spread"}[c]
}

// word says it in a word, for a table.
func (c reach) word() string { return [...]string{"as drawn", "rate", "narrow", "–"}[c] }

// reachOf judges a zone by the rates of the plan's layers or, without one, as prescribed.
func reachOf(r report.Result, z int) reach {
	spreads := false
	for rate := range metered(r, z) {
		if !(rate > 0) {
			continue
		}
		spreads = true
		if r.Assessment.Terms.Job.Spreader.Delivered(rate) != rate {
			return outOfReach
		}
	}
	switch {
	case !spreads:
		return noSpread
	case r.Assessment.Misfit != nil && r.Assessment.Misfit[z] > 0:
		return tooNarrow
	}
	return asDrawn
}

// spreaderKnown reports whether the job has a spreader to judge by.
func spreaderKnown(r report.Result) bool {
	job := r.Assessment.Terms.Job
	return job != nil && job.Spreader != nil
}

// reachTheme draws what the spreader can deliver as drawn; nil where none is known.
func reachTheme(r report.Result, q figures.Quantities) *mapTheme {
	if !spreaderKnown(r) {
		return nil
	}
	t := &mapTheme{ID: "map-reach", Title: "What the spreader can deliver", Button: "Deliverable"}
	t.Note = "Rates outside the spreader's reach, and zones with ground narrower than its swath or shorter than a change of rate."
	t.Blank = 2
	for c, fill := range [...]string{asDrawn: verdictFill(rx.Within), outOfReach: svg.Above.Fill(), tooNarrow: svg.Season.Fill(), noSpread: verdictFill(rx.NoDry)} {
		t.classes = append(t.classes, mapClass{Text: reach(c).String(), Fill: fill})
	}
	t.classify(r.Prescription, func(z int) int { return int(reachOf(r, z)) })
	t.Tip = func(z int) string { return zoneTip(r, q, z) }
	t.Tips = func(zones []int, how string) string { return joinedTip(r, q, zones, how) }
	return t
}

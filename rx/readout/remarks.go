package readout

import (
	"strings"

	"rxsplit/rx"
)

// Taken says how the points of a yield monitor were taken.
type Taken struct {
	Header  Header
	Weigh   bool // by each point's ground
	Wet     bool // yields are said to be dry, and look wet
	NoPlace int  // records without a place
}

// What whoever acts on a reading must know of its data.
var (
	leftOut    = remark[told]("readout-left-out")
	few        = remark[counted]("readout-few-replicates")
	allSame    = remark[rx.Nothing]("readout-all-same")
	fewPoints  = remark[told]("readout-few-points")
	crossed    = remark[told]("readout-driven-over")
	over       = remark[counted]("readout-over-the-side")
	looksWet   = remark[rx.Nothing]("readout-looks-wet")
	unweighed  = remark[rx.Nothing]("readout-no-distance")
	noHeader   = remark[rx.Nothing]("readout-no-header")
	noPlace    = remark[counted]("readout-no-place")
	cleaned    = remark[rx.Nothing]("readout-cleaning")
	undetected = remark[counted]("readout-undetected")
	nitrate    = remark[beyond]("readout-nitrate")
)

func remark[D any](key string) rx.Rule[D] { return rx.NewRule[D](key, rx.AboutFile, rx.NoPlan[D]) }

// told is strips, each with its replicate and what is odd of it.
type told struct{ Strips string }

// counted is how many replicates, points, records or samples there are.
type counted struct{ N int }

// beyond is samples that hold more nitrate-N than stalks are known to.
type beyond struct{ N, Most int }

// mostNitrate is that, in ppm: more is seldom seen; common practice, no source.
const mostNitrate = 12000

// Remarks lists what whoever acts on a result must know of its data.
func (r *Result) Remarks(t Taken) (list []rx.Finding) {
	add := func(f rx.Finding) { list = append(list, f) }
	for _, m := range r.Missing {
		add(leftOut.Find(rx.Warning, told{m}))
	}
	n := len(r.Readings)
	if n < Fewest+1 {
		add(few.Find(rx.Warning, counted{n}))
	}
	if n >= Fewest && r.Estimate.Interval == nil {
		add(allSame.Find(rx.Warning, rx.Nothing{}))
	}
	if len(r.Few) > 0 {
		add(fewPoints.Find(rx.Warning, told{strings.Join(r.Few, "; ")}))
	}
	if len(r.Crossed) > 0 && r.What == Yield {
		add(crossed.Find(rx.Warning, told{strings.Join(r.Crossed, "; ")}))
	}
	inside := 0
	for i := range r.Readings {
		for _, m := range r.Readings[i].Means() {
			inside += m.Points
		}
	}
	if r.Over > inside {
		add(over.Find(rx.Warning, counted{r.Over}))
	}
	switch r.What {
	case Yield:
		list = append(list, r.ofYield(t)...)
	case Stalk:
		list = append(list, r.ofStalks()...)
	}
	return list
}

func (r *Result) ofYield(t Taken) (list []rx.Finding) {
	for _, one := range []struct {
		holds bool
		rule  rx.Rule[rx.Nothing]
	}{{t.Wet, looksWet}, {!t.Weigh, unweighed}, {t.Header.Whole && t.Header.Meters == 0, noHeader}} {
		if one.holds {
			list = append(list, one.rule.Find(rx.Warning, rx.Nothing{}))
		}
	}
	if t.NoPlace > 0 {
		list = append(list, noPlace.Find(rx.Warning, counted{t.NoPlace}))
	}
	even := 0.0
	if r.Profit != nil {
		even = r.Profit.BreakEven
	}
	if all := r.All; all != nil && (all.Verdict(0) != r.Estimate.Verdict(0) || all.Verdict(even) != r.Estimate.Verdict(even)) {
		list = append(list, cleaned.Find(rx.Warning, rx.Nothing{}))
	}
	return list
}

// ofStalks tells of samples that are not what they seem.
func (r *Result) ofStalks() (list []rx.Finding) {
	below, high := 0, 0
	for _, s := range r.Samples {
		if s.Below {
			below++
		}
		if s.PPM > mostNitrate {
			high++
		}
	}
	if below > 0 {
		list = append(list, undetected.Find(rx.Warning, counted{below}))
	}
	if high > 0 {
		list = append(list, nitrate.Find(rx.Warning, beyond{high, mostNitrate}))
	}
	return list
}

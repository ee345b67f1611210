package rx

import (
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Terms are what the prescription is held against: the label, what the user
// intends and what the plant has fixed.
type Terms struct {
	Label            *label.Profile
	Intended         unit.LiquidRate // the stabilizer rate that is wanted on the ground
	Loading          unit.Loading    // fixed by the plant; 0 if it is not
	RateError        unit.Ratio      // of the spreader, ±; 0 if it is not to be counted with
	RateErrorAssumed bool            // nobody gave the rate error: it is common practice
	AlreadyApplied   unit.LiquidRate // this season, before this pass
	LeaveOff         bool            // zones that can't be reached may stay untreated
	Units            unit.System     // decides how loadings are rounded
	Job              *equip.Job      // equipment, blend, prices; nil if not given
	OddLabel         []label.Problem // what is odd in the label profile
	OddJob           []label.Problem // likewise in the job file
}

// Verdict says how the stabilizer of one zone stands to the label range.
type Verdict uint8

// The verdicts.
const (
	Within Verdict = iota
	Below
	Above
	NoDry  // dry rate 0: nothing is applied
	NoRate // the record has no rate
	verdicts
)

// Verdicts lists the verdicts in the order in which they are shown.
func Verdicts() []Verdict { return []Verdict{Below, Within, Above, NoDry, NoRate} }

// String returns the verdict's name.
func (v Verdict) String() string {
	return [...]string{"within", "below", "above", "no-dry", "no-rate"}[v]
}

// Share is what one verdict amounts to.
type Share struct {
	Zones      int
	Area       unit.Area
	Dry        Range[unit.DryRate]
	Stabilizer Range[unit.LiquidRate]
}

// Assessment is the prescription held against the label as one impregnated
// blend at one loading.
type Assessment struct {
	Terms       Terms
	Range       Range[unit.LiquidRate] // of the label
	Loading     unit.Loading
	LoadingFrom string                 // "field-mean" or "given"
	OnLabel     Range[unit.DryRate]    // the dry rates that stay on label at Loading, by [Terms.DryWindow]
	WhyNoRate   string                 // the reason, where none does
	Window      *Range[unit.Loading]   // loadings that serve every treated zone; nil if none does
	WhyNoWindow string                 // the reason, where there is none
	Verdicts    []Verdict              // a zone each
	Tight       []bool                 // on label, but not with the spreader's rate error
	Shares      [verdicts]Share        // by Verdict
	Mass        unit.Mass              // of dry product
	Mean        unit.DryRate           // area-weighted, over treated zones
	Stabilizer  Range[unit.LiquidRate] // over treated zones
	MeanRate    unit.LiquidRate        // area-weighted, over treated zones
	Volume      unit.Volume            // of stabilizer
	Season      []bool                 // above the label's season maximum with what is applied already; nil if it has none
	Misfit      []unit.Area            // of each zone, what is too narrow or too short for the spreader, neighbors of equal rate joined; nil if nobody looked
	OverSeason  Share                  // of those within the label in this pass, what is above its season maximum
	Findings    []Finding
	Rules       []RuleRun
}

// OffLabel returns the area whose verdict is below or above, or that passes the
// season maximum.
func (a *Assessment) OffLabel() unit.Area {
	return a.Shares[Below].Area + a.Shares[Above].Area + a.OverSeason.Area
}

// PassesSeason reports whether zone i, an index, is above the label's season maximum
// with what is applied already.
func (a *Assessment) PassesSeason(i int) bool { return a.Season != nil && a.Season[i] }

// OffBySeason reports whether it is the season maximum alone that puts zone i off label.
func (a *Assessment) OffBySeason(i int) bool { return a.Verdicts[i] == Within && a.PassesSeason(i) }

// Off reports whether zone i is off label: below, above, or above the season maximum.
func (a *Assessment) Off(i int) bool {
	return a.Verdicts[i] == Below || a.Verdicts[i] == Above || a.OffBySeason(i)
}

// Flagged reports whether anything is worse than a note.
func (a *Assessment) Flagged() bool { return Flagged(a.Findings) }

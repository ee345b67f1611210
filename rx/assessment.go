package rx

import (
	"github.com/paulmach/orb"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Terms are what the prescription is held against: the label, what the user
// intends and what the plant has fixed.
type Terms struct {
	Label            *label.Profile
	Intended         unit.LiquidRate   // the stabilizer rate that is wanted on the ground
	IntendedAssumed  bool              // nobody gave it: it is the middle of the label's range
	Loading          unit.Loading      // fixed by the plant; 0 if it is not
	RateError        unit.Ratio        // of the spreader, ±; 0 if it is not to be counted with
	RateErrorAssumed bool              // nobody gave the rate error: it is common practice
	AlreadyApplied   unit.LiquidRate   // this season, before this pass; of a layer, what the worst treated zone has
	Already          []unit.LiquidRate // the same of each zone, where a layer says it; else nil
	NoRoom           []int             // of zones that get dry, by index, those in which a season's layer leaves less than the least of a label whose liquid a boom can spray; not all of them
	LeaveOff         bool              // zones that can't be reached may stay untreated
	KeepOuts         bool              // some were given, beside the zones of NoRoom, which LeaveOff keeps out of a liquid layer as well
	Units            unit.System       // decides how loadings are rounded
	Further          []JobLiquid       // beside the stabilizer
	Sprayed          bool              // the stabilizer goes on by a boom: the blend has the further liquids alone
	Strips           StripsAsked       // that are to stay without stabilizer in a liquid layer
	LeftOver         []unit.Loading    // of treated blend that goes onto a part of the ground as it came back, beside what is blended anew
	Job              *equip.Job        // equipment, blend, prices; nil if not given
	OddLabel         []label.Problem   // what is odd in the label profile
	OddJob           []label.Problem   // likewise in the job file
}

// KeptBy says what keeps ground out of a liquid layer, beside strips: keep-outs, zones that the
// season has no room for, or both.
func (t Terms) KeptBy() (keepOuts, season bool) {
	season = t.LeaveOff && len(t.NoRoom) > 0
	return t.KeepOuts || !season, season
}

// WhereKept names that ground, as what follows a verb.
func (t Terms) WhereKept() string {
	switch keepOuts, season := t.KeptBy(); {
	case !season:
		return "in the keep-outs"
	case !keepOuts:
		return "where the season has no room"
	}
	return "in the keep-outs and where the season has no room"
}

// Verdict says how the stabilizer of one zone stands to the label range.
type Verdict uint8

// The verdicts.
const (
	Within Verdict = iota
	Below
	Above
	NoDry     // dry rate 0: nothing is applied
	NoRate    // the record has no rate
	NotGraded // no label is given
	verdicts
)

// Verdicts lists the verdicts in the order in which they are shown.
func Verdicts() []Verdict { return []Verdict{Below, Within, Above, NoDry, NoRate} }

// String returns the verdict's name.
func (v Verdict) String() string {
	return [...]string{"within", "below", "above", "no-dry", "no-rate", "not-graded"}[v]
}

// Share is what one verdict amounts to.
type Share struct {
	Zones      int
	Area       unit.Area
	Dry        Range[unit.DryRate]
	Stabilizer Range[unit.LiquidRate]
}

// Graded is one liquid held against its label: one that is impregnated, on all of the dry
// at one loading; one for the boom's tank, at its one rate.
type Graded struct {
	Liquid      JobLiquid
	Range       Range[unit.LiquidRate] // of the label; 0 without one
	Loading     unit.Loading           // 0 for the boom's tank
	LoadingFrom string                 // "field-mean" or "given"
	OnLabel     Range[unit.DryRate]    // the dry rates that stay on label at Loading, by [Terms.OwnDryWindow]
	WhyNoRate   string                 // the reason, where none does
	Verdicts    []Verdict              // a zone each
	Tight       []bool                 // on label, but not with the spreader's rate error
	Shares      [verdicts]Share        // by Verdict
	Stabilizer  Range[unit.LiquidRate] // of the liquid, over treated zones
	MeanRate    unit.LiquidRate        // area-weighted, over treated zones
	Volume      unit.Volume            // of the liquid
	Season      []bool                 // above the label's season maximum with what is applied already; nil if it has none
	Misfit      []unit.Area            // of each zone, what is too narrow or too short for the spreader, neighbors of equal rate joined; nil if nobody looked
	OverSeason  Share                  // of those within the label in this pass, what is above its season maximum
}

// Rate returns what the liquid puts on a zone.
func (g *Graded) Rate(z Zone) unit.LiquidRate {
	switch {
	case g.Liquid.On != equip.OnBoom:
		return unit.StabilizerRate(g.Loading, z.Carrier)
	case z.Dry > 0:
		return g.Liquid.Intended
	}
	return 0
}

// Assessment is the prescription held against the label as one impregnated
// blend at one loading, with the further liquids of the job.
type Assessment struct {
	Terms       Terms
	Graded                           // the stabilizer
	Further     []Graded             // in the order of the terms
	OffFurther  unit.Area            // where the stabilizer is on label and a further liquid is not
	Window      *Range[unit.Loading] // loadings of stabilizer that serve every treated zone, with all liquids on label; nil if none does
	WhyNoWindow string               // the reason, where there is none
	Mass        unit.Mass            // of dry product
	Mean        unit.DryRate         // area-weighted, over treated zones
	Findings    []Finding
	Rules       []RuleRun
}

// OneLoading reports whether the window is a single loading: no other serves every zone.
func (a *Assessment) OneLoading() bool {
	return a.Window != nil && a.Window.Max <= a.Window.Min*(1+1e-9)
}

// Liquids lists what was graded, the stabilizer first.
func (a *Assessment) Liquids() []*Graded {
	list := []*Graded{&a.Graded}
	for i := range a.Further {
		list = append(list, &a.Further[i])
	}
	return list
}

// OffLabel returns the area where the verdict of a liquid is below or above, or that passes
// its season maximum.
func (a *Assessment) OffLabel() unit.Area {
	return a.Shares[Below].Area + a.Shares[Above].Area + a.OverSeason.Area + a.OffFurther
}

// PassesSeason reports whether zone i, an index, is above the label's season maximum
// with what is applied already.
func (g *Graded) PassesSeason(i int) bool { return g.Season != nil && g.Season[i] }

// OffBySeason reports whether it is the season maximum alone that puts zone i off label. Its
// verdict is that of the pass, and it is shown as a class of its own.
func (g *Graded) OffBySeason(i int) bool { return g.Verdicts[i] == Within && g.PassesSeason(i) }

// Off reports whether zone i is off label: below, above, or above the season maximum.
func (g *Graded) Off(i int) bool {
	return g.Verdicts[i] == Below || g.Verdicts[i] == Above || g.OffBySeason(i)
}

// Flagged reports whether anything is worse than a note.
func (a *Assessment) Flagged() bool { return Flagged(a.Findings) }

// Patch is connected ground of one verdict, off label: zones that share an edge.
type Patch struct {
	Verdict Verdict
	Season  bool  // on label in this pass, but above the season maximum
	Zones   []int // their numbers, ascending; one of several parts can be in several patches
	Area    unit.Area
	Dry     Range[unit.DryRate] // of what is impregnated
	Place   orb.Point           // well inside, lon/lat
}

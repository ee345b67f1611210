package rx

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Decision is what somebody acts on: whether the blend may be impregnated as one, and
// which way releases the prescription. Its findings are told by package tell.
type Decision struct {
	Blend      Finding    // whether to impregnate it as one
	Impregnate bool       // do: every liquid is on its label as graded, with room for the rate error, and nothing forbids it
	Room       unit.Ratio // of the blend as graded: how far rates may be off on label; 0 if it is off label
	Best       *Way       // the first that can be taken; nil if none can
	Way        *Finding   // what the best one does, or that none can be taken; nil if nothing is to be treated
}

// The cases of a blend that is graded as one. Each has a first line of its own.
var (
	blendEmpty   = NewRule[Nothing]("blend/nothing to treat", AboutLabel, NoPlan)
	blendOn      = NewRule[blend]("blend/on label", AboutLabel, NoPlan)
	blendTight   = NewRule[blend]("blend/tight", AboutLabel, NoPlan)
	blendOff     = NewRule[blend]("blend/off label", AboutLabel, NoPlan)
	blendRefused = NewRule[blend]("blend/refused", AboutLabel, NoPlan)
	wayDone      = NewRule[wayDecision]("way-decision", AboutPlan, NoPlan)
	wayNone      = NewRule[noWay]("way-decision/none", AboutPlan, NoPlan)
)

// blend is the whole blend at one loading, in acres.
type blend struct {
	Treated, Off, Season, Tight unit.Area

	Further         unit.Area // of Off, where further liquids alone are off their own labels
	AllOff          bool      // Off is all of Treated
	AllBySeason     bool      // Off is the ground of Season
	Passing         unit.Area // the season maximum, whatever else is wrong there; Season is of it
	AlreadyApplied  unit.LiquidRate
	SeasonLeaves    unit.LiquidRate // of Intended, where that is less and the label still allows it; else 0
	Intended        unit.LiquidRate
	Sides           []side  // of the label that it is off on
	AllOnOneSide    bool    // Off is the ground of the one side
	OneSide         Verdict // which that is, where it is all
	Label           Range[unit.LiquidRate]
	Loading         string // of the plant or the field's mean, as a meter reads it
	Other           string // a loading that keeps every treated acre on label, where this one does not, or leaves more room
	Unread          string // the same, where no meter reads it; Other is empty then
	Room, RateError unit.Ratio
	Assumed         bool     // the rate error
	First           bool     // the way that impregnates it as one comes first
	Why             string   // it must not be impregnated, though rates are on label
	Ungraded        []string // further liquids on it without a label
}

// side is what is off on one side of the label.
type side struct {
	Acres   unit.Area
	Verdict Verdict
}

// wayDecision is what a way does to the field, in acres.
type wayDecision struct {
	Title            string
	State            State
	Rate             Range[unit.LiquidRate] // on Ground
	Ground           unit.Area              // that gets stabilizer
	Low, Cost        string                 // its cost at the lower end, where that is another, and at the upper end; empty if unknown
	Unpriced         bool                   // in part
	Changed          int                    // zones that get another dry rate
	ChangedGround    unit.Area
	Added            unit.Mass
	Removed          unit.Mass
	KeptOut          unit.Area // gets dry, but lies in keep-outs
	Untreated        unit.Area // likewise, in strips that are left without stabilizer
	LeftZones        []int
	LeftOff          unit.Area
	Undeliverable    unit.Area
	NothingDelivered bool            // the spreader can't deliver any of what gets dry
	Assumed          unit.LiquidRate // the intended rate, where nobody gave it; else 0
}

// noWay is why none can be taken, where one reason stands against all.
type noWay struct{ Why string }

// Decide works the decision out of what is graded and of ways, the best first.
func Decide(p *Prescription, a *Assessment, ways []Way) Decision {
	d := Decision{}
	if len(ways) > 0 && ways[0].Possible() {
		d.Best = &ways[0]
		d.Way = new(DecisionOf(p, ways[0]))
	}
	if a.Loading == 0 {
		d.Blend = blendEmpty.Find(Note, Nothing{})
		return d
	}
	if d.Way == nil && len(ways) > 0 {
		none := noWay{Why: ways[0].Why}
		if slices.ContainsFunc(ways, func(w Way) bool { return w.Why != none.Why }) {
			none.Why = ""
		}
		d.Way = new(wayNone.Find(Warning, none))
	}
	b := blend{
		Treated: p.TreatedArea(), Off: a.OffLabel(), AlreadyApplied: a.Terms.AlreadyApplied, Season: a.OverSeason.Area, Passing: a.passing(p), Further: a.OffFurther,
		Label: a.Range, Loading: a.Terms.LoadingText(a.Loading), RateError: a.Terms.RateError, Assumed: a.Terms.RateErrorAssumed,
	}
	b.AllOff, b.AllBySeason = b.Off > b.Treated*(1-1e-9), b.Season > 0 && b.Season > b.Off*(1-1e-9)
	if pass, why := a.Terms.PassRange(); why == "" && pass.Over(a.Terms.Intended) {
		b.SeasonLeaves, b.Intended = pass.Max, a.Terms.Intended
	}
	for _, v := range []Verdict{Below, Above} {
		if area := a.Shares[v].Area; area > 0 {
			b.Sides = append(b.Sides, side{area, v})
			if area > b.Off*(1-1e-9) {
				b.AllOnOneSide, b.OneSide = true, v
			}
		}
	}
	liquids := a.Liquids()
	for i, z := range p.Zones {
		if tightOnBlend(liquids, i) {
			b.Tight += z.Area
		}
	}
	if b.Off == 0 {
		d.Room = a.blendRoom()
	}
	for _, l := range a.Terms.FurtherOn(equip.OnBlend) {
		if l.Label == nil {
			b.Ungraded = append(b.Ungraded, l.Name)
		}
	}
	b.Room = unit.Ratio(math.Floor(float64(d.Room/roomStep)+leeway)) * roomStep
	for _, w := range ways {
		called, _ := equip.WayOf(w.Name)
		b.First = b.First || called.Whole && w.Name == ways[0].Name
		switch {
		case !called.Whole:
		case !w.Possible():
			b.Why = w.Why
		case w.LeftOff == 0 && (b.Off > 0 || w.Room > d.Room+leeway) && a.Terms.LoadingText(w.Loads[0].Loading) != b.Loading:
			b.Other = a.Terms.LoadingText(w.Loads[0].Loading)
			if dose := a.Terms.Dose(w.Loads[0].Loading); dose.Read != dose.Exact && b.Off > 0 {
				b.Other, b.Unread = "", unit.Thousands(dose.Exact.Text(a.Terms.Units))
			}
		}
	}
	switch {
	case b.Off > 0:
		d.Blend = blendOff.Find(Warning, b)
	case b.Why != "":
		d.Blend = blendRefused.Find(Warning, b)
	case b.Tight > 0:
		d.Blend = blendTight.Find(Warning, b)
	default:
		d.Blend, d.Impregnate = blendOn.Find(Note, b), len(b.Ungraded) == 0
	}
	return d
}

// passing adds up the ground on which the stabilizer would pass its season maximum.
func (a *Assessment) passing(p *Prescription) (sum unit.Area) {
	for i, z := range p.Zones {
		if a.PassesSeason(i) {
			sum += z.Area
		}
	}
	return sum
}

// blendRoom is how far rates may be off for every liquid of the blend to stay on label; all
// are on it.
func (a *Assessment) blendRoom() unit.Ratio {
	room := unit.Ratio(math.Inf(1))
	for _, g := range a.Liquids() {
		if pass, _ := a.Terms.Pass(g.Liquid); g.onBlend() && g.Liquid.Label != nil {
			room = min(room, unit.Ratio(min(1-pass.Min/g.Stabilizer.Min, pass.Max/g.Stabilizer.Max-1)))
		}
	}
	return max(0, room)
}

// tightOnBlend reports whether one of the liquids is of the blend and on label in zone i, an index,
// but not with the rate error, and none of the blend is off label there.
func tightOnBlend(liquids []*Graded, i int) (tight bool) {
	for _, g := range liquids {
		if g.onBlend() {
			if g.Off(i) {
				return false
			}
			tight = tight || g.Tight[i]
		}
	}
	return tight
}

func (g *Graded) onBlend() bool { return g.Liquid.On == equip.OnBlend }

// DecisionOf says of a way that can be taken what it does to the field.
func DecisionOf(p *Prescription, w Way) Finding {
	d := wayDecision{
		Title: w.Title(), State: w.State, Rate: w.Rate, Ground: w.Sprayed, LeftZones: w.LeftZones, LeftOff: w.LeftOff,
		Untreated: w.Untreated, Undeliverable: w.Undeliverable, Changed: len(w.ChangedZones), ChangedGround: w.Changed, Added: w.DryAdded, Removed: w.DryRemoved, Assumed: w.Assumed, NothingDelivered: w.Undeliverable >= p.DryArea()*(1-1e-9),
	}
	for _, l := range w.Loads {
		if l.Loading > 0 { // the dry of a wet boom may carry further liquids alone
			d.Ground += l.Area
		}
	}
	if w.Sprayed > 0 {
		dry := unit.Area(p.sum(func(z Zone) float64 {
			if z.Dry > 0 {
				return float64(z.Area)
			}
			return 0
		}))
		if kept := dry - w.Sprayed - w.Untreated - w.LeftOff; kept > leastKeptOut {
			d.KeptOut = kept
		}
	}
	if c := w.Cost; c != nil {
		d.Cost, d.Unpriced = unit.Cents(unit.Money(c.High)), len(c.Missing) > 0
		if low := unit.Cents(unit.Money(c.Low)); low != d.Cost {
			d.Low = low
		}
	}
	return wayDone.Find(Note, d)
}

// roomStep is what room is rounded down to where it is told.
const roomStep = unit.Percent / 10

// leastKeptOut is how much ground, in acres, is more than the rounding of sums: 40 cm².
const leastKeptOut = 1e-6

// Answer says why what a rule puts in doubt is meant as it stands.
type Answer struct{ Rule, Reason string }

// Accepted is a doubt that somebody has answered. It holds for this finding alone: for its
// rule, its zones, and the source in which it was found.
type Accepted struct {
	Finding
	Reason string
}

// Accept gives each doubt among findings its answer. It returns those that have one, those
// that are open, and the answers that answer nothing.
func Accept(findings []Finding, answers []Answer) (accepted []Accepted, open []Finding, idle []Answer) {
	used := make([]bool, len(answers))
	for _, f := range findings {
		if !f.Doubt() {
			continue
		}
		at := slices.IndexFunc(answers, func(a Answer) bool { return a.Rule == f.Rule() })
		if at < 0 {
			open = append(open, f)
			continue
		}
		used[at] = true
		accepted = append(accepted, Accepted{f, answers[at].Reason})
	}
	for i, a := range answers {
		if !used[i] {
			idle = append(idle, a)
		}
	}
	return accepted, open, idle
}

// WorstFirst returns findings by their severity, and leaves their order else.
func WorstFirst(findings []Finding) []Finding {
	return slices.SortedStableFunc(slices.Values(findings), func(a, b Finding) int { return int(b.Severity) - int(a.Severity) })
}

// DoubtsFirst puts the doubts before the other findings, and leaves their order else.
func DoubtsFirst(findings []Finding) {
	slices.SortStableFunc(findings, func(a, b Finding) int {
		switch {
		case a.Doubt() == b.Doubt():
			return 0
		case a.Doubt():
			return -1
		}
		return 1
	})
}

// Reason returns why a doubt was accepted for the plan; empty if it was not.
func (p *Plan) Reason(f Finding) string {
	for _, a := range p.Accepted {
		if a.Finding.Equal(f) {
			return a.Reason
		}
	}
	return ""
}

// Approval is who released a plan, when, and by which way. It is a record and no lock:
// nobody is kept from working without one, and nobody proves by it who they are.
type Approval struct {
	Plan    string    // the plan's digest of itself, 64 hex digits, as its manifest has it
	Way     WayName   // the way that the plan takes
	By      string    // whoever approves
	License string    // of the applicator, as written; may be empty
	Note    string    // may be empty
	At      time.Time // to the second
}

// longestSaid is how many bytes a name, a license or a note may have: a line or a short
// paragraph, which fits on the release card.
const longestSaid = 400

// Check returns what is wrong with what a person has said of an approval: no name, text
// that is longer than 400 bytes, or that has line breaks and other characters that don't print.
func (a Approval) Check() error {
	if strings.TrimSpace(a.By) == "" {
		return errors.New("nobody is named who approves")
	}
	for _, said := range []struct{ what, text string }{{"name", a.By}, {"license", a.License}, {"note", a.Note}} {
		if len(said.text) > longestSaid {
			return fmt.Errorf("the %s has %d bytes, the most is %d", said.what, len(said.text), longestSaid)
		}
		if strings.ContainsFunc(said.text, func(r rune) bool { return !unicode.IsPrint(r) }) || !utf8.ValidString(said.text) {
			return fmt.Errorf("the %s has a line break or another character that doesn't print", said.what)
		}
	}
	return nil
}

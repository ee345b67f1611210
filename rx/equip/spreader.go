package equip

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// Spreader is a dry spreader. One from a job file has a swath above 0 and speeds in
// order; a rate at which the controller falls back may be 0.
type Spreader struct {
	Swath       unit.Length                            `yaml:"swath,required" above:"0"`
	Speed       Speeds                                 `yaml:"speed,required"`
	Rates       label.Known[label.Range[unit.DryRate]] `yaml:"rates"`           // what it can spread at the usual speed, of each product that has a bin of its own
	Bins        int                                    `yaml:"bins"`            // 1 or 2
	RateError   label.Known[unit.Ratio]                `yaml:"rate-error"`      // ±
	RateChange  label.Known[unit.Time]                 `yaml:"rate-change"`     // from one rate to the next
	DefaultRate label.Known[unit.DryRate]              `yaml:"default-rate"`    // outside every zone
	LostRate    label.Known[unit.DryRate]              `yaml:"lost-rate"`       // when the position is lost
	Turn        label.Known[unit.Time]                 `yaml:"turn"`            // from one swath into the next
	Sections    int                                    `yaml:"sections"`        // as those of a boom
	Truck       label.Known[unit.Mass]                 `yaml:"truck" above:"0"` // what one load carries
	PanTests    []PanTest                              `yaml:"pan-test"`        // one for each rate that was tested
}

// MassFlow returns what the spreader delivers at a rate and a speed: lb/min =
// lb/ac · mph · ft / 495, by definition of the acre and the mile.
func (s Spreader) MassFlow(rate unit.DryRate, speed unit.Speed) unit.MassFlow {
	return unit.MassFlow(float64(rate) * float64(speed) * float64(s.Swath) / 495)
}

// BulkFlow returns the room that a flow of product of a bulk density takes: ft³/min =
// lb/min ÷ lb/ft³.
func BulkFlow(flow unit.MassFlow, density unit.Density) unit.BulkFlow {
	return unit.BulkFlow(float64(flow) / float64(density/unit.PoundPerCubicFoot))
}

// Covers returns how long the spreader takes for an area at its usual speed, without turns.
func (s Spreader) Covers(a unit.Area) unit.Time { return timeFor(a, s.Swath, s.Speed.Usual) }

// RateChangeDistance returns how far the machine drives while the rate changes:
// 1.466667 · mph · s in feet, by definition of the mile.
func RateChangeDistance(speed unit.Speed, change unit.Time) unit.Length {
	return unit.Length(88 * float64(speed) * float64(change))
}

// Transitions of rate take 3 to 5 s. [UGA Cooperative Extension, Variable-Rate
// Fertilizer Application Considerations, 2024]
const (
	ShortRateChange = 3 * unit.Second
	LongRateChange  = 5 * unit.Second
)

// UsualTurn is how long a machine takes from the end of a swath into the next one; common
// practice, no source.
const UsualTurn = 20 * unit.Second

// UsualRateError is how far a spreader's rate may be off, up or down, where nobody says
// it; common practice, no source. A pan test doesn't stand for it: that tells how even
// the pattern is.
const UsualRateError = 5 * unit.Percent

// ChangeDistance returns how far the spreader drives at its usual speed while the
// rate changes; with an unknown time, the longest usual one counts.
func (s Spreader) ChangeDistance() unit.Length {
	return RateChangeDistance(s.Speed.Usual, s.RateChange.Or(LongRateChange))
}

// limitLeeway is how far beyond a limit of the spreader's rates is still on it; common practice,
// no source. Limits are told in round figures, and a rate that was converted, or is what
// others leave of the dry rate, misses one by its rounding.
const limitLeeway = 0.001

// Delivered returns what a spreader really applies of a rate: that rate where it can spread
// it, to 0.1 % of its limits, and else the nearest that it can. A rate of 0 stays 0.
func (s Spreader) Delivered(rate unit.DryRate) unit.DryRate {
	limits, ok := s.Rates.Get()
	if !ok || rate <= 0 || rate >= limits.Min*(1-limitLeeway) && rate <= limits.Max*(1+limitLeeway) {
		return rate
	}
	return min(max(rate, limits.Min), limits.Max)
}

// TwoBins reports whether the spreader carries two products at once.
func (s Spreader) TwoBins() bool { return s.Bins == 2 }

// Loads returns how many truck loads a mass takes and what each of them carries,
// all equal; not known without the truck's capacity.
func (s Spreader) Loads(m unit.Mass) (count int, each unit.Mass, known bool) {
	truck, ok := s.Truck.Get()
	if !ok {
		return 0, 0, false
	}
	return equalParts(m, truck)
}

// Whole divides batches of one weight over trucks, none of them parted: how many a truck carries, in how many
// loads, and how many are on the last; 0 where no truck is known, or it carries less than a batch.
func (s Spreader) Whole(batches int, each unit.Mass) (full, loads, last int) {
	if full = min(int(s.Truck.Or(0)/each), batches); full < 1 {
		return 0, 0, 0
	}
	loads = (batches + full - 1) / full
	return full, loads, batches - (loads-1)*full
}

// PanTest is what pans in a line across the machine's way have caught: equally far
// apart, in their order from the left, the middle of the line under the middle of
// the machine. One from a job file has [fewestPans] to [mostPans] pans, one of which
// has caught something, and a spacing above 0.
type PanTest struct {
	Rate    label.Known[unit.DryRate] `yaml:"rate"` // that was set
	Passes  panPasses                 `yaml:"passes,required"`
	Spacing unit.Length               `yaml:"spacing,required" above:"0"` // from the middle of a pan to that of the next
	Caught  []Catch                   `yaml:"caught,required"`
}

// How many pans a test may have.
const (
	fewestPans = 3
	mostPans   = 201
)

// panPasses says which passes are in the catches of a test.
type panPasses string

// The passes of a test.
const (
	SinglePass panPasses = "single"     // one pass over the middle of the line: swaths are worked out from it
	Overlapped panPasses = "overlapped" // those a swath to the left and to the right as well
)

// Choices lists the words that can be entered.
func (panPasses) Choices() []string { return []string{string(SinglePass), string(Overlapped)} }

// Catch is what one pan has caught, by weight, volume or the height in a tube: a
// pattern compares catches, and all of a test are in one unit.
type Catch float64

// UnmarshalText takes a number of 0 or more, without a unit.
func (c *Catch) UnmarshalText(b []byte) error {
	const most = 1e9
	v, err := strconv.ParseFloat(strings.TrimSpace(string(b)), 64)
	if err != nil || !(v >= 0 && v <= most) {
		return fmt.Errorf("%q is not what a pan can have caught: want a number without a unit, such as 12.5", b)
	}
	*c = Catch(v)
	return nil
}

// Place returns how far pan i, from 0, stands from the middle of the machine, to the
// left below 0.
func (t PanTest) Place(i int) unit.Length {
	return unit.Length(unit.Length(float64(i)-float64(float64(len(t.Caught)-1)/2)) * t.Spacing)
}

// throw returns the width from the first to the last pan that has caught anything,
// each counted with half the way to its neighbors.
func (t PanTest) throw() unit.Length {
	first, last := -1, -1
	for i, c := range t.Caught {
		if c > 0 {
			last = i
			if first < 0 {
				first = i
			}
		}
	}
	if first < 0 {
		return 0
	}
	return unit.Length(last-first+1) * t.Spacing
}

// cutOff is what the outermost pans of a single pass may have caught of the highest
// catch, before product is likely to have fallen beyond them; common practice, no
// source.
const cutOff = 10 * unit.Percent

// CutOff reports whether a single pass was thrown farther than the pans stand.
func (t PanTest) CutOff() bool {
	if t.Passes != SinglePass || len(t.Caught) == 0 {
		return false
	}
	ends := max(t.Caught[0], t.Caught[len(t.Caught)-1])
	return ends > slices.Max(t.Caught)*Catch(cutOff)
}

// panTests looks at the pan tests of a spreader: what can't be a test is an error;
// what it says against the swath is a warning.
func (p *problems) panTests(s Spreader) {
	for i, t := range s.PanTests {
		key := fmt.Sprintf("spreader.pan-test[%d]", i+1)
		if p.noPanTest(t, key) || !(s.Swath > 0) {
			continue
		}
		p.warnIf(t.CutOff(), "pattern", key+".caught",
			fmt.Sprintf("the outermost pans have caught more than %s of the highest catch: product has flown beyond them; put pans farther out and test again", cutOff.Brief(p.s)))
		line := unit.Length(len(t.Caught)) * t.Spacing
		p.warnIf(t.Passes == Overlapped && line < s.Swath*9/10, "pattern", key+".spacing",
			fmt.Sprintf("%d pans %s apart stand on %s of the swath of %s: they say nothing of the rest", len(t.Caught), t.Spacing.Brief(p.s), line.Brief(p.s), s.Swath.Brief(p.s)))
		at, known := t.At(s.Swath)
		p.warnIf(!known, "pattern", key+".spacing", fmt.Sprintf("%s is too wide for a swath of %s: fewer than %d pans stand in it", t.Spacing.Brief(p.s), s.Swath.Brief(p.s), fewestPans))
		p.warnIf(known && at.CV() > SatisfactoryCV, "pattern-cv", key+".caught", t.Tell(s.Swath, p.s))
	}
}

// noPanTest fails what can't be a pan test.
func (p *problems) noPanTest(t PanTest, key string) bool {
	before := len(p.list)
	n := len(t.Caught)
	p.failIf(n < fewestPans || n > mostPans, "pans", key+".caught", fmt.Sprintf("has %d catches: a pattern takes %d to %d", n, fewestPans, mostPans))
	caught := slices.ContainsFunc(t.Caught, func(c Catch) bool { return c > 0 })
	p.failIf(n > 0 && !caught, "pans", key+".caught", "no pan has caught anything: write what each one caught, from the left to the right")
	return len(p.list) > before || !(t.Spacing > 0)
}

// Tell says in one sentence how even the pattern is at a swath and, where it tells,
// at which swath it is most even and up to which it is satisfactory.
func (t PanTest) Tell(swath unit.Length, s unit.System) string {
	at, known := t.At(swath)
	if !known {
		return fmt.Sprintf("no CV at the swath of %s: too few pans stand in it", swath.Brief(s))
	}
	text := fmt.Sprintf("CV %s at the swath of %s, %s%s", CVText(at.CV()), swath.Brief(s), CVWord(at.CV()), t.waysText(at))
	list := t.Patterns()
	if best, ok := Lowest(list); ok {
		text += fmt.Sprintf("; lowest %s at %s", CVText(best.CV()), best.Swath.Brief(s))
		if widest, ok := WidestWithin(list, SatisfactoryCV); ok {
			text += fmt.Sprintf("; satisfactory, up to %s, as wide as %s", SatisfactoryCV.Brief(s), widest.Swath.Brief(s))
		} else {
			text += fmt.Sprintf("; at no swath from %s to %s is it %s or less", list[0].Swath.Brief(s), list[len(list)-1].Swath.Brief(s), SatisfactoryCV.Brief(s))
		}
	}
	return text
}

// waysText tells the two ways of driving apart where they differ.
func (t PanTest) waysText(at pattern) string {
	if CVText(at.BackAndForth) == CVText(at.InRounds) {
		return ""
	}
	return fmt.Sprintf(" (back and forth %s, in rounds %s)", CVText(at.BackAndForth), CVText(at.InRounds))
}

// CVText prints a coefficient of variation with one decimal.
func CVText(cv unit.Ratio) string { return fmt.Sprintf("%.1f %%", cv.In(unit.US)) }

package report

import (
	"fmt"
	"math"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/internal/each"
	"rxsplit/rx/read"
	"rxsplit/rx/readout"
	"rxsplit/rx/write"
)

// Readout is what untreated strips say, with what it was worked out from.
type Readout struct {
	Results   []readout.Result // the yield's first; empty where fields are joined
	Fields    []ReadoutField   // that are joined, in their order
	Pooled    *readout.Pooled
	BreakEven *float64 // difference of yield at which treating pays for itself
	Unit      string   // of yield, such as "bu/ac"
	Money     *read.Money
	Limits    readout.StalkLimits
	readout.Taken
	Version    string
	Inputs     []write.Input
	Parameters map[string][]string // what else decides the result
}

// ReadoutField is one of the fields that are joined.
type ReadoutField struct {
	Name     string
	Readings []readout.Reading
	Estimate readout.Estimate
}

// ReadoutCaution stands under every read-out.
const ReadoutCaution = "One field, one year: it promises nothing for another. The label in hand and local rules come first."

// UnitOf is the unit of a result's values.
func (r Readout) UnitOf(what string) string {
	switch what {
	case readout.Index:
		return "of the index"
	case readout.Stalk:
		return "ppm nitrate-N"
	}
	return r.Unit
}

// Signed prints a difference with its sign, an index with more decimals.
func Signed(what string, v float64) string {
	decimals := 2
	if what == readout.Index {
		decimals = 4
	}
	text := figures.Fixed(v, decimals)
	if v > 0 {
		text = "+" + text
	}
	return text
}

// Between prints an interval.
func Between(what string, r *readout.Range) string {
	if r == nil {
		return "no interval"
	}
	return Signed(what, r.Low) + " to " + Signed(what, r.High)
}

// LevelText prints a level.
func LevelText(level float64) string { return figures.Trim(math.Round(1e6*level)/1e4) + " %" }

// ReadoutText says in plain words what one result comes to.
func ReadoutText(r Readout, one readout.Result) string {
	e, unit := one.Estimate, r.UnitOf(one.What)
	mean, span := Signed(one.What, e.Mean), Between(one.What, e.Interval)
	n := figures.Plural(len(e.Differences), "replicate", "replicates")
	if one.What == readout.Index {
		unit += ofUntreated(one)
	}
	switch v := e.Verdict(0); {
	case one.What == readout.Stalk:
		return stalkText(e)
	case e.Interval == nil:
		return fmt.Sprintf("Cannot be told: treated less untreated is %s %s, without an interval, from %s. Want 4 at least, better 6.", mean, unit, n)
	case v == readout.Untold:
		return fmt.Sprintf("Cannot be told: treated less untreated is %s %s; with %s confidence it lies from %s, which holds 0 (%s).", mean, unit, LevelText(e.Level), span, n)
	case one.What == readout.Index:
		return fmt.Sprintf("Treated has %s than untreated: %s %s, with %s confidence from %s (%s).", v, mean, unit, LevelText(e.Level), span, n)
	default:
		return fmt.Sprintf("Treated yielded %s than untreated: %s %s, with %s confidence from %s (%s).", v, mean, unit, LevelText(e.Level), span, n)
	}
}

// ofUntreated is a mean difference as a share of what the untreated strips have; empty where
// they have nothing that a share could be of.
func ofUntreated(one readout.Result) string {
	sum := 0.0
	for _, d := range one.Readings {
		sum += d.Untreated.Value
	}
	if !(sum > 0) {
		return ""
	}
	share := 100 * one.Estimate.Mean * float64(len(one.Readings)) / sum
	return fmt.Sprintf(" (%s %% of the untreated)", Signed(readout.Yield, share))
}

// stalkText tells of ratios: the differences are of logarithms.
func stalkText(e readout.Estimate) string {
	ratio := figures.Fixed(readout.Ratio(e.Mean), 2)
	if e.Interval == nil {
		return fmt.Sprintf("Cannot be told: nitrate-N in treated stalks is %s times that in untreated ones, and no interval from %s.", ratio, figures.Plural(len(e.Differences), "replicate", "replicates"))
	}
	span := fmt.Sprintf("%s to %s times with %s confidence", figures.Fixed(readout.Ratio(e.Interval.Low), 2), figures.Fixed(readout.Ratio(e.Interval.High), 2), LevelText(e.Level))
	if e.Verdict(0) == readout.Untold {
		return fmt.Sprintf("Cannot be told: nitrate-N in treated stalks is %s times that in untreated ones; %s, which holds 1.", ratio, span)
	}
	return fmt.Sprintf("Treated stalks hold %s nitrate-N than untreated: %s times as much; %s.", e.Verdict(0), ratio, span)
}

// ProfitText says whether treating paid.
func ProfitText(r Readout, one readout.Result) string {
	p := one.Profit
	if p == nil {
		return ""
	}
	size := fmt.Sprintf("%s %s after its cost", Signed(readout.Yield, p.Mean), r.Money.Per)
	even := fmt.Sprintf("it breaks even at %s %s", figures.Fixed(p.BreakEven, 2), r.Unit)
	switch {
	case p.Interval == nil:
		return fmt.Sprintf("Whether treating paid cannot be told: %s, without an interval; %s.", size, even)
	case p.Verdict == readout.Untold:
		return fmt.Sprintf("Whether treating paid cannot be told: %s, from %s; %s.", size, Between(readout.Yield, p.Interval), even)
	case p.Verdict == readout.More:
		return fmt.Sprintf("Treating paid: %s, from %s; %s (one-sided p %s).", size, Between(readout.Yield, p.Interval), even, pText(1-p.Chance))
	}
	return fmt.Sprintf("Treating did not pay: %s, from %s; %s (one-sided p %s).", size, Between(readout.Yield, p.Interval), even, pText(p.Chance))
}

// pText prints a p value with four decimals, and never as nothing.
func pText(p float64) string {
	if text := figures.Fixed(p, 4); text != "0.0000" {
		return text
	}
	return "under 0.0001"
}

// PooledText says what joined fields come to.
func PooledText(r Readout) []string {
	p := r.Pooled
	n := figures.Plural(p.Fields, "field or year", "fields or years")
	if p.Interval == nil {
		return []string{fmt.Sprintf("Cannot be told: a mean difference of %s %s over %s, and no interval from so few; want %d at least.", Signed(readout.Yield, p.Mean), r.Unit, n, readout.Fewest)}
	}
	first := fmt.Sprintf("over %s, treated less untreated is %s %s, %s with %s confidence.", n, Signed(readout.Yield, p.Mean), r.Unit, Between(readout.Yield, p.Interval), LevelText(p.Level))
	if p.Verdict(0) == readout.Untold {
		first = "Cannot be told: " + first
	} else {
		first = "Treated yields " + p.Verdict(0).String() + ": " + first
	}
	list := []string{first, fmt.Sprintf("True differences vary between fields by some %s %s (standard deviation).", figures.Fixed(math.Sqrt(p.Tau2), 2), r.Unit)}
	if r.BreakEven != nil {
		list = append(list, fmt.Sprintf("%s On the mean of such fields, the chance that treating pays at these prices is %s %%; it breaks even at %s %s.",
			map[readout.Verdict]string{readout.More: "It pays.", readout.Less: "It does not pay.", readout.Untold: "Whether it pays cannot be told."}[p.Verdict(*r.BreakEven)],
			figures.Fixed(100*p.Chance(*r.BreakEven), 1), figures.Fixed(*r.BreakEven, 2), r.Unit))
	}
	return list
}

// WithoutOneText says how far the mean hangs on one replicate.
func WithoutOneText(one readout.Result) string {
	without := one.Estimate.LeaveOneOut()
	return fmt.Sprintf("Without any one replicate the mean lies from %s to %s.", Signed(one.What, without.Low), Signed(one.What, without.High))
}

// Replicates lists the replicates of a result: its number, what each of its strips has, and their
// difference. The head names all but the number; treated strips stand in the order of their file.
func (r Readout) Replicates(one readout.Result) (head []string, rows [][]string) {
	head = []string{"untreated", "treated A", "treated B", "difference"}
	if one.What == readout.Stalk {
		head[3] = "ratio"
	}
	for _, d := range one.Readings {
		row := []string{fmt.Sprint(d.Rep)}
		for _, m := range d.Means() {
			row = append(row, r.valueText(one.What, m.Value))
		}
		difference := Signed(one.What, d.Difference)
		if one.What == readout.Stalk {
			difference = figures.Fixed(readout.Ratio(d.Difference), 2)
		}
		rows = append(rows, append(row, difference))
	}
	return head, rows
}

func (r Readout) valueText(what string, v float64) string {
	switch what {
	case readout.Stalk:
		return figures.Thousands(figures.Fixed(v, 0)) + " " + r.Limits.Class(v)
	case readout.Index:
		return figures.Fixed(v, 4)
	}
	return figures.Fixed(v, 2)
}

// Joined lists the fields that are joined: name, replicates, difference, interval and verdict.
func (r Readout) Joined() [][]string {
	return each.Of(r.Fields, func(f ReadoutField) []string {
		e := f.Estimate
		return []string{f.Name, fmt.Sprint(len(e.Differences)), Signed(readout.Yield, e.Mean), Between(readout.Yield, e.Interval), e.Verdict(0).String()}
	})
}

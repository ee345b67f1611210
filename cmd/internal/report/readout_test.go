package report

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rxsplit/rx/read"
	"rxsplit/rx/readout"
)

// What a read-out says in words: a difference is told where its interval holds no 0, a ratio where it holds no 1,
// with as many digits as its kind has; without an interval nothing is.
func TestWhatReadoutsSay(t *testing.T) {
	between := func(low, high float64) *readout.Range { return &readout.Range{Low: low, High: high} }
	result := func(what string, mean float64, interval *readout.Range) readout.Result {
		return readout.Result{What: what, Estimate: readout.Estimate{Differences: []float64{mean - 1, mean + 1}, Mean: mean, Level: 0.95, Interval: interval}}
	}
	r := Readout{Unit: "bu/ac", Money: &read.Money{Per: "$/ac"}}
	yield := func(low, high float64) string {
		return ReadoutText(r, result(readout.Yield, (low+high)/2, between(low, high)))
	}
	stalk := func(low, high float64) string {
		return ReadoutText(r, result(readout.Stalk, 0, between(math.Log(low), math.Log(high))))
	}
	profit := func(verdict readout.Verdict, interval *readout.Range) string {
		p := readout.Estimate{}.Profit(1, 0)
		p.Mean, p.Interval, p.BreakEven, p.Chance, p.Verdict = 3.5, interval, 2.25, 0.9712, verdict
		return ProfitText(r, readout.Result{Profit: &p})
	}
	pooled := func(interval *readout.Range, even *float64) string {
		one := r
		one.Pooled, one.BreakEven = &readout.Pooled{Fields: 3, Mean: 4, SE: 1, Tau2: 2.25, Level: 0.9, Interval: interval}, even
		return strings.Join(PooledText(one), " ")
	}
	same := 4.0 // as the mean: the chance is a half
	index := result(readout.Index, 0.01234, between(0.001, 0.02))
	index.Readings = []readout.Reading{{Untreated: readout.Mean{Value: 0.5}}, {Untreated: readout.Mean{Value: 0.7}}}
	for _, c := range []struct{ what, got, want string }{
		{"more", yield(1, 3), "Treated yielded more than untreated: +2.00 bu/ac, with 95 % confidence from +1.00 to +3.00 (2 replicates)."},
		{"less", yield(-3, -1), "Treated yielded less than untreated: -2.00 bu/ac, with 95 % confidence from -3.00 to -1.00 (2 replicates)."},
		{"untold", yield(-1, 3), "Cannot be told: treated less untreated is +1.00 bu/ac; with 95 % confidence it lies from -1.00 to +3.00, which holds 0 (2 replicates)."},
		{"no interval", ReadoutText(r, result(readout.Yield, 2, nil)), "Cannot be told: treated less untreated is +2.00 bu/ac, without an interval, from 2 replicates. Want 4 at least, better 6."},
		{"an index", ReadoutText(r, index), "Treated has more than untreated: +0.0123 of the index (+2.06 % of the untreated), with 95 % confidence from +0.0010 to +0.0200 (2 replicates)."},
		{"more in stalks", stalk(1.1, 2), "Treated stalks hold more nitrate-N than untreated: 1.00 times as much; 1.10 to 2.00 times with 95 % confidence."},
		{"untold in stalks", stalk(0.9, 2), "Cannot be told: nitrate-N in treated stalks is 1.00 times that in untreated ones; 0.90 to 2.00 times with 95 % confidence, which holds 1."},
		{"stalks without an interval", ReadoutText(r, result(readout.Stalk, math.Log(2), nil)), "Cannot be told: nitrate-N in treated stalks is 2.00 times that in untreated ones, and no interval from 2 replicates."},
		{"no profit", ProfitText(r, readout.Result{}), ""},
		{"it paid", profit(readout.More, between(1, 6)), "Treating paid: +3.50 $/ac after its cost, from +1.00 to +6.00; it breaks even at 2.25 bu/ac (one-sided p 0.0288)."},
		{"it did not pay", profit(readout.Less, between(1, 6)), "Treating did not pay: +3.50 $/ac after its cost, from +1.00 to +6.00; it breaks even at 2.25 bu/ac (one-sided p 0.9712)."},
		{"whether it paid is untold", profit(readout.Untold, between(1, 6)), "Whether treating paid cannot be told: +3.50 $/ac after its cost, from +1.00 to +6.00; it breaks even at 2.25 bu/ac."},
		{"profit without an interval", profit(readout.Untold, nil), "Whether treating paid cannot be told: +3.50 $/ac after its cost, without an interval; it breaks even at 2.25 bu/ac."},
		{"too few fields", pooled(nil, nil), "Cannot be told: a mean difference of +4.00 bu/ac over 3 fields or years, and no interval from so few; want 3 at least."},
		{"fields", pooled(between(1, 7), nil), "Treated yields more: over 3 fields or years, treated less untreated is +4.00 bu/ac, +1.00 to +7.00 with 90 % confidence. True differences vary between fields by some 1.50 bu/ac (standard deviation)."},
		{"fields untold", pooled(between(-1, 9), nil), "Cannot be told: over 3 fields or years, treated less untreated is +4.00 bu/ac, -1.00 to +9.00 with 90 % confidence. True differences vary between fields by some 1.50 bu/ac (standard deviation)."},
		{"fields that pay or not", strings.SplitAfter(pooled(between(1, 7), &same), "deviation). ")[1], "Whether it pays cannot be told. On the mean of such fields, the chance that treating pays at these prices is 50.0 %; it breaks even at 4.00 bu/ac."},
		{"fields that pay", pooled(between(4.5, 7), &same)[len(pooled(between(4.5, 7), nil)):][:9], " It pays."},
		{"fields that do not", pooled(between(1, 3.9), &same)[len(pooled(between(1, 3.9), nil)):][:17], " It does not pay."},
		{"without one", WithoutOneText(result(readout.Yield, 2, nil)), "Without any one replicate the mean lies from +1.00 to +3.00."},
		{"a difference of nothing", Signed(readout.Yield, 0) + " " + Signed(readout.Index, 0), "0.00 0.0000"},
		{"no interval in a table", Between(readout.Yield, nil), "no interval"}, {"a level", LevelText(0.9545) + " " + LevelText(0.9), "95.45 % 90 %"},
	} {
		if c.got != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", c.what, c.got, c.want)
		}
	}
}

// Replicates and fields stand in their tables with the digits, classes and heads of their kind.
func TestTablesOfReadouts(t *testing.T) {
	r := Readout{Limits: readout.StalkLimits{Marginal: 250, Optimal: 700, Excess: 2000}}
	reading := readout.Reading{Rep: 3, Untreated: readout.Mean{Value: 249.6}, Treated: [2]readout.Mean{{Value: 700}, {Value: 2000.4}}, Difference: math.Log(4)}
	for what, want := range map[string]string{
		readout.Yield: "[untreated treated A treated B difference] [[3 249.60 700.00 2000.40 +1.39]]", readout.Index: "[untreated treated A treated B difference] [[3 249.6000 700.0000 2000.4000 +1.3863]]",
		readout.Stalk: "[untreated treated A treated B ratio] [[3 250 low 700 optimal 2,000 excess 4.00]]",
	} {
		head, rows := r.Replicates(readout.Result{What: what, Readings: []readout.Reading{reading}})
		if got := fmt.Sprint(head, " ", rows); got != want {
			t.Errorf("%s: got %s, want %s", what, got, want)
		}
	}
	r.Fields = []ReadoutField{{Name: "north", Estimate: readout.Estimate{Differences: make([]float64, 4), Mean: 2, Interval: &readout.Range{Low: 1, High: 3}}}, {Name: "south", Estimate: readout.Estimate{Mean: -1}}}
	if got, want := fmt.Sprint(r.Joined()), "[[north 4 +2.00 +1.00 to +3.00 more] [south 0 -1.00 no interval "+readout.Untold.String()+"]]"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// What as many replicates find again, and how far the noise that they show may be off. Differences
// of 1 to 6 have a deviation of √3.5: R's power.t.test(n=6, sd=sqrt(3.5), power=0.8, type="paired",
// strict=TRUE) finds 2.684, of 12 replicates 1.663, and its qchisq 0.624 and 2.453.
func TestPowerSaysHowRough(t *testing.T) {
	one := readout.Result{What: readout.Yield, Estimate: readout.Of([]float64{1, 2, 3, 4, 5, 6}, 0.95), Readings: make([]readout.Reading, 6)}
	want := "With the noise that these replicates show, 6 find a true difference of 2.68 bu/ac four times in five, and 12 would find one of 1.66. " +
		"But 6 replicates show noise only roughly: with 95 % confidence the true one is 0.62 to 2.45 times that, and so are these differences."
	if got := PowerText(Readout{Unit: "bu/ac"}, one); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

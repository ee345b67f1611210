package readout

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// reading is a replicate of a difference whose strips hold so many points each.
func reading(rep, points int, difference float64) Reading {
	m := func(v float64) Mean { return Mean{Points: points, Area: 1, Sum: v, Value: v} }
	return Reading{Rep: rep, Untreated: m(100), Treated: [2]Mean{m(100 + difference), m(100 + difference)}, Difference: difference}
}

// Each thing that is odd of a reading is told once, with its count, and nothing else is.
func TestRemarks(t *testing.T) {
	plain := func() Result {
		r := Result{What: Yield, Readings: []Reading{reading(1, 9, 3), reading(2, 9, 4), reading(3, 9, 5), reading(4, 9, 6)}}
		r.Estimate = Of(Differences(r.Readings), 0.95)
		return r
	}
	taken := Taken{Header: Header{Meters: 9, Whole: true}, Weigh: true}
	none := Of([]float64{-3, 4, -5, 6}, 0.95)
	stalks := func(samples ...Sample) func(*Result, *Taken) {
		return func(r *Result, _ *Taken) { r.What, r.Samples = Stalk, samples }
	}
	for _, c := range []struct {
		change func(r *Result, t *Taken)
		want   string
	}{
		{func(*Result, *Taken) {}, ""},
		{func(r *Result, _ *Taken) { r.Missing = []string{"a", "b"} }, "readout-left-out {a}, readout-left-out {b}"},
		{func(r *Result, _ *Taken) { r.Readings = r.Readings[:3] }, "readout-few-replicates {3}"},
		{func(r *Result, _ *Taken) { r.Readings, r.Estimate.Interval = r.Readings[:2], nil }, "readout-few-replicates {2}"},
		{func(r *Result, _ *Taken) { r.Readings, r.Estimate.Interval = r.Readings[:3], nil }, "readout-few-replicates {3}, readout-all-same {}"},
		{func(r *Result, _ *Taken) { r.Estimate.Interval = nil }, "readout-all-same {}"},
		{func(r *Result, _ *Taken) { r.Few = []string{"a", "b"} }, "readout-few-points {a; b}"},
		{func(r *Result, _ *Taken) { r.Crossed = []string{"a", "b"} }, "readout-driven-over {a; b}"},
		{func(r *Result, _ *Taken) { r.What, r.Crossed = Index, []string{"a"} }, ""},
		{func(r *Result, _ *Taken) { r.Over = 4 * 3 * 9 }, ""}, // as many as lie inside
		{func(r *Result, _ *Taken) { r.Over = 4*3*9 + 1 }, "readout-over-the-side {109}"},
		{func(_ *Result, t *Taken) { t.Wet = true }, "readout-looks-wet {}"},
		{func(_ *Result, t *Taken) { t.Weigh = false }, "readout-no-distance {}"},
		{func(_ *Result, t *Taken) { t.Header.Meters = 0 }, "readout-no-header {}"},
		{func(_ *Result, t *Taken) { t.Header = Header{} }, ""}, // the antenna alone counts
		{func(_ *Result, t *Taken) { t.NoPlace = 1 }, "readout-no-place {1}"},
		{func(r *Result, _ *Taken) { r.All = &r.Estimate }, ""},
		{func(r *Result, _ *Taken) { r.All = &none }, "readout-cleaning {}"},
		{func(r *Result, _ *Taken) { // the same against 0, another against what it costs
			r.Profit = new(r.Estimate.Profit(4, 8))
			r.All = new(Of([]float64{1, 2, 3, 1}, 0.95))
		}, "readout-cleaning {}"},
		{func(r *Result, _ *Taken) { r.All = new(Of([]float64{1, 2, 3, 1}, 0.95)) }, ""},
		{func(r *Result, t *Taken) { r.What, t.Wet, t.Weigh, t.NoPlace = Index, true, false, 3 }, ""},
		{stalks(Sample{PPM: mostNitrate}, Sample{PPM: 5}), ""},
		{stalks(Sample{PPM: mostNitrate + 1}, Sample{PPM: 5, Below: true}, Sample{PPM: 6, Below: true}), "readout-undetected {2}, readout-nitrate {1 12000}"},
	} {
		r, how := plain(), taken
		c.change(&r, &how)
		var got []string
		for _, f := range r.Remarks(how) {
			got = append(got, fmt.Sprint(f.Kind.Rule(), " ", f.Data))
		}
		if s := strings.Join(got, ", "); s != c.want {
			t.Errorf("%q, want %q", s, c.want)
		}
	}
}

// A replicate is one untreated sample and two treated ones; any other is named with what it has,
// in the order of the first sample of each.
func TestReplicatesOfStalks(t *testing.T) {
	of := func(rep, untreated, treated int) (list []Sample) {
		for range untreated {
			list = append(list, Sample{Rep: rep, PPM: 100})
		}
		for i := range treated {
			list = append(list, Sample{Rep: rep, Treated: true, PPM: 100 * float64(i+2)})
		}
		return list
	}
	for k, c := range []struct{ untreated, treated int }{{1, 1}, {1, 3}, {0, 2}, {2, 2}, {1, 0}, {2, 0}} {
		readings, missing := stalks(append(of(7, c.untreated, c.treated), of(3, 1, 2)...))
		want := fmt.Sprintf("replicate 7: %d untreated and %d treated samples, want 1 and 2", c.untreated, c.treated)
		if len(readings) != 1 || readings[0].Rep != 3 || len(missing) != 1 || missing[0] != want {
			t.Errorf("case %d: %v, %q, want %s", k, readings, missing, want)
		}
	}
	r, err := StalkResult(append(of(9, 1, 2), of(4, 1, 2)...), 0.95)
	if err != nil || len(r.Readings) != 2 || r.Readings[0].Rep != 9 || r.Readings[1].Rep != 4 || r.What != Stalk || len(r.Samples) != 6 {
		t.Fatalf("%+v, %v", r, err)
	}
	one := r.Readings[0] // 200 and 300 beside 100: half the logarithm of 6
	near(t, "difference", one.Difference, math.Log(6)/2, 1e-12)
	near(t, "ratio", Ratio(one.Difference), math.Sqrt(6), 1e-12)
	if one.Untreated.Value != 100 || one.Treated[0].Value != 200 || one.Treated[1].Value != 300 || one.Untreated.Points != 1 || one.Treated[1].Points != 1 {
		t.Errorf("%+v", one)
	}
	for text, samples := range map[string][]Sample{
		"no replicate can be told from the stalk": nil,
		"no replicate can be told from the stalk: replicate 1: 1 untreated and 1 treated samples, want 1 and 2":             of(1, 1, 1),
		"no replicate can be told from the stalk: replicate 1: 1 untreated and 1 treated samples, want 1 and 2, and 2 more": append(append(of(1, 1, 1), of(2, 0, 1)...), of(3, 1, 0)...),
	} {
		if _, err := StalkResult(samples, 0.95); err == nil || err.Error() != text {
			t.Errorf("%v, want %s", err, text)
		}
	}
}

// The middle one, the mean of the two middle ones, none.
func TestMedian(t *testing.T) {
	for _, c := range []struct {
		values []float64
		want   float64
	}{{[]float64{3}, 3}, {[]float64{9, 1}, 5}, {[]float64{9, 1, 2}, 2}, {[]float64{7, 1, 9, 3}, 5}} {
		if got := medianOf(c.values); got != c.want {
			t.Errorf("%v: %v, want %v", c.values, got, c.want)
		}
	}
	if !math.IsNaN(medianOf(nil)) {
		t.Error("nothing has a middle")
	}
}

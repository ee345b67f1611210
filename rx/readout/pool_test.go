package readout

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rxsplit/internal/oracle"
)

// vaccine is the worked example of 13 published trials of the BCG vaccine (Colditz and others
// 1994, Journal of the American Medical Association 271:698): logarithms of relative risks, and
// their variances, as the R package metafor has them.
var vaccine = [][2]float64{
	{-0.8893113339, 0.3255847650},
	{-1.5853886572, 0.1945811214},
	{-1.3480731483, 0.4153679654},
	{-1.4415511900, 0.0200100319},
	{-0.2175473222, 0.0512101722},
	{-0.7861155858, 0.0069056185},
	{-1.6208982236, 0.2230172476},
	{0.0119523335, 0.0039615793},
	{-0.4694176487, 0.0564342105},
	{-1.3713448035, 0.0730247936},
	{-0.3393588283, 0.0124122140},
	{0.4459134006, 0.5325058452},
	{-0.0173139482, 0.0714046597},
}

func vaccineFields() (fields []Estimate) {
	for _, f := range vaccine {
		fields = append(fields, Estimate{Mean: f[0], SE: math.Sqrt(f[1]), Interval: &Range{}})
	}
	return fields
}

// The random-effects mean after DerSimonian and Laird with Hartung and Knapp's interval, as
// metafor 3.8 works it out: rma(yi, vi, method="DL", test="knha").
func TestPoolAsPublished(t *testing.T) {
	p, err := Pool(vaccineFields(), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	for i, got := range []float64{p.Tau2, p.Mean, p.SE, p.Interval.Low, p.Interval.High} {
		near(t, fmt.Sprint("pooled ", i), got, []float64{0.3087602629, -0.7141172221, 0.1806966283, -1.1078213542, -0.3204130900}[i], 1e-8)
	}
	if p.Verdict(0) != Less {
		t.Errorf("verdict %v", p.Verdict(0))
	}
	near(t, "chance over its own mean", p.Chance(p.Mean), 0.5, 1e-12)
}

// wantMetafor skips or fails a test where R lacks metafor.
func wantMetafor(t *testing.T) {
	t.Helper()
	if rscript(t, `cat(as.integer(requireNamespace("metafor", quietly=TRUE)))`)[0] != 1 {
		oracle.Missing(t, "the R package metafor is not installed")
	}
}

// metafor itself, where it is installed.
func TestPoolAsMetafor(t *testing.T) {
	var y, v []string
	for _, f := range vaccine[:5] {
		y, v = append(y, fmt.Sprint(f[0])), append(v, fmt.Sprint(f[1]))
	}
	wantMetafor(t)
	want := rscript(t, fmt.Sprintf(`suppressMessages(library(metafor)); r <- rma(c(%s), c(%s), method="DL", test="knha"); cat(sprintf("%%.12g", c(r$tau2, r$b, r$se, r$ci.lb, r$ci.ub)))`,
		strings.Join(y, ","), strings.Join(v, ",")))
	p, err := Pool(vaccineFields()[:5], 0.95)
	if err != nil {
		t.Fatal(err)
	}
	for i, got := range []float64{p.Tau2, p.Mean, p.SE, p.Interval.Low, p.Interval.High} {
		near(t, fmt.Sprint("pooled ", i), got, want[i], 1e-9)
	}
}

// One field is no mean over fields; two have a mean and no interval; one that has no interval
// of its own can't be weighed.
func TestPoolOfFew(t *testing.T) {
	fields := vaccineFields()
	if _, err := Pool(fields[:1], 0.95); err == nil {
		t.Error("one field is pooled")
	}
	p, err := Pool(fields[:2], 0.95)
	if err != nil || p.Interval != nil || p.Verdict(0) != Untold || !math.IsNaN(p.Chance(0)) {
		t.Errorf("two fields: %+v, %v", p, err)
	}
	fields[2].Interval = nil
	if _, err := Pool(fields, 0.95); err == nil {
		t.Error("a field without an interval is pooled")
	}
}

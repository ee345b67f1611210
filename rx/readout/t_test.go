package readout

import (
	"fmt"
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"rxsplit/internal/oracle"
)

// near holds a value against one from outside.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

// Quantiles and tails of Student's t, by R's qt and pt, twelve digits.
func TestStudentAsR(t *testing.T) {
	for _, c := range []struct{ df, q float64 }{
		{1, 12.7062047362}, {2, 4.30265272975}, {3, 3.18244630528}, {5, 2.57058183564}, {7, 2.36462425159}, {11, 2.20098516009}, {30, 2.04227245630},
	} {
		near(t, fmt.Sprintf("t.975 of %v", c.df), student(int(c.df)+1).Quantile(0.975), c.q, 1e-10)
	}
	broken := student(2)
	broken.Nu = 574.26 // as of two means with unlike variances
	near(t, "t.975 of 574.26", broken.Quantile(0.975), 1.96410356244, 1e-10)
	near(t, "2P(T5>2.5)", 2*student(6).Survival(2.5), 0.0544900993424, 1e-12)
	near(t, "2P(T11>2.5)", 2*student(12).Survival(2.5), 0.0295063740874, 1e-12)
}

// rscript asks R for numbers.
func rscript(t *testing.T, program string) (numbers []float64) {
	t.Helper()
	out, err := exec.Command(oracle.Tool(t, "Rscript"), "-e", program).Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, word := range strings.Fields(string(out)) {
		v, err := strconv.ParseFloat(word, 64)
		if err != nil {
			t.Fatalf("R said %q", out)
		}
		numbers = append(numbers, v)
	}
	return numbers
}

// R itself, where it is installed: its t.test on differences, and its power.t.test.
func TestRItself(t *testing.T) {
	d := []float64{-2.456315, -1.852941, 1.357112, 2.380921, 0.038607, -0.943875}
	r := rscript(t, `x <- c(-2.456315,-1.852941,1.357112,2.380921,0.038607,-0.943875); a <- t.test(x); b <- t.test(x, mu=1, alternative="less")
cat(sprintf("%.15g", c(a$estimate, a$conf.int, a$p.value, sd(x), 1-b$p.value)))`)
	e := Of(d, 0.95)
	for i, got := range []float64{e.Mean, e.Interval.Low, e.Interval.High, e.P, e.SD, e.Chance(1)} {
		want := r[i]
		if i == 5 {
			want = 1 - r[i] // R's p of "less" is P(T < t)
		}
		near(t, fmt.Sprint("t.test ", i), got, want, 1e-10)
	}
	for _, n := range []int{3, 4, 6, 12, 20} {
		want := rscript(t, fmt.Sprintf(`cat(sprintf("%%.12g", power.t.test(n=%d, sd=1, power=0.8, type="paired", strict=TRUE, tol=1e-10)$delta))`, n))
		near(t, fmt.Sprint("power.t.test ", n), Detectable(n, 0.8, 0.95), want[0], 1e-6)
	}
}

// Differences that are seen with a power of 80 and 90 % at 5 %, by the noncentral t, in
// noises of one replicate; computed by R's power.t.test.
func TestDetectable(t *testing.T) {
	reps := []int{3, 4, 5, 6, 8, 10, 12, 16, 20}
	exact80 := []float64{3.264, 2.128, 1.682, 1.4345, 1.156, 0.996, 0.8887, 0.7495, 0.6604}
	simple80 := []float64{3.0965, 2.0805, 1.6625, 1.4248, 1.1528, 0.9947, 0.8881, 0.7494, 0.6605}
	exact90 := []float64{3.923, 2.507, 1.966, 1.670, 1.342, 1.155, 1.030, 0.868, 0.765}
	for i, n := range reps {
		near(t, fmt.Sprint("80 % of ", n), Detectable(n, 0.8, 0.95), exact80[i], 6e-4)
		near(t, fmt.Sprint("simple 80 % of ", n), detectableNearly(n, 0.8, 0.95), simple80[i], 6e-5)
		near(t, fmt.Sprint("90 % of ", n), Detectable(n, 0.9, 0.95), exact90[i], 6e-4)
	}
	if !math.IsNaN(Detectable(2, 0.8, 0.95)) {
		t.Error("two replicates see something")
	}
	near(t, "nothing is found as often as the level says", powerOf(6, 0, 0.95), 0.05, 1e-9)
}

// How many times the noise that is shown the true one may be, by R's qchisq, twelve digits.
func TestNoiseRangeAsR(t *testing.T) {
	for _, c := range []struct {
		n                int
		level, low, high float64
	}{
		{3, 0.95, 0.520658266699, 6.28473469649}, {4, 0.9, 0.619588997093, 2.92000854412}, {6, 0.95, 0.624208002259, 2.45261398855},
		{12, 0.95, 0.708395150862, 1.69787801772}, {20, 0.9, 0.793925526647, 1.37041039768},
	} {
		r := NoiseRange(c.n, c.level)
		near(t, fmt.Sprint("low of ", c.n), r.Low, c.low, 1e-9)
		near(t, fmt.Sprint("high of ", c.n), r.High, c.high, 1e-9)
	}
}

// Few replicates and differences that are all the same have no interval: it can't be told.
func TestNoIntervalNoVerdict(t *testing.T) {
	for _, d := range [][]float64{{5}, {5, 6}, {5, 5, 5, 5}} {
		if e := Of(d, 0.95); e.Interval != nil || e.Verdict(0) != Untold || !math.IsNaN(e.P) || !math.IsNaN(e.Chance(0)) {
			t.Errorf("%v: %+v", d, e)
		}
	}
	e := Of([]float64{5, 6, 5.5}, 0.95)
	if e.Verdict(0) != More || e.Verdict(10) != Less || e.Verdict(5.5) != Untold {
		t.Errorf("%+v", e)
	}
	if r := e.LeaveOneOut(); r != (Range{5.25, 5.75}) {
		t.Errorf("without one of them: %v", r)
	}
	if one := Of([]float64{5}, 0.95).LeaveOneOut(); one != (Range{5, 5}) {
		t.Errorf("of one: %v", one)
	}
}

// detectableNearly is the usual short form of [Detectable], a check on it: the sum of two t
// quantiles over the root of n. It is some percent too low for few replicates.
func detectableNearly(n int, power, level float64) float64 {
	t := student(n)
	return (t.Quantile((1+level)/2) + t.Quantile(power)) / math.Sqrt(float64(n))
}

// An interval that ends at a limit leaves it open.
func TestIntervalAtItsLimit(t *testing.T) {
	r := &Range{Low: 1, High: 2}
	for limit, want := range map[float64]Verdict{0.99: More, 1: Untold, 1.5: Untold, 2: Untold, 2.01: Less} {
		if got := r.against(limit); got != want {
			t.Errorf("1 to 2 against %v: %v, want %v", limit, got, want)
		}
	}
}

package readout

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// asked is what R is asked: the lines of a table that it reads, and the numbers of its answer a line.
func asked(t *testing.T, program string, lines []string, numbers int) [][]float64 {
	t.Helper()
	file := filepath.Join(t.TempDir(), "cases")
	if err := os.WriteFile(file, []byte(strings.Join(lines, "\n")+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	all := rscript(t, fmt.Sprintf(`for (line in readLines(%q)) { v <- as.numeric(strsplit(line, " ")[[1]]); cat(sprintf("%%.15g", c(%s)), "") }`, file, program))
	if len(all) != numbers*len(lines) {
		t.Fatalf("%d numbers of R for %d cases", len(all), len(lines))
	}
	answers := make([][]float64, len(lines))
	for i := range answers {
		answers[i] = all[i*numbers : (i+1)*numbers]
	}
	return answers
}

func row(v ...float64) string { return strings.Trim(fmt.Sprint(v), "[]") }

// alikeTo holds figures against R's, to a share of them.
func alikeTo(t *testing.T, what string, share float64, got, want []float64) {
	t.Helper()
	for i, w := range want {
		if !(math.Abs(got[i]-w) <= share*max(1e-3, math.Abs(w))) {
			t.Errorf("%s: figure %d is %.15g, R has %.15g", what, i, got[i], w)
		}
	}
}

// Drawn differences, by R's t.test: mean, interval, p of both sides and of one.
func TestDrawnDifferencesAsR(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 21))
	var lines []string
	var drawn []Estimate
	var limits []float64
	for range 400 {
		d := make([]float64, 3+r.IntN(22))
		mean, sd := 8*r.NormFloat64(), math.Exp(3*r.NormFloat64())
		for i := range d {
			d[i] = mean + sd*r.NormFloat64()
		}
		e := Of(d, []float64{0.8, 0.9, 0.95, 0.99}[r.IntN(4)])
		limit := 4 * r.NormFloat64()
		drawn, limits = append(drawn, e), append(limits, limit)
		lines = append(lines, row(append([]float64{e.Level, limit}, d...)...))
	}
	answers := asked(t, `{ d <- v[-(1:2)]; a <- t.test(d, conf.level=v[1]); b <- t.test(d, mu=v[2], alternative="less"); c(a$estimate, sd(d), a$stderr, a$conf.int, a$p.value, b$p.value) }`, lines, 7)
	for i, e := range drawn {
		got := []float64{e.Mean, e.SD, e.SE, e.Interval.Low, e.Interval.High, e.P, e.Chance(limits[i])}
		alikeTo(t, fmt.Sprintf("case %d of %d", i, len(e.Differences)), 1e-9, got, answers[i])
	}
}

// Drawn powers, by R's power.t.test: of a difference, and the difference that is found with one.
func TestDrawnPowersAsR(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 21))
	var lines []string
	var got [][]float64
	for range 150 {
		n, level, power := 3+r.IntN(60), []float64{0.8, 0.9, 0.95, 0.99}[r.IntN(4)], 0.55+0.43*r.Float64()
		k := 3 * r.Float64() * Detectable(n, 0.8, 0.95) / 2
		lines = append(lines, row(float64(n), level, power, k))
		got = append(got, []float64{powerOf(n, k, level), Detectable(n, power, level)})
	}
	answers := asked(t, `{ p <- function(...) power.t.test(n=v[1], sd=1, sig.level=1-v[2], type="paired", strict=TRUE, tol=1e-12, ...); c(p(delta=v[4])$power, p(power=v[3])$delta) }`, lines, 2)
	for i := range lines {
		alikeTo(t, lines[i], 1e-7, got[i], answers[i])
	}
}

// Drawn fields, by metafor's rma with the variance of DerSimonian and Laird and the interval of
// Hartung and Knapp, with every likeness of the fields among each other.
func TestDrawnFieldsAsMetafor(t *testing.T) {
	wantMetafor(t)
	r := rand.New(rand.NewPCG(3, 21))
	var lines []string
	var got [][]float64
	equal := 0
	for range 150 {
		level, tau := []float64{0.9, 0.95}[r.IntN(2)], 3*r.Float64()*float64(r.IntN(2))
		line, fields := []float64{level}, []Estimate{}
		for range 3 + r.IntN(14) {
			e := Estimate{SE: math.Exp(r.NormFloat64()), Interval: &Range{}}
			e.Mean = 2 + tau*r.NormFloat64() + e.SE*r.NormFloat64()
			fields, line = append(fields, e), append(line, e.Mean, e.SE)
		}
		p, err := Pool(fields, level)
		if err != nil {
			t.Fatal(err)
		}
		if p.Tau2 == 0 {
			equal++
		}
		lines = append(lines, row(line...))
		got = append(got, []float64{p.Tau2, p.Mean, p.SE, p.Interval.Low, p.Interval.High, 2 * min(p.Chance(0), 1-p.Chance(0))})
	}
	if equal < 25 || equal > 125 {
		t.Errorf("the fields of %d cases of %d don't differ", equal, len(lines))
	}
	answers := asked(t, `{ y <- v[seq(2, length(v), 2)]; s <- v[seq(3, length(v), 2)]; m <- metafor::rma(y, s^2, method="DL", test="knha", level=100*v[1]); c(m$tau2, m$b, m$se, m$ci.lb, m$ci.ub, m$pval) }`, lines, 6)
	for i := range lines {
		alikeTo(t, lines[i], 1e-8, got[i], answers[i])
	}
}

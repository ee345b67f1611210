package equip

import (
	"fmt"
	"strings"
	"testing"

	"rxsplit/label"
)

// Every bound has two sides: the last figure that passes, and the next one, which is told by
// its key. Prices are common practice, no source, far beyond any that is paid; so are the
// machines': 200 ft of swath, 40 mph, a minute to change a rate, five to turn, 30 to 90 lb/ft3,
// half of a rate, 64 sections, half a percent of a blend.
func TestBothSidesOfEachBound(t *testing.T) {
	price := func(key, figure string) string { return "prices:\n  " + key + ": " + figure + "\n" }
	spreader := func(line string) string {
		return "spreader:\n  swath: 70 ft\n  speed: {low: 10 mph, usual: 15 mph, high: 18 mph}\n" + line
	}
	boom := func(change ...string) string {
		at := strings.Index(job, "boom:\n")
		return strings.NewReplacer(change...).Replace(job[at : at+strings.Index(job[at:], "prices:\n")])
	}
	for _, c := range []struct {
		key       string
		fine, odd string
		severity  label.Severity
	}{
		{"prices.stabilizer", price("stabilizer", "2000 $/gal"), price("stabilizer", "2000.001 $/gal"), label.Warning},
		{"prices.stabilizer", price("stabilizer", "1 $/gal"), price("stabilizer", "0.999 $/gal"), label.Warning},
		{"prices.second-liquid", secondPrice("2000"), secondPrice("2000.001"), label.Warning},
		{"prices.second-liquid", secondPrice("0.1"), secondPrice("0.0999"), label.Warning},
		{"prices.drying-agent", price("drying-agent", "40000 $/ton"), price("drying-agent", "40001 $/ton"), label.Warning},
		{"prices.drying-agent", price("drying-agent", "20 $/ton"), price("drying-agent", "19.99 $/ton"), label.Warning},
		{"prices.blending", price("blending", "500 $/ton"), price("blending", "500.01 $/ton"), label.Warning},
		{"prices.dry-spreading", price("dry-spreading", "200 $/ac"), price("dry-spreading", "200.01 $/ac"), label.Warning},
		{"prices.wet-boom", price("wet-boom", "200 $/ac"), price("wet-boom", "200.01 $/ac"), label.Warning},
		{"prices.extra-pass", price("extra-pass", "200 $/ac"), price("extra-pass", "200.01 $/ac"), label.Warning},
		{"prices.nitrogen", price("nitrogen", "20000 $/ton"), price("nitrogen", "20001 $/ton"), label.Warning},
		{"prices.nitrogen", price("nitrogen", "100 $/ton"), price("nitrogen", "99.9 $/ton"), label.Warning},
		{"spreader.swath", strings.Replace(spreader(""), "70 ft", "200 ft", 1), strings.Replace(spreader(""), "70 ft", "200.1 ft", 1), label.Warning},
		{"spreader.speed.high", strings.Replace(spreader(""), "18 mph", "40 mph", 1), strings.Replace(spreader(""), "18 mph", "40.1 mph", 1), label.Warning},
		{"spreader.speed.high", strings.Replace(spreader(""), "18 mph", "15 mph", 1), strings.Replace(spreader(""), "18 mph", "14.9 mph", 1), label.Error},
		{"spreader.speed.usual", strings.Replace(spreader(""), "low: 10 mph", "low: 15 mph", 1), strings.Replace(spreader(""), "low: 10 mph", "low: 15.1 mph", 1), label.Error},
		{"spreader.rates.max", spreader("  rates: {min: 80 lb/ac, max: 80.1 lb/ac}\n"), spreader("  rates: {min: 80 lb/ac, max: 80 lb/ac}\n"), label.Error},
		{"spreader.bins", spreader("  bins: 2\n"), spreader("  bins: 3\n"), label.Error},
		{"spreader.rate-change", spreader("  rate-change: 60 s\n"), spreader("  rate-change: 60.1 s\n"), label.Warning},
		{"spreader.turn", spreader("  turn: 5 min\n"), spreader("  turn: 5.01 min\n"), label.Warning},
		{"spreader.sections", spreader("  sections: 64\n"), spreader("  sections: 65\n"), label.Error},
		{"spreader.sections", spreader("  sections: 1\n"), spreader("  sections: -1\n"), label.Error},
		{"spreader.rate-error", spreader("  rate-error: 49.9 %\n"), spreader("  rate-error: 50 %\n"), label.Error},
		{"rate-error", "rate-error: 49.9 %\n", "rate-error: 50 %\n", label.Error},
		{"boom.turn", boom("tank:", "turn: 5 min\n  tank:"), boom("tank:", "turn: 5.01 min\n  tank:"), label.Warning},
		{"boom.sections", boom("tank:", "sections: 64\n  tank:"), boom("tank:", "sections: 65\n  tank:"), label.Error},
		{"boom.spacing", boom("width: 70 ft", "width: 20 in"), boom("width: 70 ft", "width: 19.9 in"), label.Error},
		{"boom.pressure.max", boom(), boom("min: 15 psi", "min: 70 psi"), label.Error},
		{"boom.volume", boom() + "stabilizer-rate: 1279 fl oz/ac\n", boom() + "stabilizer-rate: 1280 fl oz/ac\n", label.Error},
		{"blend[1].density", dense("30"), dense("29.9"), label.Warning},
		{"blend[1].density", dense("90"), dense("90.1"), label.Warning},
		{"blend", shares("80 %", "20.49 %"), shares("80 %", "20.51 %"), label.Error},
		{"blend", shares("80 %", "19.51 %"), shares("80 %", "19.49 %"), label.Error},
		{"blend[2].share", shares("100 %", "0.1 %"), shares("100 %", "0 %"), label.Error},
		{"blend[2].name", shares("80 %", "20 %"), strings.Replace(shares("80 %", "20 %"), "potash", "urea", 1), label.Error},
		{"analysis", "rate-field: [A, B]\nanalysis: [46-0-0, 0-0-60]\n", "rate-field: [A, B]\nanalysis: [46-0-0]\n", label.Error},
		{"analysis[2]", "rate-of: N\nrate-field: [A, B]\nanalysis: [46-0-0, 21-0-0]\n", "rate-of: N\nrate-field: [A, B]\nanalysis: [46-0-0, 0-0-60]\n", label.Error},
		{"carrier", "rate-field: [A, B]\ncarrier: B\n", "rate-field: [A, B]\ncarrier: C\n", label.Error},
	} {
		if got := toldOf(t, c.fine, c.key); got != "" {
			t.Errorf("%s: the last figure that passes is told: %s\n%s", c.key, got, c.fine)
		}
		if got := toldOf(t, c.odd, c.key); got != c.severity.String() {
			t.Errorf("%s: %q is told of the next figure, want %v\n%s", c.key, got, c.severity, c.odd)
		}
	}
}

func secondPrice(figure string) string {
	return "second-liquid: {name: x, loading: 64 fl oz/ton, density: 9 lb/gal}\nprices: {second-liquid: " + figure + " $/gal}\n"
}

func dense(figure string) string {
	return "blend: [{name: urea, share: 100 %, density: " + figure + " lb/ft3}]\n"
}

func shares(a, b string) string {
	return fmt.Sprintf("blend: [{name: urea, share: %s}, {name: potash, share: %s}]\n", a, b)
}

// toldOf returns the severity of what is told of a key of a job.
func toldOf(t *testing.T, text, key string) string {
	t.Helper()
	_, list, err := CheckJob("j", []byte(text))
	for _, p := range list {
		if p.Key == key {
			return p.Severity.String()
		}
	}
	switch {
	case err == nil:
		return ""
	case strings.Contains(err.Error(), ": "+key+": "):
		return label.Error.String()
	}
	return err.Error()
}

package readout

import (
	"math"
	"testing"
)

// The classes as quoted of Iowa State University Extension, Pm-1584; on which side the limits
// themselves lie is our choice.
func TestStalkClasses(t *testing.T) {
	for _, c := range []struct {
		ppm  float64
		want string
	}{{0, "low"}, {249.9, "low"}, {250, "marginal"}, {699, "marginal"}, {700, "optimal"}, {2000, "optimal"}, {2000.1, "excess"}} {
		if got := DefaultStalkLimits.Class(c.ppm); got != c.want {
			t.Errorf("%v ppm: %s, want %s", c.ppm, got, c.want)
		}
	}
	near(t, "nitrate by nitrogen", (14.0067+3*15.9994)/14.0067, NitrateToN, 1e-4)
}

// Twice the nitrate in every replicate is a ratio of 2; a replicate without its two treated
// samples is named.
func TestStalkRatio(t *testing.T) {
	var samples []Sample
	for rep := 1; rep <= 4; rep++ {
		u := 300 * float64(rep)
		samples = append(samples, Sample{Rep: rep, PPM: u}, Sample{Rep: rep, Treated: true, PPM: 4 * u}, Sample{Rep: rep, Treated: true, PPM: u})
	}
	samples = append(samples, Sample{Rep: 9, PPM: 1}, Sample{Rep: 9, Treated: true, PPM: 1})
	readings, missing := stalks(samples)
	if len(readings) != 4 || len(missing) != 1 {
		t.Fatalf("%v, missing %v", readings, missing)
	}
	for _, r := range readings {
		near(t, "ratio", math.Exp(r.Difference), 2, 1e-12)
	}
}

func TestBadReplicates(t *testing.T) {
	strips := []Strip{{Rep: 1}, {Rep: 1, Treated: true}, {Rep: 1, Treated: true}, {Rep: 2}, {Rep: 2, Treated: true}, {Rep: 3, Treated: true}, {Rep: 4}, {Rep: 4}, {Rep: 4, Treated: true}, {Rep: 4, Treated: true}}
	reps, bad := Replicates(strips)
	if len(reps) != 1 || len(bad) != 3 {
		t.Errorf("%d good, bad: %v", len(reps), bad)
	}
}

// What cleaning drops is counted by why.
func TestCleanCounts(t *testing.T) {
	nan := math.NaN()
	var points []Point
	for range 7 {
		points = append(points, Point{Value: 100, Area: 1, Width: 9})
	}
	points = append(points, Point{Value: 19, Area: 1, Width: 9}, Point{Value: 201, Area: 1, Width: 9}, Point{Value: nan, Area: 1, Width: 9},
		Point{Value: 100, Area: 0, Width: 9}, Point{Value: 100, Area: nan, Width: 9}, Point{Value: 100, Area: 1, Width: 4}, Point{Value: 20, Area: 1, Width: nan})
	c := DefaultClean.apply(points, 9, true)
	if c.All != 14 || len(c.Points) != 8 || c.Low != 1 || c.High != 1 || c.NoValue != 1 || c.NoDistance != 2 || c.PartHeader != 1 {
		t.Errorf("%+v", c)
	}
}

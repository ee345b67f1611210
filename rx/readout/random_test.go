package readout

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// design draws six untreated lanes, one from each sixth of the lanes that have neighbors, so
// that no two replicates share a lane.
func design(r *rand.Rand, lanes int) [6]int {
	for {
		var at [6]int
		for i := range at {
			low, high := 1+(lanes-2)*i/6, 1+(lanes-2)*(i+1)/6
			at[i] = low + r.IntN(high-low)
		}
		apart := true
		for i := 1; i < len(at); i++ {
			apart = apart && at[i]-at[i-1] >= 3
		}
		if apart {
			return at
		}
	}
}

// On a field where nobody treated anything, a test at 5 % finds something in some 5 % of
// random designs, and the interval holds an effect that is added as often as it says. Twice
// the spread of 1000 draws, and some for a field that is but one, make it 2 to 8 %.
func TestFalsePositives(t *testing.T) {
	lanes, _ := uniformity(t)
	r := rand.New(rand.NewPCG(1930, 6))
	const designs, effect = 1000, 0.8
	found, held := 0, 0
	for range designs {
		var null, added []float64
		for _, u := range design(r, len(lanes)) {
			d := (lanes[u-1][0].yield()+lanes[u+1][0].yield())/2 - lanes[u][0].yield()
			null, added = append(null, d), append(added, d+effect)
		}
		if Of(null, 0.95).Verdict(0) != Untold {
			found++
		}
		if Of(added, 0.95).Verdict(effect) == Untold {
			held++
		}
	}
	t.Logf("found in %d, held in %d of %d", found, held, designs)
	if found < 20 || found > 80 {
		t.Errorf("%d of %d designs find what is not there", found, designs)
	}
	if held < 920 || held > 980 {
		t.Errorf("%d of %d intervals hold the effect", held, designs)
	}
}

// drawn draws n places that don't overlap, one from each of n strata of equal count by lane;
// nil where that fails.
func drawn(r *rand.Rand, places []Place, n, bins, width int) []Place {
	for range 200 {
		var list []Place
		for i := range n {
			low, high := len(places)*i/n, len(places)*(i+1)/n
			for range 30 {
				p := places[low+r.IntN(high-low)]
				if slices.ContainsFunc(list, func(q Place) bool {
					return p.Lane < q.Lane+width && q.Lane < p.Lane+width && p.Start < q.Start+bins && q.Start < p.Start+bins
				}) {
					continue
				}
				list = append(list, p)
				break
			}
		}
		if len(list) == n {
			return list
		}
	}
	return nil
}

// An effect is added on the real yield map, in strips of 200 m beside their nearest passes: it
// is found about as often as planned from the map's noise, and the interval holds it. The
// shares are those of another program's random designs, apart by some points.
func TestPowerOnYieldMap(t *testing.T) {
	const bins, designs = 20, 1000
	lanes := yieldLanes(t)
	places := lanes.Places(bins, TUUT)
	noise, _ := lanes.Noise(bins, TUUT)
	r := rand.New(rand.NewPCG(2011, 11))
	for _, c := range []struct {
		n                      int
		effect, power, planned float64
	}{{6, 5, 0.793, 4.69}, {8, 4, 0.810, 3.78}, {12, 3, 0.806, 2.91}} {
		near(t, "planned difference", Detectable(c.n, 0.8, 0.95)*noise, c.planned, 0.01)
		found, held, done := 0, 0, 0
		for range designs {
			list := drawn(r, places, c.n, bins, TUUT.width())
			if list == nil {
				continue
			}
			var d []float64
			for _, p := range list {
				d = append(d, p.Difference+c.effect)
			}
			e := Of(d, 0.95)
			done++
			if e.Verdict(0) == More {
				found++
			}
			if e.Verdict(c.effect) == Untold {
				held++
			}
		}
		t.Logf("%d replicates, %v bu/ac: found in %d, held in %d of %d", c.n, c.effect, found, held, done)
		near(t, "power", float64(found)/float64(done), c.power, 0.06)
		near(t, "coverage", float64(held)/float64(done), 0.96, 0.025)
	}
}

// Independent differences: as many are found as the plan says.
func TestPowerSimulated(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for _, n := range []int{4, 6, 12} {
		k, found := Detectable(n, 0.8, 0.95), 0
		const times = 4000
		for range times {
			d := make([]float64, n)
			for i := range d {
				d[i] = k + r.NormFloat64()
			}
			if Of(d, 0.95).Verdict(0) == More {
				found++
			}
		}
		near(t, "power", float64(found)/times, 0.8, 0.025) // four standard errors
	}
}

// Fields that differ among each other: the interval over fields holds their mean as often as
// it says, more or less, which the one of a fixed effect would not. It holds it in some 94 of
// 100, as each field's own variance is known from six replicates alone.
func TestPoolCoverage(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1986))
	times := 2000
	if testing.Short() {
		times = 500
	}
	for _, fields := range []int{4, 8, 16} {
		const mean, tau, noise = 3.0, 2.0, 4.0
		held := 0
		for range times {
			var list []Estimate
			for range fields {
				truth := mean + tau*r.NormFloat64()
				d := make([]float64, 6)
				for i := range d {
					d[i] = truth + noise*r.NormFloat64()
				}
				list = append(list, Of(d, 0.95))
			}
			p, err := Pool(list, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			if p.Verdict(mean) == Untold {
				held++
			}
		}
		t.Logf("%d fields: %d of %d", fields, held, times)
		if share := float64(held) / float64(times); share < 0.91 || share > 0.98 {
			t.Errorf("%d fields: the interval holds the mean in %.3f", fields, share)
		}
	}
}

package readout

import (
	"math"
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

// An effect is added on the real yield map, in strips of 200 m beside their nearest passes, and
// taken away in as many designs: it is found about as often as the noncentral t says of the noise
// that the drawn places have, and as planned from the map's noise. One way alone it is not: this
// one field leans to one side by itself, and what helps a gain hides a loss.
func TestPowerOnYieldMap(t *testing.T) {
	const bins, designs = 20, 2000
	lanes := yieldLanes(t)
	places := lanes.Places(bins, TUUT)
	noise, _ := lanes.Noise(bins, TUUT)
	r := rand.New(rand.NewPCG(2011, 11))
	for _, c := range []struct {
		n               int
		effect, planned float64
	}{{6, 5, 4.69}, {8, 4, 3.78}, {12, 3, 2.91}} {
		near(t, "planned difference", Detectable(c.n, 0.8, 0.95)*noise, c.planned, 0.01)
		var found [2]float64
		held, done, squares := 0.0, 0.0, 0.0
		for range designs {
			list := drawn(r, places, c.n, bins, TUUT.width())
			if list == nil {
				continue
			}
			var gain, loss []float64
			for _, p := range list {
				gain, loss = append(gain, p.Difference+c.effect), append(loss, p.Difference-c.effect)
				squares += p.Difference * p.Difference
			}
			done++
			e := Of(gain, 0.95)
			if e.Verdict(0) == More {
				found[0]++
			}
			if Of(loss, 0.95).Verdict(0) == Less {
				found[1]++
			}
			if e.Verdict(c.effect) == Untold {
				held++
			}
		}
		ofDrawn := math.Sqrt(squares / done / float64(c.n))
		t.Logf("%d replicates, %v bu/ac: a gain is found in %v, a loss in %v, held in %v of %v; noise %.4g, of drawn places %.4g", c.n, c.effect, found[0], found[1], held, done, noise, ofDrawn)
		power := (found[0] + found[1]) / 2 / done
		near(t, "power by the noise drawn", power, powerOf(c.n, c.effect/ofDrawn, 0.95), 0.035) // three standard errors, and one point
		near(t, "power as planned", power, powerOf(c.n, c.effect/noise, 0.95), 0.05)
		near(t, "coverage", held/done, 0.96, 0.025)
	}
}

// alike draws a field whose neighboring places are alike: an autoregression of the first order
// along lanes and across them, and noise of each place for itself.
func alike(r *rand.Rand, lanes, bins int, along, across float64) Lanes {
	field, before := make(Lanes, lanes), make([]float64, bins)
	next := func(last, likeness float64, new float64) float64 {
		return likeness*last + math.Sqrt(1-likeness*likeness)*new
	}
	for i := range field {
		field[i] = make([]Bin, bins)
		one := r.NormFloat64()
		for j := range bins {
			if j > 0 {
				one = next(one, along, r.NormFloat64())
			}
			if i == 0 {
				before[j] = one
			} else {
				before[j] = next(before[j], across, one)
			}
			field[i][j] = Bin{1, 100 + 5*before[j] + 2*r.NormFloat64(), 1}
		}
	}
	return field
}

// Over many fields whose places are alike near and far, a difference is found as often as planned
// from the noise of all of them: that strips of one field are neighbors costs nothing.
func TestPowerOverFields(t *testing.T) {
	const n, bins, fields = 6, 10, 1500
	r := rand.New(rand.NewPCG(4, 12))
	for _, likeness := range [][2]float64{{0.8, 0.3}, {0.95, 0.9}} {
		var designs [][]float64
		squares, places := 0.0, 0.0
		for range fields {
			field := alike(r, 32, 30, likeness[0], likeness[1])
			rms, count := field.Noise(bins, TUUT)
			squares, places = squares+rms*rms*float64(count), places+float64(count)
			var d []float64
			for _, p := range drawn(r, field.Places(bins, TUUT), n, bins, TUUT.width()) {
				d = append(d, p.Difference)
			}
			designs = append(designs, d)
		}
		effect := Detectable(n, 0.8, 0.95) * math.Sqrt(squares/places)
		found, held := 0.0, 0.0
		for _, d := range designs {
			for i := range d {
				d[i] += effect
			}
			e := Of(d, 0.95)
			if e.Verdict(0) == More {
				found++
			}
			if e.Verdict(effect) == Untold {
				held++
			}
		}
		near(t, "power", found/fields, 0.8, 0.031) // three standard errors
		near(t, "coverage", held/fields, 0.95, 0.017)
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

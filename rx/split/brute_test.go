package split_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// grounds draws up to n zones with whole rates and acres.
func grounds(t *rapid.T, n int) []rxtest.Ground {
	out := make([]rxtest.Ground, rapid.IntRange(1, n).Draw(t, "zones"))
	for i := range out {
		out[i] = rxtest.Ground{
			Acres: unit.Area(rapid.IntRange(1, 60).Draw(t, "acres")),
			Rate:  unit.DryRate(rapid.IntRange(60, 400).Draw(t, "rate")),
		}
	}
	return out
}

func graded(t *testing.T, more string, g []rxtest.Ground) (*rx.Prescription, *rx.Assessment) {
	p := rxtest.Plain(g...)
	return p, rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, more)))
}

func wayOf(ways []rx.Way, name rx.WayName) rx.Way {
	return ways[slices.IndexFunc(ways, func(w rx.Way) bool { return w.Name == name })]
}

// Refit costs what the best of all breakpoints costs, and no more than any other
// band: brute force over the definition of the cost.
func TestRefitIsMinimal(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := grounds(r, 12)
		p, a := graded(t, "", g)
		w := wayOf(split.For(p, a, nil).Ways(), rx.Refit)
		if !w.Possible() {
			r.Fatalf("refit is always possible without how-to limits: %s", w.Why)
		}
		got := float64(w.DryAdded + w.DryRemoved)
		cost := func(low float64) float64 {
			sum := 0.0
			for _, z := range g {
				rate := float64(z.Rate)
				sum += float64(z.Acres) * (math.Max(0, low-rate) + math.Max(0, rate-2*low))
			}
			return sum
		}
		best := math.Inf(1)
		for _, z := range g {
			best = math.Min(best, math.Min(cost(float64(z.Rate)), cost(float64(z.Rate)/2)))
		}
		if math.Abs(got-best) > 1e-9*(1+best) {
			r.Fatalf("cost %v, the best breakpoint costs %v", got, best)
		}
		for i := range 10000 {
			if low := 20 + float64(i)*0.04; cost(low) < got-1e-9*(1+got) {
				r.Fatalf("cost %v, a band from %v costs %v", got, low, cost(low))
			}
		}
	})
}

// The fewest loads are never beaten by brute force, neither in number nor in how
// near they come to the intended rate.
func TestLoadsAreNeverBeaten(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := grounds(r, 12)
		p, a := graded(t, "", g)
		got, err := split.For(p, a, nil).Plan(rx.Loads)
		if err != nil {
			r.Fatal(err)
		}
		steps := distinct(g)
		count, cost := bruteLoads(steps)
		if len(got.Way.Loads) != count {
			r.Fatalf("%d loads, brute force needs %d", len(got.Way.Loads), count)
		}
		// What is planned is rounded inward to a tenth of a fluid ounce a ton.
		slack := 0.0
		mine := 0.0
		for i, z := range p.Zones {
			mine += float64(z.Area) * math.Abs(float64(got.Stabilizer[i])-30)
			slack += float64(z.Area) * float64(z.Carrier) * 0.101 / 2000
		}
		if mine > cost+slack+1e-6 {
			r.Fatalf("off by %v acre·fl oz, brute force by %v", mine, cost)
		}
	})
}

func distinct(g []rxtest.Ground) []rxtest.Ground {
	sorted := slices.Clone(g)
	slices.SortFunc(sorted, func(a, b rxtest.Ground) int { return int(a.Rate - b.Rate) })
	out := sorted[:0:0]
	for _, z := range sorted {
		if n := len(out); n > 0 && out[n-1].Rate == z.Rate {
			out[n-1].Acres += z.Acres
		} else {
			out = append(out, z)
		}
	}
	return out
}

// bruteLoads tries every way to cut the rates into runs.
func bruteLoads(steps []rxtest.Ground) (count int, cost float64) {
	count, cost = math.MaxInt, math.Inf(1)
	for cuts := range 1 << (len(steps) - 1) {
		n, sum, from := 0, 0.0, 0
		for i := range steps {
			if i < len(steps)-1 && cuts&(1<<i) == 0 {
				continue
			}
			sum += bruteRun(steps[from : i+1])
			from = i + 1
			n++
		}
		if !math.IsInf(sum, 1) && (n < count || n == count && sum < cost) {
			count, cost = n, sum
		}
	}
	return count, cost
}

func bruteRun(run []rxtest.Ground) float64 {
	low, high := 2000*20/float64(run[0].Rate), 2000*40/float64(run[len(run)-1].Rate)
	if low > high*(1+1e-12) {
		return math.Inf(1)
	}
	area, mass := 0.0, 0.0
	for _, z := range run {
		area += float64(z.Acres)
		mass += float64(z.Acres) * float64(z.Rate)
	}
	loading := math.Min(math.Max(2000*30*area/mass, low), high)
	sum := 0.0
	for _, z := range run {
		sum += float64(z.Acres) * math.Abs(loading*float64(z.Rate)/2000-30)
	}
	return sum
}

// No way that is marked possible leaves a treated acre off label, with limits or
// without, with zones left off or not; all that aren't free to change rates conserve product.
func TestPossibleMeansOnLabel(t *testing.T) {
	profiles := []string{"", rxtest.HowTo, "season-max: 60 fl oz/ac\n" + rxtest.HowTo, "max-liquid: 4 gal/ton\n", "min-dry-rate: 90 lb/ac\nloading: {min: 250 fl oz/ton, max: 330 fl oz/ton}\n"}
	rapid.Check(t, func(r *rapid.T) {
		p := rxtest.Plain(grounds(r, 12)...)
		terms := rxtest.Terms(rxtest.Label(t, rapid.SampledFrom(profiles).Draw(r, "profile")))
		terms.LeaveOff = rapid.Bool().Draw(r, "leave off")
		terms.RateError = unit.Ratio(rapid.SampledFrom([]float64{0, 0.05, 0.4}).Draw(r, "rate error"))
		terms.AlreadyApplied = rapid.SampledFrom([]unit.LiquidRate{0, 25}).Draw(r, "applied")
		if l := rapid.SampledFrom([]unit.Loading{0, 60, 300, 600}).Draw(r, "further liquid"); l > 0 {
			terms.Further = rxtest.Further(l)
		}
		a := rxtest.Grade(t, p, terms)
		for _, w := range split.For(p, a, nil).Ways() {
			if !w.Possible() {
				if w.Why == "" || w.OffLabel != a.OffLabel() {
					r.Fatalf("way %s: refused without a reason", w.Name)
				}
				continue
			}
			if w.OffLabel != 0 || w.Name == rx.WetBoom { // a wet boom draws polygons
				continue
			}
			got, err := split.For(p, a, nil).Plan(w.Name)
			if err != nil {
				r.Fatalf("way %s: marked possible, yet %v", w.Name, err)
			}
			onLabel(t, p, a, got)
			howTo(r, terms, p, got)
			if !w.NewRates {
				conserves(t, p, got)
			}
		}
	})
}

// howTo fails where a treated layer breaks what the label says on impregnating.
func howTo(r *rapid.T, terms rx.Terms, p *rx.Prescription, plan *rx.Plan) {
	for _, l := range plan.Layers {
		if !l.Treated {
			continue
		}
		further := unit.Loading(0)
		if len(l.Further) > 0 {
			further = l.Further[0].Loading
		}
		if most, ok := terms.Label.MaxLiquid.Get(); ok && l.Loading+further > most*(1+1e-9) {
			r.Fatalf("way %s: loadings %v and %v, at most %v", plan.Way.Name, l.Loading, further, most)
		}
		if window, why := terms.DryWindow(l.Load(0, l.Dry, nil).Loadings()...); why != "" || window.Under(l.Dry.Min) || window.Over(l.Dry.Max) {
			r.Fatalf("way %s: %v to %v at %v, and the window is %v: %s", plan.Way.Name, l.Dry.Min, l.Dry.Max, l.Loading, window, why)
		}
		if per, ok := terms.Label.Loading.Get(); ok && (l.Loading < per.Min*(1-1e-9) || l.Loading > per.Max*(1+1e-9)) {
			r.Fatalf("way %s: loading %v, outside %v", plan.Way.Name, l.Loading, per)
		}
		if least, ok := terms.Label.MinDryRate.Get(); ok && l.Dry.Min < least*(1-1e-9) {
			r.Fatalf("way %s: %v is impregnated, at least %v", plan.Way.Name, l.Dry.Min, least)
		}
	}
}

// Permuting the records changes no total.
func TestOrderOfRecordsDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := grounds(r, 12)
		shuffled := rapid.Permutation(g).Draw(r, "order")
		p, a := graded(t, "", g)
		q, b := graded(t, "", shuffled)
		ways, others := split.For(p, a, nil).Ways(), split.For(q, b, nil).Ways()
		for _, w := range ways {
			o := wayOf(others, w.Name)
			if w.Possible() != o.Possible() || len(w.Loads) != len(o.Loads) || math.Abs(float64(w.DryAdded-o.DryAdded)) > 1e-6 || math.Abs(float64(w.Stabilizer-o.Stabilizer)) > 1e-6 {
				r.Fatalf("way %s: %+v, in another order %+v", w.Name, w, o)
			}
		}
	})
}

package split_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// The brute force below knows the trade's arithmetic alone, S = A·R/2000 with S from L to
// H, and tries. It shares no line with what it is held against.

// one is a liquid as the brute force sees it; what a label doesn't say bounds nothing.
type one struct {
	low, high  float64 // fl oz/ac
	least, top float64 // fl oz/ton by the label's own range
	most       float64 // fl oz/ton of all liquids
	dry        float64 // smallest impregnated lb/ac
	wanted     float64 // fl oz/ac; 0 if the loading is fixed
	fixed      float64 // fl oz/ton; 0 if it is not
	label      bool
}

const close = 1e-9

// lands reports whether loadings put every one of the dry rates on every label.
func lands(list []one, a []float64, rates []float64) bool {
	sum := 0.0
	for k, l := range list {
		sum += a[k]
		if !(a[k] >= 0) || l.fixed > 0 && math.Abs(a[k]-l.fixed) > close*l.fixed || a[k] < l.least*(1-close) || a[k] > l.top*(1+close) {
			return false
		}
		for _, r := range rates {
			if s := a[k] * r / 2000; s < l.low*(1-close) || s > l.high*(1+close) || r < l.dry*(1-close) {
				return false
			}
		}
	}
	for _, l := range list {
		if sum > l.most*(1+close) {
			return false
		}
	}
	return true
}

// tries lists loadings at which some limit of a liquid begins or ends.
func tries(l one, rates []float64) (list []float64) {
	for _, r := range rates {
		list = append(list, 2000*l.low/r, 2000*l.high/r)
	}
	list = append(list, l.least, l.top, l.fixed, 0)
	return list
}

// serve returns the lowest and the highest loading of the first of two liquids with which
// one load lands on label, found by trying; ok is false if none does.
func serve(list []one, rates []float64) (low, high float64, ok bool) {
	low = math.Inf(1)
	most := math.Min(list[0].most, list[1].most)
	for _, second := range tries(list[1], rates) {
		for _, first := range append(tries(list[0], rates), most-second) {
			if math.IsInf(first, 0) || math.IsInf(second, 0) || !lands(list, []float64{first, second}, rates) {
				continue
			}
			low, high, ok = math.Min(low, first), math.Max(high, first), true
		}
	}
	return low, high, ok
}

// fewest returns the least number of loads that serve all rates, whichever rates share one;
// 0 if none do.
func fewest(list []one, rates []float64) int {
	good := make([]bool, 1<<len(rates))
	for set := 1; set < len(good); set++ {
		var of []float64
		for i, r := range rates {
			if set&(1<<i) != 0 {
				of = append(of, r)
			}
		}
		_, _, good[set] = serve(list, of)
	}
	best := make([]int, len(good))
	for set := 1; set < len(good); set++ {
		for part := set; part > 0; part = (part - 1) & set {
			if rest := set &^ part; good[part] && (rest == 0 || best[rest] > 0) && (best[set] == 0 || best[rest]+1 < best[set]) {
				best[set] = best[rest] + 1
			}
		}
	}
	return best[len(good)-1]
}

// change is what bringing the rates into a band from low, as wide as one load serves, adds
// and takes off; infinite if there is no such band.
func change(list []one, g []rxtest.Ground, low float64) float64 {
	works := func(high float64) bool { _, _, ok := serve(list, []float64{low, high}); return ok }
	if !works(low) {
		return math.Inf(1)
	}
	from, to := low, low*100
	for range 44 {
		if middle := (from + to) / 2; works(middle) {
			from = middle
		} else {
			to = middle
		}
	}
	sum := 0.0
	for _, z := range g {
		sum += float64(z.Acres) * (math.Max(0, low-float64(z.Rate)) + math.Max(0, float64(z.Rate)-from))
	}
	return sum
}

// pick draws one of several.
func pick[T any](r *rand.Rand, of ...T) T { return of[r.IntN(len(of))] }

// invented draws two liquids.
func invented(r *rand.Rand) []one {
	var list []one
	for k := range 2 {
		inf := math.Inf(1)
		l := one{high: inf, top: inf, most: inf}
		if l.label = k == 0 || r.IntN(4) > 0; l.label {
			l.low = pick(r, 20, 15.5, 2, 3.25)
			l.high = l.low * pick(r, 1.25, 1.9, 2, 3)
			l.most = pick(r, inf, inf, 384, 512, 620)
			l.dry = pick(r, 0.0, 0, 80, 110)
			if r.IntN(3) == 0 {
				l.least = 2000 * l.low / float64(120+r.IntN(200))
				l.top = l.least * (1.2 + 2*r.Float64())
			}
			l.wanted = l.low + r.Float64()*(l.high-l.low)
		}
		if k == 1 && r.IntN(3) == 0 {
			l.fixed, l.wanted = math.Round(2000*math.Max(l.low, 2)/float64(100+r.IntN(250))*10)/10, 0
		} else if !l.label {
			l.wanted = 1 + 9*r.Float64()
		}
		list = append(list, l)
	}
	return list
}

// yaml is what a label says, for [rxtest.Terms].
func (l one) yaml() string {
	text := fmt.Sprintf("name: x\nrate: {min: %v fl oz/ac, max: %v fl oz/ac}\n", l.low, l.high)
	if !math.IsInf(l.most, 1) {
		text += fmt.Sprintf("max-liquid: %v fl oz/ton\n", l.most)
	}
	if l.dry > 0 {
		text += fmt.Sprintf("min-dry-rate: %v lb/ac\n", l.dry)
	}
	if l.least > 0 {
		text += fmt.Sprintf("loading: {min: %v fl oz/ton, max: %v fl oz/ton}\n", l.least, l.top)
	}
	return text
}

func termsOf(t *testing.T, list []one) (rx.Terms, bool) {
	if list[0].least > list[0].most || list[1].least > list[1].most {
		return rx.Terms{}, false // no label says so
	}
	terms := rxtest.Terms(rxtest.Profile(t, list[0].yaml()))
	terms.Intended = unit.LiquidRate(list[0].wanted)
	other := rx.JobLiquid{Name: "another", Intended: unit.LiquidRate(list[1].wanted), Loading: unit.Loading(list[1].fixed), On: equip.OnBlend}
	if list[1].label {
		other.Label = rxtest.Profile(t, list[1].yaml())
	}
	terms.Further = []rx.JobLiquid{other}
	return terms, true
}

// roomy are the liquids with the room for a rate error taken off both ends of their labels;
// as they are where one of them has no room.
func roomy(list []one, e float64) []one {
	out := slices.Clone(list)
	for k := range out {
		out[k].low /= 1 - e
		out[k].high /= 1 + e
		if out[k].label && out[k].low > out[k].high {
			return list
		}
	}
	return out
}

// keepsRoom fails unless a way's room is that of the definition, and, where it might be,
// the rate error; the meter, of 0.1 fl oz a ton, takes no more of it than a graduation.
func keepsRoom(t *testing.T, name string, list []one, p *rx.Prescription, plan *rx.Plan, e float64, might bool) {
	t.Helper()
	room, step := math.Inf(1), 0.0
	for k, rates := range [][]unit.LiquidRate{plan.Stabilizer, plan.Further[0]} {
		for i := range p.Zones {
			if s := float64(rates[i]); s > 0 && list[k].label {
				room = math.Min(room, math.Min(1-list[k].low/s, list[k].high/s-1))
				step = math.Max(step, 0.101/(2000*s/float64(plan.Way.Loads[0].Rates.Max)))
			}
		}
	}
	if got := float64(plan.Way.Room); !same(got, math.Max(0, room)) {
		t.Errorf("%s: way %s has room for %v, by the definition %v", name, plan.Way.Name, got, room)
	} else if might && got < e-step {
		t.Errorf("%s: way %s has room for %v of %v", name, plan.Way.Name, got, e)
	}
}

// Two liquids on a variable blend: whether one load serves, and with which loadings, how
// few loads do, what a base carries, and how little a refit changes, against brute force;
// with a rate error, whether they leave room for it.
func TestTwoLiquidsAgainstBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2026))
	counted := map[string]int{}
	cases := 500
	if testing.Short() {
		cases = 100
	}
	for n := 0; n < cases; {
		list := invented(r)
		terms, sane := termsOf(t, list)
		if !sane {
			continue
		}
		n++
		e := pick(r, 0, 0.02, 0.05, 0.1)
		terms.RateError = unit.Ratio(e)
		within := roomy(list, e)
		var g []rxtest.Ground
		var rates []float64
		seen := map[int]bool{}
		from, wide := 60+r.IntN(200), pick(r, 60, 150, 300)
		for range 1 + r.IntN(5) {
			rate := from + r.IntN(wide)
			if !seen[rate] {
				seen[rate] = true
				g, rates = append(g, rxtest.Ground{Acres: unit.Area(1 + r.IntN(60)), Rate: unit.DryRate(rate)}), append(rates, float64(rate))
			}
		}
		p := rxtest.Plain(g...)
		a := rxtest.Grade(t, p, terms)
		ways := split.For(p, a, nil).Ways()
		name := fmt.Sprintf("case %d, %+v at %v, ±%v", n, list, rates, e)

		low, high, ok := serve(list, rates)
		if (a.Window != nil) != ok || ok && (!same(float64(a.Window.Min), low) || !same(float64(a.Window.Max), high) && !math.IsInf(high, 1)) {
			t.Errorf("%s: window %v, by brute force %v to %v, %v: %s", name, a.Window, low, high, ok, a.WhyNoWindow)
		}
		if w := wayOf(ways, rx.OneLoad); w.Possible() != ok {
			t.Errorf("%s: one load is %v, by brute force %v: %s", name, w.Possible(), ok, w.Why)
		} else if ok {
			counted["one load"]++
			_, _, might := serve(within, rates)
			one := plan(t, p, a, rx.OneLoad)
			lays(t, name, list, p, one)
			keepsRoom(t, name, list, p, one, e, might && margin(list, e))
			if might && e > 0 {
				counted["one load with room"]++
			}
		}
		count := fewest(list, rates)
		if w := wayOf(ways, rx.Loads); len(w.Loads) != count {
			t.Errorf("%s: %d loads, by brute force %d: %s", name, len(w.Loads), count, w.Why)
		} else if count > 0 {
			counted["loads"]++
			several := plan(t, p, a, rx.Loads)
			lays(t, name, list, p, several)
			keepsRoom(t, name, list, p, several, e, margin(list, e) && fewest(within, rates) == count)
		}
		counted["base"] += baseIsRight(t, name, list, within, rates, p, a, wayOf(ways, rx.Base))
		counted["refit"] += refitIsLeast(t, name, list, within, g, p, a, wayOf(ways, rx.Refit))
	}
	t.Logf("possible of %d: %v", cases, counted)
	for what, n := range counted {
		if n < cases/5 {
			t.Errorf("%s: only %d of %d cases were possible", what, n, cases)
		}
	}
}

func same(a, b float64) bool { return math.Abs(a-b) <= 1e-8*math.Max(1, math.Abs(b)) }

// lays fails unless each treated layer is on every label by the definition, zone by zone.
func lays(t *testing.T, name string, list []one, p *rx.Prescription, plan *rx.Plan) {
	t.Helper()
	for _, l := range plan.Layers {
		if !l.Treated {
			continue
		}
		var rates []float64
		for i := range p.Zones {
			if rate := float64(l.DryRate(p, i)); rate > 0 {
				rates = append(rates, rate)
			}
		}
		if a := []float64{float64(l.Loading), float64(l.Further[0].Loading)}; !lands(list, a, rates) {
			t.Errorf("%s: way %s, layer %s: %v is off label at %v", name, plan.Way.Name, l.Name, a, rates)
		}
	}
}

// baseIsRight holds the doses of a base against the rates that are wanted: each liquid has
// its own where its label and what a ton takes up allow it.
func baseIsRight(t *testing.T, name string, list, within []one, rates []float64, p *rx.Prescription, a *rx.Assessment, w rx.Way) int {
	t.Helper()
	b := math.Inf(1)
	for _, r := range rates {
		b = math.Min(b, r)
	}
	_, _, ok := serve(list, []float64{b})
	if w.Possible() != ok {
		t.Errorf("%s: a base is %v, by brute force %v: %s", name, w.Possible(), ok, w.Why)
	}
	if !ok || !w.Possible() {
		return 0
	}
	lays(t, name, list, p, plan(t, p, a, rx.Base))
	if _, _, might := serve(within, []float64{b}); !might {
		within = list
	}
	var want [2]float64
	for k, l := range within {
		want[k] = math.Min(math.Max(2000*math.Min(math.Max(l.wanted, l.low), l.high)/b, l.least), l.top)
		if l.fixed > 0 {
			want[k] = l.fixed
		}
	}
	if want[0]+want[1] > math.Min(list[0].most, list[1].most) {
		return 1 // brought down, inside the labels
	}
	got := [2]float64{float64(w.Loads[0].Loading), float64(w.Loads[0].Further[0])}
	for k := range got {
		if math.Abs(got[k]-want[k]) > 0.1001 {
			t.Errorf("%s: base doses %v, wanted are %v", name, got, want)
		}
	}
	return 1
}

// refitIsLeast holds what a refit changes against bands from where a rate or a limit lies,
// and from everywhere between; with a rate error a graduation of the loading may move all
// rates besides.
func refitIsLeast(t *testing.T, name string, list, within []one, g []rxtest.Ground, p *rx.Prescription, a *rx.Assessment, w rx.Way) int {
	t.Helper()
	least := math.Inf(1)
	for _, z := range g {
		least = math.Min(least, change(within, g, float64(z.Rate)))
		for _, l := range within {
			if l.label {
				least = math.Min(least, change(within, g, float64(z.Rate)*l.low/l.high))
			}
		}
	}
	for low := 20.0; low < 600; low += 7 {
		least = math.Min(least, change(within, g, low))
	}
	if !w.Possible() {
		if !math.IsInf(least, 1) {
			t.Errorf("%s: no refit, by brute force one changes %v lb: %s", name, least, w.Why)
		}
		return 0
	}
	refitted := plan(t, p, a, rx.Refit)
	lays(t, name, list, p, refitted)
	keepsRoom(t, name, list, p, refitted, float64(a.Terms.RateError), margin(list, float64(a.Terms.RateError)))
	moved := 0.0
	for _, loading := range append(w.Loads[0].Further[:1:1], w.Loads[0].Loading) {
		if a.Terms.RateError > 0 && loading > 0 {
			moved = math.Max(moved, 0.101/float64(loading))
		}
	}
	if got := float64(w.DryAdded + w.DryRemoved); got > least*(1+1e-7)+1e-5+moved*float64(p.DryMass()) {
		t.Errorf("%s: a refit changes %v lb, by brute force %v", name, got, least)
	}
	return 1
}

// margin reports whether every label leaves room for a rate error.
func margin(list []one, e float64) bool {
	for _, l := range list {
		if l.label && l.low/(1-e) > l.high/(1+e) {
			return false
		}
	}
	return true
}

// The worked example: 40 fl oz a ton over 119.5 to 352.2 lb/ac lands at 2.39 to 7.04 fl
// oz/ac, 40·119.5/2000 and 40·352.2/2000. A label of 2.5 to 7 has the ends off it.
func TestFixedLoadingIsGraded(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Further = rxtest.Further(40)
	terms.Further[0].Label = rxtest.Profile(t, "name: x\nrate: {min: 2.5 fl oz/ac, max: 7 fl oz/ac}\n")
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 119.5}, rxtest.Ground{Acres: 50, Rate: 200}, rxtest.Ground{Acres: 20, Rate: 352.2})
	g := rxtest.Grade(t, p, terms).Further[0]
	near(t, "least", float64(g.Stabilizer.Min), 2.39, 1e-12)
	near(t, "most", float64(g.Stabilizer.Max), 7.044, 1e-12)
	near(t, "below", float64(g.Shares[rx.Below].Area), 10, 1e-12)
	near(t, "within", float64(g.Shares[rx.Within].Area), 50, 1e-12)
	near(t, "above", float64(g.Shares[rx.Above].Area), 20, 1e-12)
}

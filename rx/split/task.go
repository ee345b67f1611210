package split

import (
	"cmp"
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// Task is a prescription that is to be released. What its methods need in common, such as
// the passes that are driven, is worked out once: a Task is for one goroutine.
type Task struct {
	p       *rx.Prescription
	a       *rx.Assessment
	terms   rx.Terms
	keepOut orb.MultiPolygon // lon/lat, cut out of the liquid layer

	outline  func() (*geo.Outline, error)     // of the zones that get dry, once asked for
	liquid   func() (orb.MultiPolygon, error) // what the boom sprays, once asked for
	ways     []rx.Way                         // once asked for
	kept     *inKeepOut                       // once asked for
	strips   *strips                          // once asked for
	distinct []step                           // once asked for
	driven   []driven                         // passes of any way
}

// For returns the task of a prescription and what was found of it, with keep-outs in
// lon/lat that are cut out of the liquid layer.
func For(p *rx.Prescription, a *rx.Assessment, keepOut orb.MultiPolygon) *Task {
	t := &Task{p: p, a: a, terms: a.Terms, keepOut: keepOut, outline: sync.OnceValues(func() (*geo.Outline, error) { return treatedOutline(p) })}
	t.liquid = sync.OnceValues(t.liquidPieces)
	return t
}

func (t *Task) nothingToTreat() string {
	if _, _, ok := t.p.CarrierRange(); !ok {
		return "no zone has a dry rate above 0"
	}
	return ""
}

// margin is the rate error that ways are planned with: the spreader's, where
// that leaves any room between the ends of every label.
func (t *Task) margin() unit.Ratio {
	e := t.terms.RateError
	for _, l := range append(t.terms.FurtherOn(equip.OnBlend), t.terms.Stabilizer()) {
		if pass, _ := t.terms.Pass(l); pass.Min/unit.LiquidRate(1-e) > pass.Max/unit.LiquidRate(1+e) {
			return 0
		}
	}
	return e
}

// windows are the loadings of the liquids of the blend that serve dry rates, the
// stabilizer's first; nil if none do.
type windows []rx.Range[unit.Loading]

// window returns the loadings that serve the dry rates, with the spreader's rate error
// where that is possible.
func (t *Task) window(dry rx.Range[unit.DryRate]) (windows, string) {
	if w, _ := t.terms.Windows(dry, t.margin()); w != nil {
		return w, ""
	}
	return t.terms.Windows(dry, 0)
}

// load returns dry that is impregnated so that the windows of its dry rates hold, each
// loading as a plant can meter it; what the plant has fixed it can meter. Where the room
// for the spreader's rate error leaves nothing that a meter reads, it gives way to the
// meter as far as the label lets it.
func (t *Task) load(dry rx.Range[unit.DryRate], w windows, area unit.Area, mass unit.Mass) rx.Load {
	doses := t.terms.Doses(unit.DryRate(float64(mass)/float64(area)), w)
	for k := range doses {
		if fixed := t.terms.Fixed(t.terms.Loading)[k]; doses[k] == fixed {
			continue
		}
		window := t.besides(k, doses, w[k])
		if !t.terms.CanMeter(window) {
			if label, _ := t.terms.Windows(dry, 0); label != nil && t.terms.CanMeter(t.besides(k, doses, label[k])) {
				window = t.besides(k, doses, label[k])
			}
		}
		doses[k] = t.terms.RoundLoading(doses[k], &window)
	}
	return rx.Load{Loading: doses[0], Further: doses[1:], Mass: mass, Area: area, Rates: dry, Materials: t.impregnated()}
}

// besides cuts the window of the liquid at k off at what the doses of the others leave of
// the most that a ton takes up.
func (t *Task) besides(k int, doses []unit.Loading, window rx.Range[unit.Loading]) rx.Range[unit.Loading] {
	most, bounded := t.terms.MostLiquid()
	for j, dose := range doses {
		if j != k {
			most -= dose
		}
	}
	if bounded {
		window.Max = max(window.Min, min(window.Max, most))
	}
	return window
}

// step is the ground that gets one carrier rate.
type step struct {
	rate unit.DryRate
	area unit.Area
}

// steps lists the distinct positive carrier rates, the lowest first, with the area
// that gets each. It is not to be changed.
func (t *Task) steps() []step {
	if t.distinct == nil {
		t.distinct = distinctSteps(t.p.Zones)
	}
	return t.distinct
}

func distinctSteps(zones []rx.Zone) []step {
	var steps []step
	place := make(map[unit.DryRate]int)
	last := -1
	for _, z := range zones {
		if !z.Treated() {
			continue
		}
		if last < 0 || steps[last].rate != z.Carrier { // neighbors often have one rate
			at, ok := place[z.Carrier]
			if !ok {
				at = len(steps)
				place[z.Carrier] = at
				steps = append(steps, step{rate: z.Carrier})
			}
			last = at
		}
		steps[last].area += z.Area
	}
	slices.SortFunc(steps, func(a, b step) int { return cmp.Compare(a.rate, b.rate) })
	return steps
}

// span is what a run of steps amounts to: its ends, acres and mean rate.
func span(steps []step) (dry rx.Range[unit.DryRate], area unit.Area, mass unit.Mass) {
	for _, s := range steps {
		area += s.area
		mass += unit.MassOver(s.rate, s.area)
	}
	return rx.Range[unit.DryRate]{Min: steps[0].rate, Max: steps[len(steps)-1].rate}, area, mass
}

// leftOff lists the treated zones whose carrier rate keep refuses.
func (t *Task) leftOff(keep func(unit.DryRate) bool) (zones []int, area unit.Area) {
	return t.p.Where(func(i int) bool {
		z := t.p.Zones[i]
		return z.Treated() && !keep(z.Carrier)
	})
}

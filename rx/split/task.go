package split

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// task is a prescription that is to be released.
type task struct {
	p       *rx.Prescription
	a       *rx.Assessment
	terms   rx.Terms
	keepOut orb.MultiPolygon // lon/lat, cut out of the liquid layer

	outline    *geo.Outline // of the zones that get dry, once asked for
	outlineErr error
	kept       *inKeepOut // once asked for
	distinct   []step     // once asked for
	driven     []driven   // passes of any way
}

func newTask(p *rx.Prescription, a *rx.Assessment, keepOut orb.MultiPolygon) *task {
	return &task{p: p, a: a, terms: a.Terms, keepOut: keepOut}
}

func (t *task) nothingToTreat() string {
	if _, _, ok := t.p.CarrierRange(); !ok {
		return "no zone has a dry rate above 0"
	}
	return ""
}

// dryArea returns the area of the zones that get any dry product.
func (t *task) dryArea() unit.Area {
	return unit.Area(t.p.Sum(func(z rx.Zone) float64 {
		if !(z.Dry > 0) {
			return 0
		}
		return float64(z.Area)
	}))
}

// margin is the rate error that ways are planned with: the spreader's, where
// that leaves any room between the ends of the label.
func (t *task) margin() unit.Ratio {
	e := t.terms.RateError
	if pass, _ := t.terms.PassRange(); pass.Min/unit.LiquidRate(1-e) <= pass.Max/unit.LiquidRate(1+e) {
		return e
	}
	return 0
}

// window returns the loadings that serve the dry rates, with the spreader's rate
// error where that is possible.
func (t *task) window(dry rx.Range[unit.DryRate]) (*rx.Range[unit.Loading], string) {
	if w, _ := t.terms.WindowFor(dry, t.margin()); w != nil {
		return w, ""
	}
	return t.terms.WindowFor(dry, 0)
}

// wanted returns the loading in a window that a load should have: the one that the
// plant has fixed, if the window allows it, else the nearest to the one that puts the
// intended rate on ground with the mean dry rate.
func (t *task) wanted(mean unit.DryRate, window rx.Range[unit.Loading]) unit.Loading {
	if fixed := t.terms.Loading; fixed > 0 && window.Contains(fixed) {
		return fixed
	}
	return min(max(unit.LoadingFor(t.terms.Intended, mean), window.Min), window.Max)
}

// loading returns the wanted loading inside the window of the dry rates, as a plant can
// meter it; what the plant has fixed it can meter. Where the room for the spreader's
// rate error leaves nothing that a meter reads, it gives way to the meter as far as the
// label lets it.
func (t *task) loading(mean unit.DryRate, dry rx.Range[unit.DryRate], window rx.Range[unit.Loading]) unit.Loading {
	wanted := t.wanted(mean, window)
	if wanted == t.terms.Loading {
		return wanted
	}
	if !t.terms.CanMeter(window) {
		if label, _ := t.terms.WindowFor(dry, 0); label != nil && t.terms.CanMeter(*label) {
			return t.terms.RoundLoading(wanted, label)
		}
	}
	return t.terms.RoundLoading(wanted, &window)
}

// step is the ground that gets one carrier rate.
type step struct {
	rate unit.DryRate
	area unit.Area
}

// steps lists the distinct positive carrier rates, the lowest first, with the area
// that gets each. It is not to be changed.
func (t *task) steps() []step {
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
func (t *task) leftOff(keep func(unit.DryRate) bool) (zones []int, area unit.Area) {
	for _, z := range t.p.Zones {
		if z.Treated() && !keep(z.Carrier) {
			zones, area = append(zones, z.Number()), area+z.Area
		}
	}
	return zones, area
}

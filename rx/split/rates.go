package split

import (
	"cmp"
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

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
		mass += s.rate.Over(s.area)
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

// stabilizer returns what each zone gets from treated layers: loading gives the
// loading and the carrier rate that the zone gets, or no loading.
func (t *task) stabilizer(of func(z rx.Zone) (unit.Loading, unit.DryRate)) []unit.LiquidRate {
	out := make([]unit.LiquidRate, len(t.p.Zones))
	for i, z := range t.p.Zones {
		if z.Treated() {
			out[i] = unit.StabilizerRate(of(z))
		}
	}
	return out
}

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
// that gets each.
func (t *task) steps() []step {
	all := make([]step, 0, len(t.p.Zones))
	for _, z := range t.p.Zones {
		if z.Treated() {
			all = append(all, step{z.Carrier, z.Area})
		}
	}
	slices.SortStableFunc(all, func(a, b step) int { return cmp.Compare(a.rate, b.rate) })
	distinct := all[:0]
	for _, s := range all {
		if n := len(distinct); n > 0 && distinct[n-1].rate == s.rate {
			distinct[n-1].area += s.area
		} else {
			distinct = append(distinct, s)
		}
	}
	return distinct
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

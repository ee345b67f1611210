package check

import (
	"runtime"
	"sync"
	"sync/atomic"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// noSpreader says why a rule about the spreader can't look, empty if it can.
func noSpreader(_ *rx.Prescription, a *rx.Assessment) string {
	if spreaderOf(a) == nil {
		return "no spreader is given (--job, spreader)"
	}
	return ""
}

func spreaderOf(a *rx.Assessment) *equip.Spreader {
	if a.Terms.Job == nil {
		return nil
	}
	return a.Terms.Job.Spreader
}

// product is what a machine spreads at a rate of its own.
type product struct {
	field string // empty if there is one product only
	rate  func(zone int) unit.DryRate
}

// products lists what is spread: the blend, or the products side by side.
func products(p *rx.Prescription) []product {
	if p.Blend() {
		return []product{{rate: func(zone int) unit.DryRate { return p.Zones[zone].Dry }}}
	}
	var list []product
	for f, field := range p.Fields {
		list = append(list, product{field.Name, func(zone int) unit.DryRate { return p.FieldRate(zone, f) }})
	}
	return list
}

// within prints an area and the zones that it lies in.
func within(area unit.Area, zones []int, s unit.System) string {
	return rx.GroundText(area, s) + " in " + rx.ZonesNamed(zones)
}

// onCores calls work for 0 to n, the end excluded, on all cores.
func onCores(n int, work func(i int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				work(i)
			}
		})
	}
	wg.Wait()
}

package check

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/cores"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Patches joins the zones that are off label into connected ground of one verdict, the
// largest first. Where their polygons can't be joined, or there are none, each zone is a
// patch of its own.
func Patches(p *rx.Prescription, a *rx.Assessment) []rx.Patch {
	var list []rx.Patch
	for _, kind := range []rx.Patch{{Verdict: rx.Below}, {Verdict: rx.Above}, {Verdict: rx.Within, Season: true}} {
		list = append(list, patches(p, kind, func(i int) bool {
			return a.Verdicts[i] == kind.Verdict && (!kind.Season || a.OffBySeason(i))
		})...)
	}
	slices.SortStableFunc(list, func(a, b rx.Patch) int { return cmp.Compare(b.Area, a.Area) })
	return list
}

// patches makes those of one kind.
func patches(p *rx.Prescription, kind rx.Patch, off func(i int) bool) []rx.Patch {
	var zones []int // indexes
	var records []int32
	for i, z := range p.Zones {
		if off(i) {
			zones, records = append(zones, i), append(records, z.Record)
		}
	}
	if len(zones) == 0 {
		return nil
	}
	if p.Mesh == nil {
		return alone(p, kind, zones)
	}
	ground, err := p.Mesh.Connected(records)
	if err != nil {
		return alone(p, kind, zones)
	}
	list := make([]rx.Patch, len(ground))
	holder := make([]int32, len(p.LonLat.PolyEnds)) // of a part: its piece of ground, from 1
	for n, g := range ground {
		list[n] = kind
		list[n].Zones = make([]int, 0, len(g.Parts))
		for _, part := range g.Parts {
			holder[part] = int32(n + 1)
		}
	}
	var left []int // smaller than what the mesh tells apart
	for _, i := range zones {
		if !join(list, holder, p, i) {
			left = append(left, i)
		}
	}
	cores.Each(len(list), func(n int) { list[n].Place = geo.InteriorPoint(orb.MultiPolygon{ground[n].Polygon}) })
	list = slices.DeleteFunc(list, func(one rx.Patch) bool { return len(one.Zones) == 0 })
	return append(list, alone(p, kind, left)...)
}

// join adds a zone, by its index, to the patches that hold its parts; it reports whether
// any does.
func join(list []rx.Patch, holder []int32, p *rx.Prescription, i int) bool {
	z := p.Zones[i]
	from, to := p.LonLat.PolySpan(int(z.Record))
	held := holder[from:to]
	if len(held) == 1 { // nearly always
		held = held[:min(1, held[0])]
	} else {
		held = slices.Clone(held)
		slices.Sort(held)
		held = slices.DeleteFunc(slices.Compact(held), func(n int32) bool { return n == 0 })
	}
	if len(held) == 1 {
		take(&list[held[0]-1], z, z.Area)
		return true
	}
	for _, n := range held {
		var polygons orb.MultiPolygon
		for k, polygon := range p.LonLat.Shape(int(z.Record)) {
			if holder[from+k] == n {
				polygons = append(polygons, polygon)
			}
		}
		area, err := geo.AreaOf(polygons) // as the zone's own was measured
		if err == nil {
			take(&list[n-1], z, area)
		}
	}
	return len(held) > 0
}

// take adds so much of a zone to a patch.
func take(one *rx.Patch, z rx.Zone, area unit.Area) {
	one.Dry.Widen(z.Carrier, len(one.Zones) == 0)
	one.Zones = append(one.Zones, z.Number())
	one.Area += area
}

// alone makes a patch of each zone.
func alone(p *rx.Prescription, kind rx.Patch, zones []int) []rx.Patch {
	list := make([]rx.Patch, len(zones))
	for n, i := range zones {
		list[n] = kind
		take(&list[n], p.Zones[i], p.Zones[i].Area)
		if p.LonLat != nil && p.LonLat.Len() > 0 {
			list[n].Place = p.Place(i)
		}
	}
	return list
}

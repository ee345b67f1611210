package check

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/cores"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// nearly is the share of a width or length from which on ground counts as wide or
// long enough. It absorbs what plane coordinates, in which people draw, differ from
// the ground, up to 0.1 % in UTM and State Plane, and how exactly widths are found.
const nearly = 0.99

// Ground that can't be delivered as drawn, whatever is planned: every way spreads the dry.
var (
	narrowZone = rx.NewRule[narrow]("narrow-zone", rx.AboutEquipment, rx.EveryPlan)
	shortZone  = rx.NewRule[short]("short-zone", rx.AboutEquipment, rx.EveryPlan)
)

// ground is that of a prescription as a machine meets it: neighbors of equal
// rate joined, where one of them is not wide and long enough by itself. It is worked out
// once for the rules that share it.
type ground struct {
	p    *rx.Prescription
	list []geo.ConnectedGround
	why  string // there are none
	off  []bool // by part of a polygon: what is too narrow or too short
}

// made joins the zones of a prescription, or says why it can't.
func (s *ground) made(p *rx.Prescription, a *rx.Assessment) (why string) {
	if s.p == p {
		return s.why
	}
	*s = ground{p: p}
	if p.Mesh == nil {
		s.why = "the zones have no polygons"
		return s.why
	}
	s.off = make([]bool, len(p.LonLat.PolyEnds))
	var groups [][]int32
	for _, product := range products(p) {
		groups = append(groups, equalRates(p, product)...)
	}
	if n := shared(groups); n > mostShared {
		s.why = fmt.Sprintf("%d dry rates are shared by several zones: too many to join neighbors of equal rate", n)
		return s.why
	}
	broken := slices.ContainsFunc(p.Findings, func(f rx.Finding) bool { return f.Severity == rx.Error }) // rings, say
	groups = slices.DeleteFunc(groups, func(records []int32) bool {
		return !broken && !slices.ContainsFunc(records, func(i int32) bool { return !ample(p.LonLat.Shape(int(i)), spreaderOf(a)) })
	})
	joined := make([][]geo.ConnectedGround, len(groups))
	failed := make([]error, len(groups))
	cores.Each(len(groups), func(i int) { joined[i], failed[i] = p.Mesh.Connected(groups[i]) })
	for _, err := range failed {
		if err != nil {
			s.why = "neighbors of equal rate can't be joined: " + err.Error()
			return s.why
		}
	}
	s.list = slices.Concat(joined...)
	return ""
}

// ample reports whether ground is by itself as wide and as long as a spreader asks for: so is
// all that it is joined to.
func ample(ground orb.MultiPolygon, spreader *equip.Spreader) bool {
	return !slices.ContainsFunc(ground, func(polygon orb.Polygon) bool {
		return !geo.HasRoom(polygon, spreader.Swath/2) || geo.LongestExtent(polygon, spreader.ChangeDistance()) < spreader.ChangeDistance()
	})
}

// mostShared is how many rates zones are joined by at most: each takes some work,
// however few zones share it.
const mostShared = 100_000

// shared counts the groups of more than one.
func shared(groups [][]int32) int {
	n := 0
	for _, g := range groups {
		if len(g) > 1 {
			n++
		}
	}
	return n
}

// equalRates lists the records of each rate, rates as they come up in the file.
// Records without a rate are left out.
func equalRates(p *rx.Prescription, product product) [][]int32 {
	var groups [][]int32
	number := map[unit.DryRate]int{}
	for i, z := range p.Zones {
		if !z.HasRate() {
			continue
		}
		rate := product.rate(i)
		n, ok := number[rate]
		if !ok {
			n = len(groups)
			number[rate] = n
			groups = append(groups, nil)
		}
		groups[n] = append(groups[n], z.Record)
	}
	return groups
}

// misfits are pieces of ground that are too narrow or too short.
type misfits struct {
	which []int                 // in ground.list
	size  rx.Range[unit.Length] // as measured
	zones []int
	area  unit.Area // of the parts of the zones that are meant
}

// below measures the pieces, on all cores, and returns those below a length.
func (s *ground) below(enough unit.Length, measure func(i int) unit.Length) misfits {
	lengths := make([]unit.Length, len(s.list))
	cores.Each(len(s.list), func(i int) { lengths[i] = measure(i) })
	var out misfits
	marked := make([]bool, len(s.p.LonLat.PolyEnds)) // by part: products side by side may share it
	for i, length := range lengths {
		if length >= enough*nearly {
			continue
		}
		out.which = append(out.which, i)
		out.size.Widen(length, len(out.which) == 1)
		for _, part := range s.list[i].Parts {
			marked[part], s.off[part] = true, true
		}
	}
	for i, area := range s.areas(marked) {
		if area > 0 {
			out.zones, out.area = append(out.zones, s.p.Zones[i].Number()), out.area+area
		}
	}
	return out
}

// areas returns the area of the marked parts of each zone.
func (s *ground) areas(marked []bool) []unit.Area {
	list := make([]unit.Area, len(s.p.Zones))
	for i, z := range s.p.Zones {
		from, to := s.p.LonLat.PolySpan(int(z.Record))
		count := 0
		for part := from; part < to; part++ {
			if marked[part] {
				count++
			}
		}
		if count == 0 {
			continue
		}
		if count == to-from {
			list[i] = z.Area
			continue
		}
		for k, polygon := range s.p.LonLat.Shape(int(z.Record)) {
			if !marked[from+k] {
				continue
			}
			if a, err := geo.AreaOf(orb.MultiPolygon{polygon}); err == nil { // as the zone's own was measured
				list[i] += a
			}
		}
	}
	return list
}

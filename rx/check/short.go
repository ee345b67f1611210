package check

import (
	"fmt"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// shortZone finds ground that the spreader has crossed, in whatever direction, before
// its rate has changed, neighbors of equal rate joined. Where the job doesn't say
// how long a change takes, it is the longest usual time: transitions take 3 to 5 s.
// [UGA Cooperative Extension, Variable-Rate Fertilizer Application Considerations,
// 2024]
func shortZone(s *stretches) Rule {
	return Rule{
		Name: "short-zone",
		Skip: func(p *rx.Prescription, a *rx.Assessment) string {
			if why := noSpreader(p, a); why != "" {
				return why
			}
			return s.of(p)
		},
		Find: func(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
			spreader := spreaderOf(a)
			distance := spreader.ChangeDistance()
			short := s.below(distance, func(g geo.ConnectedGround) unit.Length { return geo.LongestExtent(g.Polygon) })
			if len(short.which) == 0 {
				return nil
			}
			u := a.Terms.Units
			size := between(short.size.Min, short.size.Max, unit.Symbol[unit.Length](u), u)
			place := geo.InteriorPoint(orb.MultiPolygon{short.which[0].Polygon})
			return []rx.Finding{{
				Rule: "short-zone", Severity: rx.Warning, About: rx.AboutEquipment, Zones: short.zones, Area: short.area, Place: &place,
				Got: size, Want: "at least " + distance.Brief(u),
				Text: fmt.Sprintf("%s cannot be delivered as drawn: joined with neighbors of equal rate, that ground is %s long where it is longest, and the spreader drives %s before its rate has changed (%s at %s).",
					within(short.area, short.zones, u), size, distance.Brief(u), changeTime(spreader), spreader.Speed.Usual.Brief(u)),
				Hint: "join it with a neighbor, or drive slower there",
			}}
		},
	}
}

func changeTime(spreader *equip.Spreader) string {
	if t, ok := spreader.RateChange.Get(); ok {
		return fmt.Sprintf("%.3g s", float64(t/unit.Second))
	}
	return fmt.Sprintf("%.3g s, the longest usual time,", float64(equip.LongRateChange/unit.Second))
}

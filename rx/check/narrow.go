package check

import (
	"fmt"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// narrowZone finds ground that is nowhere as wide as the spreader's swath, neighbors
// of equal rate joined: whatever the machine does there, it does to the ground
// beside it as well. How wide ground is, is the largest circle that fits into it.
func narrowZone(s *stretches) Rule {
	return Rule{
		Name: "narrow-zone",
		Skip: func(p *rx.Prescription, a *rx.Assessment) string {
			if why := noSpreader(p, a); why != "" {
				return why
			}
			return s.of(p)
		},
		Find: func(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
			swath := spreaderOf(a).Swath
			narrow := s.below(swath, func(g geo.ConnectedGround) unit.Length {
				_, radius := geo.InscribedCircleFor(g.Polygon, swath*nearly/2)
				return 2 * radius
			})
			if len(narrow.which) == 0 {
				return nil
			}
			u := a.Terms.Units
			f := rx.Finding{
				Rule: "narrow-zone", Severity: rx.Warning, About: rx.AboutEquipment, Zones: narrow.zones, Area: narrow.area,
				Want: "at least " + swath.Brief(u),
				Text: fmt.Sprintf("%s cannot be delivered as drawn: joined with neighbors of equal rate, that ground is nowhere as wide as the spreader's swath, %s.",
					within(narrow.area, narrow.zones, u), swath.Brief(u)),
				Hint: "draw it at least one swath wide, or give it a neighbor's rate",
			}
			if len(narrow.which) <= mostMeasured {
				place, widths := widest(narrow.which)
				f.Place, f.Got = &place, between(widths.Min, widths.Max, unit.Symbol[unit.Length](u), u)
				f.Text += " Where it is widest it is " + f.Got + " wide."
			}
			return []rx.Finding{f}
		},
	}
}

// mostMeasured is how many narrow stretches are measured to the end; with more, as in
// layers of small cells, it is enough that they are narrow.
const mostMeasured = 100

// widest returns how wide stretches are where they are widest, and where the
// narrowest of them is that.
func widest(stretches []geo.ConnectedGround) (narrowest orb.Point, widths rx.Range[unit.Length]) {
	for i, g := range stretches {
		center, radius := geo.InscribedCircle(g.Polygon)
		if i == 0 || 2*radius < widths.Min {
			narrowest = center
		}
		widths.Widen(2*radius, i == 0)
	}
	return narrowest, widths
}

package split

import (
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// solution is a way worked out, once: all that is told, priced and ranked of it and
// every layer come from here. A way fills in Why, Passes, the loads or what the boom
// sprays, and what else of [rx.Way] only it can know; what the loads put down is added up.
type solution struct {
	rx.Way
	layers []part
	gets   func(rx.Zone) unit.LiquidRate // what a zone gets from the loads; nil without any
	more   func(*rx.Plan) error          // what the way adds to its drawn dry layers; may be nil

	carrierAllowed bool // the label names what is impregnated as allowed
}

// part is a dry layer that is to be drawn.
type part struct {
	name    string
	rate    func(z, f int) unit.DryRate // of field f in zone z; nil where the source's rates stand
	loading unit.Loading                // 0 where it is untreated
	carrier unit.Mass                   // that is impregnated; 0 where all of the layer is
	field   int                         // of the product that is, where products are spread side by side
}

// decide solves a way and holds it against what no treated dry may do.
func (t *task) decide(m method) (s solution) {
	why := t.nothingToTreat()
	if why == "" {
		s, why = m.solve(t)
	}
	if why == "" && len(s.Loads) > 0 {
		why = t.reachesKeepOut()
		if why == "" && !s.carrierAllowed {
			why = t.mustNotImpregnate()
		}
	}
	if why != "" {
		s = solution{Way: rx.Way{Why: why}}
	}
	s.Name = m.name
	if why == "" {
		s.State = rx.Ready // or conditional, as judge says
	}
	for _, l := range s.Loads {
		s.Stabilizer += unit.Uptake(l.Loading, l.Mass)
		s.Rate.Widen(unit.StabilizerRate(l.Loading, l.Rates.Min), s.Rate.Max == 0)
		s.Rate.Widen(unit.StabilizerRate(l.Loading, l.Rates.Max), false)
	}
	return s
}

// judge decides and adds up what the way takes.
func (t *task) judge(m method) solution {
	s := t.decide(m)
	if s.Possible() {
		t.settle(&s)
	} else {
		s.OffLabel = t.a.OffLabel()
	}
	t.tally(&s.Way)
	return s
}

// draw makes the layers.
func (t *task) draw(s solution) (*rx.Plan, error) {
	plan := &rx.Plan{Way: s.Way, Stabilizer: make([]unit.LiquidRate, len(t.p.Zones)), Materials: t.materialsOf(s.Way)}
	for _, part := range s.layers {
		plan.Layers = append(plan.Layers, t.drawPart(part))
	}
	if s.gets != nil {
		for i, z := range t.p.Zones {
			plan.Stabilizer[i] = s.gets(z)
		}
	}
	if s.more != nil {
		return plan, s.more(plan)
	}
	return plan, nil
}

func (t *task) drawPart(p part) rx.Layer {
	if p.rate == nil {
		return t.treated(t.sourceLayer(p.name), p)
	}
	return t.treated(t.dryLayer(p.name, p.rate), p)
}

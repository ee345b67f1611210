package split

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

// solution is a way worked out, once: all that is told, priced and ranked of it and
// every layer come from here. A way fills in Why, Passes, the loads or what the boom
// sprays, and what else of [rx.Way] only it can know; what the loads put down is added up.
type solution struct {
	rx.Way
	layers []part
	gets   func(rx.Zone) (unit.DryRate, int) // the treated dry that a zone gets, and of which load, -1 for none; nil without loads
	more   func(*rx.Plan) error              // what the way adds to its drawn dry layers; may be nil

	carrierAllowed bool // the label names what is impregnated as allowed
}

// part is a dry layer that is to be drawn.
type part struct {
	name    string
	rate    func(z, f int) unit.DryRate // of field f in zone z; nil where the source's rates stand
	load    *rx.Load                    // nil where it is untreated
	carrier unit.Mass                   // that is impregnated; 0 where all of the layer is
	field   int                         // of the product that is, where products are spread side by side
}

// decide solves a way and holds it against what no treated dry may do.
func (t *Task) decide(m method) (s solution) {
	why := t.nothingToTreat()
	if why == "" {
		why = t.seasonFull()
	}
	if why == "" {
		s, why = m.solve(t)
	}
	if why == "" && len(s.Loads) > 0 {
		if s.Sprayed == 0 {
			why = t.reachesKeepOut()
		}
		if why == "" && !s.carrierAllowed {
			why = t.mustNotImpregnate(s.Loads[0])
		}
	}
	if why != "" {
		s = solution{Way: rx.Way{Why: why}}
	}
	s.Name = m.name
	if why == "" {
		s.State = rx.Ready // or conditional, as judge says
	}
	whole, _ := equip.WayOf(s.Name)
	for _, l := range s.Loads {
		if l.Loading == 0 {
			continue
		}
		s.Stabilizer += unit.Uptake(l.Loading, l.Mass)
		s.Rate.Widen(unit.StabilizerRate(l.Loading, l.Rates.Min), s.Rate.Max == 0)
		s.Rate.Widen(unit.StabilizerRate(l.Loading, l.Rates.Max), false)
		for _, left := range t.terms.LeftOver { // which zone gets it is not known
			if !whole.Whole {
				break
			}
			s.Rate.Widen(unit.StabilizerRate(left, l.Rates.Min), false)
			s.Rate.Widen(unit.StabilizerRate(left, l.Rates.Max), false)
		}
	}
	if s.Possible() {
		t.addFurther(&s)
	}
	return s
}

// seasonFull says why the season leaves no room for any way; empty if it does.
func (t *Task) seasonFull() string {
	_, why := t.terms.PassRange()
	if full := t.terms.NoRoom; why != "" && len(full) > 0 {
		sum := unit.Area(0)
		for _, i := range full {
			sum += t.p.Zones[i].Area
		}
		why = fmt.Sprintf("on %s %s", tell.Ground(sum, t.terms.Units), why)
	}
	return why
}

// addFurther adds up what the loads, and the boom's tank, put down of the further liquids.
func (t *Task) addFurther(s *solution) {
	place := 0 // on the blend
	for _, liquid := range t.terms.Further {
		f := rx.FurtherAmount{Name: liquid.Name}
		switch {
		case liquid.On == equip.OnBoom && s.Sprayed > 0:
			f.Volume, f.Rate = unit.VolumeOver(liquid.Intended, s.Sprayed), rx.Range[unit.LiquidRate]{Min: liquid.Intended, Max: liquid.Intended}
		case liquid.On == equip.OnBlend:
			for _, l := range s.Loads {
				f.Volume += unit.Uptake(l.Further[place], l.Mass)
				f.Rate.Widen(unit.StabilizerRate(l.Further[place], l.Rates.Min), f.Rate.Max == 0)
				f.Rate.Widen(unit.StabilizerRate(l.Further[place], l.Rates.Max), false)
			}
			place++
		}
		s.Further = append(s.Further, f)
	}
}

// judge decides and adds up what the way takes.
func (t *Task) judge(m method) solution {
	s := t.decide(m)
	if t.terms.IntendedAssumed {
		s.Assumed = t.terms.Intended
	}
	if s.Possible() {
		t.settle(&s)
	} else {
		s.OffLabel = t.a.OffLabel()
	}
	t.tally(&s.Way)
	return s
}

// draw makes the layers.
func (t *Task) draw(s solution) (*rx.Plan, error) {
	plan := &rx.Plan{Way: s.Way, Stabilizer: make([]unit.LiquidRate, len(t.p.Zones)), Materials: t.materialsOf(s.Way)}
	for _, part := range s.layers {
		plan.Layers = append(plan.Layers, t.drawPart(part))
	}
	t.land(s, plan)
	if s.more != nil {
		return plan, s.more(plan)
	}
	return plan, nil
}

// land works out what each zone gets of each liquid.
func (t *Task) land(s solution, plan *rx.Plan) {
	for range t.terms.Further {
		plan.Further = append(plan.Further, make([]unit.LiquidRate, len(t.p.Zones)))
	}
	for i, z := range t.p.Zones {
		place := 0
		dry, load := unit.DryRate(0), -1
		if s.gets != nil {
			dry, load = s.gets(z)
		}
		if load >= 0 {
			plan.Stabilizer[i] = unit.StabilizerRate(s.Loads[load].Loading, dry)
		}
		for k, liquid := range t.terms.Further {
			if liquid.On != equip.OnBlend {
				continue // the boom draws it
			}
			if load >= 0 {
				plan.Further[k][i] = unit.StabilizerRate(s.Loads[load].Further[place], dry)
			}
			place++
		}
	}
}

func (t *Task) drawPart(p part) rx.Layer {
	if p.rate == nil {
		return t.treated(t.sourceLayer(p.name), p)
	}
	return t.treated(t.dryLayer(p.name, p.rate), p)
}

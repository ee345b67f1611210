package split

import (
	"slices"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// machine is what spreads the dry layers, or all there is.
type machine struct {
	swath unit.Length
	speed unit.Speed
	turn  unit.Time
}

// machine returns the job's spreader, or else its boom.
func (t *Task) machine() (m machine, ok bool) {
	job := t.terms.Job
	switch {
	case job == nil:
	case job.Spreader != nil:
		return machine{job.Spreader.Swath, job.Spreader.Speed.Usual, job.Spreader.Turn.Or(equip.UsualTurn)}, true
	case job.Boom != nil:
		return machine{job.Boom.Width, job.Boom.Speed.Usual, job.Boom.Turn.Or(equip.UsualTurn)}, true
	}
	return m, false
}

// driven is a pass that was driven in the mind.
type driven struct {
	ground []bool // a zone each, where it spreads
	path   geo.DrivePath
	area   unit.Area // of that ground
}

// drive reckons what the passes of a way drive: swaths over the ground of each layer, or
// of all layers where they go on in one pass, as dry and boom do. It is nil where no
// machine is known, or no ground is drawn.
func (t *Task) drive(w rx.Way, layers []laid) *rx.Driving {
	m, ok := t.machine()
	if !ok || t.p.LonLat.Len() == 0 || w.Passes != 1 && w.Passes != len(layers) {
		return nil
	}
	sum := &rx.Driving{}
	if all, err := t.path(m, t.dryGround()); err == nil {
		sum.Plain = max(0, all.path.Driven(m.swath)-all.area)
	}
	for n := range w.Passes {
		ground := make([]bool, len(t.p.Zones))
		for i, l := range layers {
			for z, r := range l.rates {
				ground[z] = ground[z] || r > 0 && (w.Passes == 1 || i == n)
			}
		}
		d, err := t.path(m, ground)
		if err != nil {
			return nil
		}
		sum.Length += d.path.Length
		sum.Turns += d.path.Turns
		sum.Time += d.path.Time(m.speed, m.turn)
		sum.Driven += d.path.Driven(m.swath)
		sum.Spread += d.area
	}
	return sum
}

// dryGround is where any dry goes.
func (t *Task) dryGround() []bool {
	ground := make([]bool, len(t.p.Zones))
	for i, z := range t.p.Zones {
		ground[i] = z.Dry > 0
	}
	return ground
}

// path returns the path over ground; ways often have passes in common.
func (t *Task) path(m machine, ground []bool) (driven, error) {
	at := slices.IndexFunc(t.driven, func(d driven) bool { return slices.Equal(d.ground, ground) })
	if at >= 0 {
		return t.driven[at], nil
	}
	d := driven{ground: ground}
	kept := make([]bool, t.p.LonLat.Len())
	for i, z := range t.p.Zones {
		if ground[i] {
			kept[z.Record] = true
			d.area += z.Area
		}
	}
	var err error
	perTurn := equip.RateChangeDistance(m.speed, m.turn) // that it would drive in the time of a turn
	d.path, err = geo.Machine{Swath: m.swath, Turn: perTurn}.Drive(t.p.LonLat, func(record int) bool { return kept[record] })
	if err == nil {
		t.driven = append(t.driven, d)
	}
	return d, err
}

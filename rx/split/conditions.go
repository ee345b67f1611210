package split

import (
	"fmt"
	"math"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// What has to be met before a conditional way may be taken. Its words follow "if".
var (
	lacksBoom    = rx.NewRule[lacking]("equipment/wet boom", rx.AboutEquipment, rx.NoPlan)
	lacksNozzles = rx.NewRule[rx.Nothing]("equipment/nozzles", rx.AboutEquipment, rx.NoPlan)
	lacksBlender = rx.NewRule[lacking]("equipment/blender", rx.AboutEquipment, rx.NoPlan)
	lacksBins    = rx.NewRule[lacking]("equipment/two bins", rx.AboutEquipment, rx.NoPlan)
	lessRoomFor  = rx.NewRule[roomLeft]("less-room", rx.AboutLabel, rx.NoPlan)
	otherDose    = rx.NewRule[dosed]("other-dose", rx.AboutPlan, rx.NoPlan)
	newRatesYes  = rx.NewRule[newRates]("agronomist/changed rates", rx.AboutPlan, rx.NoPlan)
	leftOffYes   = rx.NewRule[rx.Nothing]("agronomist/zones left off", rx.AboutPlan, rx.NoPlan)
	notGraded    = rx.NewRule[ungraded]("not-graded", rx.AboutLabel, rx.NoPlan)
	notMetered   = rx.NewRule[betweenTwo]("not-metered", rx.AboutEquipment, rx.NoPlan)
)

// lacking is equipment that the job doesn't have.
type lacking struct{ NoJob bool } // there is no job that could have it

// roomLeft is how far rates may be off, where they may be off further.
type roomLeft struct {
	Room, RateError unit.Ratio
	Assumed         bool // the rate error
}

// dosed is another rate than the intended one.
type dosed struct {
	Load int // its number; 0 if there is one
	Dose doseOf
}

type doseOf struct{ Got, Intended unit.LiquidRate }

// Words prints the one of the other, in as many digits as tell them apart.
func (d doseOf) Words(s unit.System) string {
	for digits := 4; ; digits++ {
		got, intended := fmt.Sprintf("%.*g", digits, d.Got.In(s)), fmt.Sprintf("%.*g", digits, d.Intended.In(s))
		if got != intended || digits > 9 {
			return got + " of " + intended + " " + unit.Symbol[unit.LiquidRate](s)
		}
	}
}

// ungraded is a liquid that no label is held against, and what lands of it: 0 where the
// way doesn't put it down.
type ungraded struct {
	Name  string
	Rates rx.Range[unit.LiquidRate]
}

// settle says whether a way that can be taken is ready, or on what it depends.
func (t *task) settle(s *solution) {
	layers := t.lay(s.layers)
	s.Room, s.Driving = t.room(s.Way), t.drive(s.Way, layers)
	s.Conditions = append(t.lacks(s.Way), t.deliver(s, layers)...)
	add := func(f rx.Finding, some bool) {
		if some {
			s.Conditions = append(s.Conditions, f)
		}
	}
	add(lessRoomFor.Find(rx.Warning, roomLeft{roomFor(float64(s.Room), t.terms.RateError), t.terms.RateError, t.terms.RateErrorAssumed}), !t.roomy(s.Way))
	s.Conditions = append(s.Conditions, t.otherDoses(s.Way)...)
	if !s.KeepsRates() {
		f := newRatesYes.Find(rx.Warning, newRates{s.DryAdded, s.DryRemoved})
		f.Zones, f.Area = t.changed(layers)
		add(f, true)
	}
	if s.LeftOff > 0 {
		f := leftOffYes.Find(rx.Warning, rx.Nothing{})
		f.Zones, f.Area = s.LeftZones, s.LeftOff
		add(f, true)
	}
	add(t.ungraded(s.Way))
	for i, load := range s.Loads {
		if d, some := t.notMetered(loadNumber(s.Way, i), load); some {
			add(notMetered.Find(rx.Warning, d), true)
		}
	}
	if s.State = rx.Ready; len(s.Conditions) > 0 {
		s.State = rx.Conditional
	}
}

// room is how far rates may be off for every treated acre to stay on label.
func (t *task) room(w rx.Way) unit.Ratio {
	pass, _ := t.terms.PassRange()
	return max(0, unit.Ratio(min(1-pass.Min/w.Rate.Min, pass.Max/w.Rate.Max-1)))
}

// roomy reports whether a way leaves room for the rate error.
func (t *task) roomy(w rx.Way) bool { return w.Room >= t.terms.RateError-roundedRoom }

// roundedRoom is how much of the room is rounding.
const roundedRoom = 1e-9

// lacks lists the equipment that a way takes and the job doesn't have.
func (t *task) lacks(w rx.Way) (list []rx.Finding) {
	job := t.terms.Job
	no := lacking{NoJob: job == nil}
	switch {
	case w.Sprayed == 0:
	case job == nil || job.Boom == nil:
		list = append(list, lacksBoom.Find(rx.Warning, no))
	case !t.nozzlesHold(*job.Boom, w.Rate.Max):
		list = append(list, lacksNozzles.Find(rx.Warning, rx.Nothing{}))
	}
	if len(w.Loads) > 0 && (job == nil || job.Blender == nil) {
		list = append(list, lacksBlender.Find(rx.Warning, no))
	}
	if w.Stacked && (job == nil || job.Spreader == nil) {
		list = append(list, lacksBins.Find(rx.Warning, no))
	}
	return list
}

// likeIntended is by how much a dose may miss the intended one; common practice, no source.
const likeIntended = 2 * unit.Percent

// otherDoses finds loads that bring another rate than the intended one to their acres as
// a whole. What the plant has fixed is meant so.
func (t *task) otherDoses(w rx.Way) (list []rx.Finding) {
	for i, l := range w.Loads {
		if !(l.Area > 0) || l.Loading == t.terms.Loading {
			continue
		}
		got := unit.LiquidRate(float64(unit.Uptake(l.Loading, l.Mass)) / float64(l.Area))
		if off := math.Abs(float64(got/t.terms.Intended - 1)); off > float64(likeIntended)*(1+1e-9) {
			f := otherDose.Find(rx.Warning, dosed{loadNumber(w, i), doseOf{got, t.terms.Intended}})
			f.Area = l.Area
			list = append(list, f)
		}
	}
	return list
}

// ungraded finds a further liquid: no label is held against it.
func (t *task) ungraded(w rx.Way) (f rx.Finding, some bool) {
	if t.terms.Job == nil || t.terms.Job.SecondLiquid == nil {
		return f, false
	}
	second := t.terms.Job.SecondLiquid
	d := ungraded{Name: second.Name}
	for i, l := range w.Loads {
		d.Rates.Widen(unit.StabilizerRate(second.Loading, l.Rates.Min), i == 0)
		d.Rates.Widen(unit.StabilizerRate(second.Loading, l.Rates.Max), false)
	}
	return notGraded.Find(rx.Warning, d), true
}

// notMetered tells of a load whose loading falls between two graduations of a meter with
// none on label; what the plant has fixed it can dose.
func (t *task) notMetered(number int, load rx.Load) (d betweenTwo, some bool) {
	window, _ := t.terms.WindowFor(load.Rates, 0)
	if window == nil || load.Loading == t.terms.Loading || t.terms.CanMeter(*window) {
		return d, false
	}
	return t.between(number, load, *window), true
}

// changed lists the zones whose dry layers together spread another rate than prescribed.
func (t *task) changed(layers []laid) (zones []int, area unit.Area) {
	for i, z := range t.p.Zones {
		var sum unit.DryRate
		for _, l := range layers {
			sum += l.rates[i]
		}
		if z.HasRate() && max(sum-z.Dry, z.Dry-sum) > 1e-9*z.Dry {
			zones, area = append(zones, z.Number()), area+z.Area
		}
	}
	return zones, area
}

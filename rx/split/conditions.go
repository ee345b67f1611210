package split

import (
	"math"
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
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
	notMetered   = rx.NewRule[betweenTwo]("not-metered/loading", rx.AboutEquipment, rx.NoPlan)
	notDosed     = rx.NewRule[betweenSteps]("not-metered/batch", rx.AboutEquipment, rx.NoPlan)
)

// lacking is equipment that the job doesn't have.
type lacking struct{ NoJob bool } // no job names any machine

// roomLeft is how far rates may be off, where they may be off further.
type roomLeft struct {
	Room, RateError unit.Ratio
	Assumed         bool            // the rate error
	Instead         unit.LiquidRate // of a boom alone, the nearest to the intended one that leaves room; 0 if none does
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
		got, intended := unit.Digits(d.Got.In(s), digits), unit.Digits(d.Intended.In(s), digits)
		if got != intended || digits > 9 {
			return got + " rather than " + intended + " " + unit.Symbol[unit.LiquidRate](s)
		}
	}
}

// settle says whether a way that can be taken is ready, or on what it depends.
func (t *Task) settle(s *solution) {
	var layers []laid
	if t.terms.Job != nil || !s.KeepsRates() { // else nobody looks at them
		layers = t.lay(s.layers)
	}
	s.Room, s.Driving = t.room(s.Way), t.drive(s.Way, layers)
	if !s.KeepsRates() {
		s.ChangedZones, s.Changed = t.changed(layers)
	}
	s.Conditions = slices.Concat(
		agronomist(s.Way), t.lacks(s.Way), t.deliver(s, layers), t.lessRoom(s.Way), t.otherDoses(s.Way),
		t.furtherConditions(s.Way), t.unmetered(s.Way),
	)
	if s.State = rx.Ready; len(s.Conditions) > 0 {
		s.State = rx.Conditional
	}
}

// room is how far rates may be off for every treated acre to stay on the label of every
// liquid.
func (t *Task) room(w rx.Way) unit.Ratio {
	pass, _ := t.terms.PassRange()
	room := min(1-pass.Min/w.Rate.Min, pass.Max/w.Rate.Max-1)
	for k, l := range t.terms.Further {
		if r := w.Further[k].Rate; l.Label != nil && r.Max > 0 {
			pass, _ := t.terms.Pass(l)
			room = min(room, 1-pass.Min/r.Min, pass.Max/r.Max-1)
		}
	}
	return max(0, unit.Ratio(room))
}

// roomy reports whether a way leaves room for the rate error.
func (t *Task) roomy(w rx.Way) bool { return w.Room >= t.terms.RateError-roundedRoom }

// roundedRoom is how much of the room is rounding.
const roundedRoom = 1e-9

func (t *Task) lessRoom(w rx.Way) []rx.Finding {
	if t.roomy(w) {
		return nil
	}
	d := roomLeft{Room: roomFor(float64(w.Room), t.terms.RateError), RateError: t.terms.RateError, Assumed: t.terms.RateErrorAssumed}
	if len(w.Loads) == 0 && len(t.terms.Further) == 0 {
		d.Instead = t.roomyRate(w.Rate.Max)
	}
	return []rx.Finding{lessRoomFor.Find(rx.Warning, d)}
}

// roomyRate returns the rate nearest to one of a boom that leaves room for the rate error, in
// tenths of a fluid ounce an acre or whole milliliters a hectare; 0 if none does.
func (t *Task) roomyRate(rate unit.LiquidRate) unit.LiquidRate {
	pass, _ := t.terms.PassRange()
	one := unit.LiquidRate(1).In(t.terms.Units)
	step := unit.LiquidRate(0.1)
	if t.terms.Units == unit.Metric {
		step = unit.LiquidRate(1 / one)
	}
	least, most := pass.Min/unit.LiquidRate(1-t.terms.RateError), pass.Max/unit.LiquidRate(1+t.terms.RateError)
	low, high := math.Ceil(float64(least/step)-1e-9), math.Floor(float64(most/step)+1e-9)
	if low > high {
		return 0
	}
	return unit.LiquidRate(max(low, min(high, float64(rate/step)))) * step
}

// lacks lists the equipment that a way takes and the job doesn't have.
func (t *Task) lacks(w rx.Way) (list []rx.Finding) {
	job := t.terms.Job
	no := lacking{NoJob: job == nil || job.Blender == nil && job.Spreader == nil && job.Boom == nil}
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
func (t *Task) otherDoses(w rx.Way) (list []rx.Finding) {
	for i, l := range w.Loads {
		if !(l.Area > 0) || l.Loading == 0 || l.Loading == t.terms.Loading {
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

// agronomist lists what whoever drew the prescription has to agree to.
func agronomist(w rx.Way) (list []rx.Finding) {
	if !w.KeepsRates() {
		f := newRatesYes.Find(rx.Warning, newRates{w.DryAdded, w.DryRemoved})
		f.Zones, f.Area = w.ChangedZones, w.Changed
		list = append(list, f)
	}
	if w.LeftOff > 0 {
		f := leftOffYes.Find(rx.Warning, rx.Nothing{})
		f.Zones, f.Area = w.LeftZones, w.LeftOff
		list = append(list, f)
	}
	return list
}

// unmetered lists loads with a loading or a dose that no meter reads on label; what the
// plant has fixed it can dose.
func (t *Task) unmetered(w rx.Way) (list []rx.Finding) {
	for i, load := range w.Loads {
		between := t.notMetered(loadNumber(w, i), load)
		for _, d := range between {
			list = append(list, notMetered.Find(rx.Warning, d))
		}
		if len(between) > 0 {
			continue
		}
		for _, d := range t.notDosed(loadNumber(w, i), load) {
			list = append(list, notDosed.Find(rx.Warning, d))
		}
	}
	return list
}

// notMetered tells of the liquids of a load whose loading falls between two graduations of
// a meter with none on label.
func (t *Task) notMetered(number int, load rx.Load) (list []betweenTwo) {
	terms := t.terms.For(load)
	windows, _ := terms.Windows(load.Rates, 0)
	fixed := terms.Fixed(terms.Loading)
	for k, window := range windows {
		if l := load.Loadings()[k]; l > 0 && l != fixed[k] && !terms.CanMeter(window) {
			list = append(list, t.between(number, k, load, window))
		}
	}
	return list
}

// betweenSteps is the dose of a batch between two steps of a meter, none of them on label.
type betweenSteps struct {
	Name       string // of a further liquid; empty for the stabilizer
	Load       int    // its number; 0 if there is one
	Dose, Step unit.Volume
}

// notDosed tells of the liquids of a load whose batches take a dose that no meter reads: a
// whole step is taken wherever one is on label.
func (t *Task) notDosed(number int, load rx.Load) (list []betweenSteps) {
	_, one, ok := t.terms.Batches(load)
	step := equip.MeterStep(t.terms.Units)
	add := func(name string, dose unit.Volume) {
		if n := float64(dose / step); ok && math.Abs(n-math.Round(n)) > 1e-9*n {
			list = append(list, betweenSteps{name, number, dose, step})
		}
	}
	add("", one.Liquid)
	for k, f := range one.Further {
		add(t.terms.FurtherOn(equip.OnBlend)[k].Name, f.Liquid)
	}
	return list
}

// changed lists the zones whose dry layers together spread another rate than prescribed.
func (t *Task) changed(layers []laid) (zones []int, area unit.Area) {
	return t.p.Where(func(i int) bool {
		z, sum := t.p.Zones[i], unit.DryRate(0)
		for _, l := range layers {
			sum += l.rates[i]
		}
		return z.HasRate() && max(sum-z.Dry, z.Dry-sum) > 1e-9*z.Dry
	})
}

// edge is how near to an end of the label a planned rate may come before somebody
// should know: common practice, no source.
const edge = 0.005

var noMargin = rx.NewRule[onEdge]("no-margin", rx.AboutPlan, rx.EveryPlan)

// onEdge is a liquid of a plan on an end of what one pass may put on the ground.
type onEdge struct {
	Name        string // of a further liquid; empty for the stabilizer
	Rates, Pass rx.Range[unit.LiquidRate]
	Season      unit.LiquidRate // what the season maximum leaves, where that is the end; else 0
	Boom        bool
	OneRate     bool // the label has one, Label
	Label       unit.LiquidRate
}

// onEdge finds liquids that a plan puts on some ground at an end of what one pass may put
// there. A boom is off its rate by worn nozzles, pressure and speed as a spreader is by its
// own error. Where the label has one rate, nobody can keep off its ends with a boom.
func (t *Task) onEdge(w rx.Way) (out []rx.Finding) {
	add := func(l rx.JobLiquid, rates rx.Range[unit.LiquidRate], boom bool) {
		full, graded := l.Range()
		pass, _ := t.terms.Pass(l)
		low, high := rates.Min < pass.Min*(1+edge), rates.Max > pass.Max*(1-edge)
		if !graded || rates.Max == 0 || !low && !high || boom && full.Min == full.Max {
			return
		}
		d := onEdge{Name: l.Further(), Rates: rates, Pass: pass, Boom: boom, OneRate: full.Min == full.Max, Label: full.Min}
		if !high { // told is what lies on an end
			d.Rates.Max = d.Rates.Min
		} else if !low {
			d.Rates.Min = d.Rates.Max
		}
		if high && pass.Max < full.Max {
			d.Season = pass.Max
		}
		out = append(out, noMargin.Find(rx.Warning, d))
	}
	add(t.terms.Stabilizer(), w.Rate, w.Sprayed > 0)
	for k, l := range t.terms.Further {
		add(l, w.Further[k].Rate, l.On == equip.OnBoom)
	}
	return out
}

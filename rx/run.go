package rx

import (
	"math"

	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Run is what the blender of a day makes at one loading without a change-over: lots of equal
// batches, one after the other. Fields are counted as the day lists them, from 0.
type Run struct {
	Shared int      // of the loadings that fields share; -1 where it is a field's own
	Blend  int      // of the day's
	Terms  Terms    // of the first lot: all are of one blend
	Flush  []string // liquids on the line from the run before that do not belong into this one
	Lots   []Lot
}

// Loading returns that of the stabilizer; 0 where that goes on by a boom. Left-over blend, which may
// have another, comes before what is blended anew.
func (r Run) Loading() unit.Loading { return r.Lots[len(r.Lots)-1].Load.Loading }

// Batches counts those of all lots; 0 where they are not known. Left-over blend that goes on as it is
// makes none.
func (r Run) Batches() (n int) {
	for _, l := range r.Lots {
		if l.AsIs() {
			continue
		}
		if !l.Batched {
			return 0
		}
		n += l.Portion.Count
	}
	return n
}

// Lot is equal batches for one field or, where batches may be shared, for several: product of
// one goes on with the next.
type Lot struct {
	Fields  []int // in the order in which they are blended for
	Load    Load  // of all of them
	Portion Portion
	Batched bool      // else the batches are not known, and the portion is all of it
	Time    unit.Time // of its batches; 0 if unknown
	Apart   int       // batches that the fields take each by itself; as many as there are for a single one
	Parts   []LotPart // batch after batch; they add up to what is weighed, with what is dry of left-over blend
	Left    *LotLeft  // nil where all is blended anew; else the portion is what is added to it
}

// LotLeft is left-over blend that goes into each batch of a lot.
type LotLeft struct {
	Of      int          // of the day's left-over blend, from 0
	Weighed unit.Mass    // in whole steps of a scale, with the liquid on it
	Dry     unit.Mass    // of that, to the nearest step
	Loading unit.Loading // that it came back with
}

// AsIs reports whether a lot is left-over blend to which nothing is added: nobody blends it.
func (l Lot) AsIs() bool { return l.Left != nil && l.Portion.Dry == 0 && l.Portion.Liquid == 0 }

// Lands returns the stabilizer's loading as it is in the batches of a lot: with left-over blend, by what is metered.
func (l Lot) Lands() unit.Loading {
	if l.Left == nil || l.AsIs() {
		return l.Load.Loading
	}
	return loadingOf(unit.Uptake(l.Left.Loading, l.Left.Dry)+l.Portion.Liquid, l.Left.Dry+l.Portion.Dry)
}

// Weighed returns the dry of all batches of a lot, with that of left-over blend.
func (l Lot) Weighed() (dry unit.Mass) {
	for _, p := range l.Parts {
		dry += p.Dry
	}
	return dry
}

// Gets returns what of that is for one field.
func (l Lot) Gets(field int) (dry unit.Mass) {
	for _, p := range l.Parts {
		if p.Field == field {
			dry += p.Dry
		}
	}
	return dry
}

// LotPart is what a field gets of a batch.
type LotPart struct {
	Batch int // of the lot, from 0
	Field int
	Dry   unit.Mass // in whole steps of a scale
}

// Haul is what trucks carry to a field of one product: as it is spread, with the liquid on it.
type Haul struct {
	Field   int
	Run     int // that it comes from, from 0; -1 for untreated product
	Product string
	Weight  unit.Mass
	Rough   bool      // what the liquid weighs is not known and not in the weight
	Loads   int       // 0 where the trucks are not known
	Each    unit.Mass // of all loads, or of all but the last
	Full    int       // batches on each of these, where none is parted: those of a field that shares none; else 0
	Last    int       // batches on the last then
	Left    *LotLeft  // where it is left-over blend as it came back, and no product of the blender's
}

// LastWeight is what the last truck carries.
func (h Haul) LastWeight() unit.Mass {
	if h.Full == 0 {
		return h.Each
	}
	return h.Each * unit.Mass(float64(h.Last)/float64(h.Full))
}

// RunAsk is a question that a day leaves to people: what it would save to answer it with yes.
type RunAsk struct {
	About  RunDoubt
	Run    int // from 0
	Fields []int
	Now    int // batches or truck loads
	Then   int // as many where the answer is yes
	Left   int // left-over blend that is asked about, of the day's, from 0
}

// RunDoubt is what is asked about.
type RunDoubt string

// What can be asked.
const (
	AskCustomer RunDoubt = "customer" // whether all fields are of one customer
	AskHold     RunDoubt = "hold"     // shared batches would wait longer than the label lets them
	AskTruck    RunDoubt = "truck"    // whether a person splits a truck load
	AskLeft     RunDoubt = "left"     // whether left-over blend may go onto fields: no run is asked about then
	AskGround   RunDoubt = "ground"   // whether fields that lie on the same ground are one; likewise
)

// Redosed returns what is added to each of so many batches of left-over blend, so that it has the loadings of
// a load: untreated dry, by A' = A·u/(u + t), where it came back with more; liquid, (A″ − A)·u, where
// with less. Dry is that of the left-over blend in a batch, and window is of the stabilizer's
// loadings that keep those on label who get it: what a scale and a meter read is kept inside. Of untreated dry at least so much is added, in whole steps of
// a scale.
func (t Terms) Redosed(l Load, left Load, dry unit.Mass, count int, window Range[unit.Loading], least unit.Mass) Portion {
	step := equip.ScaleStep(t.Units)
	one := Portion{Count: count}
	if more := left.Loading/l.Loading - 1; more > 0 {
		one.Dry = unit.Mass(unit.Mass(math.Floor(float64(dry*unit.Mass(more)/step))) * step)
		if !window.Contains(left.Loading * unit.Loading(dry/(dry+one.Dry))) {
			one.Dry += step
		}
	}
	one.Dry = max(one.Dry, least)
	if len(l.Materials) > 0 {
		one.Materials = l.Materials.Weigh(one.Dry, step)
	}
	windows := t.LoadWindows(l)
	had, want := left.Loadings(), l.Loadings()
	for k, liquid := range t.onBlend()[:len(want)] {
		in, keeps := unit.Uptake(had[k], dry), func(unit.Loading) bool { return true }
		if k == 0 {
			keeps = window.Contains
		} else if windows != nil {
			keeps = windows[k].Contains
		}
		allowed := func(v unit.Volume) bool { return keeps(loadingOf(in+v, dry+one.Dry)) }
		dose := Metered{}
		if lacks := unit.Uptake(want[k], dry+one.Dry) - in; lacks > equip.MeterStep(t.Units)/2 || lacks > 0 && !allowed(0) {
			dose.Liquid = equip.Metered(lacks, equip.MeterStep(t.Units), allowed)
		}
		per, _ := liquid.AgentPerLiquid()
		dose.Agent = t.weighAgent(unit.LiquidWeight(dose.Liquid, per))
		if k == 0 {
			one.Liquid, one.Agent = dose.Liquid, dose.Agent
		} else {
			one.Further = append(one.Further, dose)
		}
	}
	return one
}

// Hold returns the longest that treated blend may wait from blending to spreading, by the labels of all
// liquids on it that say so.
func (t Terms) Hold() (hold unit.Time, known bool) {
	for _, l := range t.onBlend() {
		if l.Label == nil {
			continue
		}
		if own, ok := l.Label.Hold.Get(); ok && (!known || own < hold) {
			hold, known = own, true
		}
	}
	return hold, known
}

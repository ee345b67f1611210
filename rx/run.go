package rx

import "rxsplit/label/unit"

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
	Rough   bool // what the liquid weighs is not known and not in the weight
	Loads   int  // equal ones; 0 where the trucks are not known
	Each    unit.Mass
	Left    *LotLeft // where it is left-over blend as it came back, and no product of the blender's
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
)

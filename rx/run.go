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

// Loading returns that of the stabilizer; 0 where that goes on by a boom.
func (r Run) Loading() unit.Loading { return r.Lots[0].Load.Loading }

// Batches counts those of all lots; 0 where they are not known.
func (r Run) Batches() (n int) {
	for _, l := range r.Lots {
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
	Parts   []LotPart // batch after batch; they add up to what is weighed
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
}

// RunAsk is a question that a day leaves to people: what it would save to answer it with yes.
type RunAsk struct {
	About  RunDoubt
	Run    int // from 0
	Fields []int
	Now    int // batches or truck loads
	Then   int // as many where the answer is yes
}

// RunDoubt is what is asked about.
type RunDoubt string

// What can be asked.
const (
	AskCustomer RunDoubt = "customer" // whether all fields are of one customer
	AskHold     RunDoubt = "hold"     // shared batches would wait longer than the label lets them
	AskTruck    RunDoubt = "truck"    // whether a person splits a truck load
)

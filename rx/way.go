package rx

import (
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// WayName names a way to release a prescription; [equip.Ways] lists them.
type WayName = equip.WayName

// Names of ways, for those who ask for one. What is told or reckoned of a way never
// goes by its name, but by what its [Way] holds.
const (
	WetBoom WayName = "wet-boom" // a constant liquid layer over untreated dry
	OneLoad WayName = "one-load" // the whole blend at another loading
	Base    WayName = "base"     // a treated constant base and an untreated top-up
	Loads   WayName = "loads"    // as few impregnated loads as the label needs
	Refit   WayName = "refit"    // the smallest change of dry rates
)

// State says whether a way can be taken.
type State uint8

// The states, from the worst to the best.
const (
	Impossible  State = iota
	Conditional       // possible once its conditions are met
	Ready             // each treated acre gets the intended dose on label, with room for the rate error, by the equipment of the job
)

// String returns "impossible", "conditional" or "ready".
func (s State) String() string { return [...]string{"impossible", "conditional", "ready"}[s] }

// MarshalText returns what [State.String] does.
func (s State) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Way is one way to release the prescription, judged.
type Way struct {
	Name          WayName
	State         State
	Conditions    []Finding // of a conditional way: what has to be met, seen or agreed to first
	Why           string    // it is impossible; or what to know about it
	SameAs        WayName   // a way before it in the list that comes to the same plan; empty if none does
	OffLabel      unit.Area // treated acres that it would leave off label; 0 if it is possible
	LeftOff       unit.Area // acres that stay untreated because the user allows it
	LeftZones     []int     // their numbers
	Undeliverable unit.Area // acres whose rate, width or length the spreader can't deliver in the way's layers
	Loads         []Load    // impregnated, each at a loading of its own; none if nothing is
	Sprayed       unit.Area // ground that a boom sprays; 0 if none does
	Untreated     unit.Area // of what gets dry, that is left without stabilizer in strips
	Stacked       bool      // its dry layers go on the same ground; else each acre is spread once
	NewRates      bool      // it is free to spread other dry rates than prescribed, and says where it does
	Batches       int       // in the blender; 0 if unknown
	Fills         int       // of the boom's tank; 0 if unknown or none
	Passes        int       // over the field; a boom on the spreader goes with the dry, in the same one
	ChangedZones  []int     // numbers of the zones that get another dry rate than prescribed
	Changed       unit.Area // their acres
	DryAdded      unit.Mass
	DryRemoved    unit.Mass
	NAdded        unit.Mass // of nutrient N; 0 if the grade is unknown
	NRemoved      unit.Mass
	NKnown        bool
	Stabilizer    unit.Volume
	Rate          Range[unit.LiquidRate] // of stabilizer on the ground
	Assumed       unit.LiquidRate        // the intended rate, where nobody gave it; else 0
	Further       []FurtherAmount        // of the further liquids, in the order of the terms
	Room          unit.Ratio             // largest e with which every treated acre stays on label at rates off by ±e
	Minutes       unit.Time              // of loading and blending; 0 if unknown
	Metered       unit.Volume            // of stabilizer, as batches or fills are dosed: what is ordered and priced
	Driving       *Driving               // nil if no machine, or no ground, is known
	Cost          *Cost                  // nil if no prices are given
}

// Possible reports whether the way can be taken, at once or once its conditions are met.
func (w Way) Possible() bool { return w.State != Impossible }

// KeepsRates reports whether the way spreads the dry as it is prescribed.
func (w Way) KeepsRates() bool { return w.DryAdded+w.DryRemoved == 0 }

// Title is what a headline calls the way: what it does, also where a way that may change
// rates changes none.
func (w Way) Title() string {
	if !w.NewRates || !w.KeepsRates() {
		return equip.TitleOf(w.Name, len(w.Loads))
	}
	ways := equip.Ways()
	return ways[slices.IndexFunc(ways, func(w equip.Way) bool { return w.Whole })].Title
}

// Driving is what the machines drive in all passes of a way: parallel swaths over the
// ground of each, the turns between them and what is run empty.
type Driving struct {
	Length unit.Length // without the turns
	Turns  int
	Time   unit.Time
	Driven unit.Area // under the swaths, empty runs included
	Spread unit.Area // of it, what the passes are for
	Plain  unit.Area // that one pass over all the dry, untreated, would drive beyond it
}

// Beyond returns the ground that is driven over beyond what the passes are for.
func (d Driving) Beyond() unit.Area { return max(0, d.Driven-d.Spread) }

// Cost is what a way costs, in the currency of the job file. Low pays for each acre that
// is spread or sprayed; High also for what is driven beyond that.
type Cost struct {
	Low, High  float64
	PerAcre    float64    // High over Area
	Area       unit.Area  // of the ground that gets dry: the same for every way, so that they can be compared
	Items      []CostItem // which add up to High
	Missing    []string   // prices that were not given
	NotCounted []string   // work of the way that no price stands for
}

// CostItem is one line of a cost.
type CostItem struct {
	What   string
	Of     string // how much of it, in the user's units: "51.3812 gal"
	At     string // what one costs: "40/gal"
	Amount float64
	Plain  bool // the dry costs it without stabilizer as well
}

// Unpriced lists the prices that are missing for ways that can be taken, each once. Where
// any is, or none is given, the ways can't be compared by cost, and priced is false.
func Unpriced(ways []Way) (missing []string, priced bool) {
	priced = true
	for _, w := range ways {
		if !w.Possible() {
			continue
		}
		if w.Cost == nil {
			priced = false
			continue
		}
		for _, m := range w.Cost.Missing {
			if !slices.Contains(missing, m) {
				missing = append(missing, m)
			}
		}
	}
	return missing, priced && len(missing) == 0
}

package report

import (
	"path"
	"path/filepath"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
)

// Day is a plant's day over many fields.
type Day struct {
	Units     unit.System
	Written   bool                      // with a plan for each field that is served: orders are what their sheets dose
	Intended  rx.Range[unit.LiquidRate] // of stabilizer; jobs may differ
	RateError rx.Range[unit.Ratio]      // that windows leave room for
	Blends    []day.Blend               // of the fields that can be planned, in the order of these
	Date      label.Date                // that it goes by; empty where it goes by none
	Fields    []DayField
	Loadings  []DayLoading // that fields share: blend after blend, of each ascending
	Blending  unit.Time    // of all fields served; 0 if unknown
	Hours     day.Hours    // of all fields served; 0 where none is known
	Has       day.Hours    // of the day; infinite where nobody says it
	Untimed   int          // fields that are blended in a time that nobody knows
	Sprayed   unit.Area    // by the boom
	Late      []int        // fields, of the day's, that are planned and do not fit into it, those of priority 1 first
	Runs      []rx.Run     // of the blender, in their order
	Hauls     []rx.Haul    // of trucks: run after run, then untreated product
	Asks      []rx.RunAsk  // what people have to answer about them
	Cards     []rx.Sheet   // of a day that is written
	Fewest    int          // loadings that would serve all fields with a window
	Opened    int          // loadings in all, those of single fields included
	Orders    []DayOrder
	Left      []DayLeft // treated blend that is left over
	Cost      *DayCost  // nil where prices are missing
	Missing   []string  // prices, where some are given
	Gap       float64   // by how much another day may be better at most, in money or, without prices, in loadings; 0 where this one is proved the best
}

// DayField is one field of the day.
type DayField struct {
	Path     string
	Folder   string    // of its plan; empty where none is written
	Area     unit.Area // that gets dry
	Spot     orb.Point // well inside it, lon/lat
	Mass     unit.Mass // of the dry
	Blend    int       // of the day's blends, from 0; -1 where it could not be planned
	Window   *day.Window
	Ends     [2]string  // what makes those of the window; empty where it is the label's range of rates on the ground
	Way      rx.WayName // that it takes; empty if none
	Loadings []unit.Loading
	Shared   int             // of the day's loadings, from 0; -1 where it shares none
	Mean     unit.LiquidRate // of stabilizer over the area, where it shares a loading
	Rate     rx.Range[unit.LiquidRate]
	Hours    day.Hours
	Cost     *float64 // of its way, without the change-over; nil if unknown
	Why      []string // of each way that it can't take today, or one for all; empty if it is served
	Apart    string   // why it shares no loading though it has a window
	Err      error    // it could not be planned
	Hint     string   // what to do about that; may be empty
	Refused  bool     // when its plan was to be written
	DayDiffers
	Inputs map[string]string // where its other files lie, by the options that name them; nil where nothing is written
}

// DayDiffers is what is said of one field of a day alone.
type DayDiffers struct {
	Job       int // that it goes by, of the day's; 0 for the day's own
	Customer  string
	Priority  int                 // 1 comes first
	NotByBoom bool                // the boom can't go there
	Fixed     string              // the way that it is to take; empty for any
	Values    map[string][]string // options that differ from the job's, by their names
}

// Served reports whether the field takes a way.
func (f DayField) Served() bool { return f.Way != "" }

// DayLoading is a loading that fields share.
type DayLoading struct {
	Blend   int // of the day's, from 0
	Value   unit.Loading
	Fields  []int // of the day's
	Mass    unit.Mass
	Batches int       // each field's own, together; 0 if unknown
	Time    unit.Time // to blend them; 0 if unknown
}

// DayOrder is a product to have at hand.
type DayOrder struct {
	What   string
	Amount float64 // of Unit
	Unit   string
	Of     []float64  // the amount, of each blend
	Packs  []day.Pack // in gallons, or in liters where units are metric; none where no sizes are given
	Left   float64    // of what the packages hold
}

// DayLeft is treated blend that is left over, and what of it is used.
type DayLeft struct {
	day.Left
	Made     label.Date // empty if nobody says it
	SpreadBy label.Date // the last day on which its labels let it be spread; empty if they don't say so
	Job      int        // that it was blended by
	Named    bool       // the day's job is, as that one
	Used     unit.Mass  // of what is weighed; who gets it stands in the runs
	Why      string     // it is not to be used; empty where it may be
	Failed   bool       // since what is said of it can't be so
}

// DayCost is what the day costs: the ways of its fields, and a change-over for each loading.
type DayCost struct{ Low, High float64 }

// Clean reports whether the day is whole, and no two of its fields lie on the same ground.
func (d Day) Clean() bool {
	return d.Whole() && !slices.ContainsFunc(d.Asks, func(a rx.RunAsk) bool { return a.About == rx.AskGround })
}

// Whole reports whether every field is served, and in the day, and nothing that is said of left-over blend is wrong.
func (d Day) Whole() bool {
	if len(d.Late) > 0 || slices.ContainsFunc(d.Left, func(l DayLeft) bool { return l.Failed }) {
		return false
	}
	for _, f := range d.Fields {
		if !f.Served() {
			return false
		}
	}
	return true
}

// Called is what people call the field or, where nobody says it, the path of its file.
func (f DayField) Called() string {
	if called := f.Values["field"]; len(called) > 0 {
		return called[0]
	}
	return f.Path
}

// DayNames are what to call the fields: what people do, or else the names of their files; where two
// have one name, their paths.
func DayNames(d Day) []string {
	names := make([]string, len(d.Fields))
	count := map[string]int{}
	for i, f := range d.Fields {
		if names[i] = f.Called(); names[i] == f.Path {
			names[i] = path.Base(filepath.ToSlash(f.Path))
		}
		count[names[i]]++
	}
	for i, f := range d.Fields {
		if count[names[i]] > 1 {
			names[i] = f.Path
		}
	}
	return names
}

// By is a field's name with its customer.
func (f DayField) By(name string) string {
	if f.Customer != "" {
		name += " (" + Name(f.Customer) + ")"
	}
	return name
}

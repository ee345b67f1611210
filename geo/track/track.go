// Package track holds what a machine logs while it drives over a field: one row a record,
// whatever file it came from. A reader of a format fills a [Log]; what works on logs takes
// nothing else.
//
// A log is what the controller believed, not what fell: its rates come from the
// calibration of a meter.
package track

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/internal/samebits"
)

// Row is one record of a log. What a record does not say is NaN, where the field is a
// float: a rate that is not known is not a rate of 0.
//
// Rates are amounts over a square meter of ground, flow is an amount a second, and total
// an amount. What an amount is says [Log.Amount].
type Row struct {
	At      orb.Point // WGS 84 longitude and latitude, in degrees, finite
	Time    float64   // seconds since 1970-01-01 UTC, or since any other moment that the whole log shares; NaN if the record has none
	Rate    float64   // that the machine applied, 0 or more
	Target  float64   // that it was told to apply, 0 or more
	Width   float64   // meters that are covered with all sections open, above 0; NaN where Log.Width says it
	Heading float64   // degrees clockwise from north, 0 to 360
	Flow    float64   // 0 or more
	Total   float64   // what the machine's counter shows; it may start anew
	Open    uint64    // of the machine's sections, from the left, bit 0 first; a machine without sections has bit 0 alone. 0 where nothing is applied
	Machine int32     // which of Log.Machines; rows of several may be mixed
	Record  int32     // place in the file, from 0
}

// On reports whether the row says that something is applied.
func (r *Row) On() bool { return r.Open != 0 }

// MaxSections is how many sections a [Row] can tell apart. A reader of a log with more
// joins neighbors.
const MaxSections = 64

// Amount is what the rates of a log count.
type Amount uint8

// The amounts.
const (
	Mass   Amount = iota // grams
	Volume               // milliliters
)

// String returns the amount's unit, "g" or "mL".
func (a Amount) String() string { return [...]string{"g", "mL"}[a] }

// convention says which ground a row's rate is of.
type convention uint8

// The conventions.
const (
	Trailing convention = iota // of the ground from the row before to this one
	Leading                    // of the ground from this row to the next
)

// Log is a machine's log, or that of several machines, of one product.
type Log struct {
	Name     string // of the file, or of the log inside it, for messages
	Amount   Amount
	Rows     []Row // in the order of the file
	Machines []string
	Width    float64   // meters, of rows that don't say it; 0 if all do
	Sections []float64 // widths in meters from the left; nil for a machine without sections. They share a row's width where it states one
	Records  convention
	Back     float64   // meters from the boom forward to the antenna; negative if the antenna is behind the boom
	Left     float64   // meters from the boom's middle left to the antenna
	Delay    float64   // seconds that the material comes later than the log says
	Dropped  []Dropped // records that gave no row
	SetBack  int       // how often [Log.GoOn] found the clock set back
}

// Dropped counts records of a file that gave no row, and says why.
type Dropped struct {
	Why     string // short name of the reason, such as "no-place"
	Count   int
	Records []int32 // the first of them, from 0
}

// NewRow returns a row at a place of which nothing else is known but that the machine is on.
func NewRow(at orb.Point, record int32) Row {
	nan := math.NaN()
	return Row{At: at, Record: record, Time: nan, Rate: nan, Target: nan, Width: nan, Heading: nan, Flow: nan, Total: nan, Open: 1}
}

// KeepNear drops the rows that are more degrees of longitude or latitude away from a place, and
// returns how many they were.
func (l *Log) KeepNear(place orb.Point, degrees float64) (dropped int) {
	kept := l.Rows[:0]
	for _, r := range l.Rows {
		if math.Abs(r.At[0]-place[0]) <= degrees && math.Abs(r.At[1]-place[1]) <= degrees {
			kept = append(kept, r)
		}
	}
	dropped = len(l.Rows) - len(kept)
	l.Rows = kept
	return dropped
}

// A clock that was set back falls by more than a minute while the machine drives on. More falls
// than a few are rows out of order.
const (
	setBack   = 60 // s
	mostFalls = 10
)

// GoOn has the times of a log go on where its clock was set back, as a terminal does that loses
// its zone or its date, and counts how often in SetBack. Rows that were put out of order are left
// as they are: those go on elsewhere, or are there twice.
func (l *Log) GoOn() {
	var falls []int
	last := map[int32]int{}
	for i := range l.Rows {
		r := &l.Rows[i]
		if k, seen := last[r.Machine]; seen && r.Time < l.Rows[k].Time-setBack {
			if falls = append(falls, i); len(falls) > mostFalls {
				return
			}
		}
		last[r.Machine] = i
	}
	for _, i := range falls {
		l.goOn(i)
	}
}

// goOn moves the times of a machine from a row on, if the machine is where it was before.
func (l *Log) goOn(i int) {
	rows, machine := l.Rows, l.Rows[i].Machine
	var near []int // up to two rows of the machine before it, then one behind
	for k := i - 1; k >= 0 && len(near) < 2; k-- {
		if rows[k].Machine == machine {
			near = append(near, k)
		}
	}
	behind := i + 1
	for behind < len(rows) && rows[behind].Machine != machine {
		behind++
	}
	if len(near) < 2 || behind == len(rows) {
		return
	}
	way, usual := Meters(rows[near[0]].At, rows[i].At), max(Meters(rows[near[1]].At, rows[near[0]].At), Meters(rows[i].At, rows[behind].At))
	step := rows[behind].Time - rows[i].Time
	if way > 2*usual+5 || !(step > 0 && step <= setBack) {
		return
	}
	for k := range rows[:i] {
		if rows[k].At == rows[i].At && rows[k].Time == rows[i].Time {
			return // of a part that is there twice
		}
	}
	shift := rows[near[0]].Time + step - rows[i].Time
	for k := i; k < len(rows); k++ {
		if rows[k].Machine == machine {
			rows[k].Time += shift
		}
	}
	l.SetBack++
}

// Meters returns nearly how far two places are apart.
func Meters(a, b orb.Point) float64 {
	return samebits.Hypot((b[0]-a[0])*samebits.Cos(a[1]*math.Pi/180), b[1]-a[1]) * 111_200
}

// WidthAt returns how wide the machine works at a row, in meters; 0 where nothing says it.
func (l *Log) WidthAt(r *Row) float64 {
	w := r.Width
	if math.IsNaN(w) {
		w = l.Width
	}
	if !(w > 0) && math.IsNaN(r.Width) {
		for _, s := range l.Sections {
			w += s
		}
	}
	return max(w, 0)
}

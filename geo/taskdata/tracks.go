package taskdata

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo/track"
)

// Track is what one element of a machine applied, by a time log of a task.
type Track struct {
	Product string // name; empty if the set does not say it
	Element string // ID
	Log     *track.Log
}

// Called is the name that a track goes by: its product's, or else its element's.
func (t Track) Called() string { return cmp.Or(t.Product, t.Element, "rate") }

// Tracks reads the time logs of a set's tasks: a track for each element that logs an actual
// rate, since two elements apply two products, which nobody may add up. The rates are those
// of the ground; a machine that logs neither its state nor its sections is taken to be on.
// Tracks that are not wanted come without rows: those of a boom's 48 nozzles take much memory.
func Tracks(s *Set, files Files, wanted func(Track) bool) ([]Track, error) {
	var list []Track
	rows, bytes := freeRows, freeBytes
	for _, data := range files {
		rows, bytes = rows+len(data)/byteRows, bytes+timesNamed*len(data)
	}
	for i := range s.Tasks {
		t := &s.Tasks[i]
		for _, name := range t.Logs {
			data, _, _ := files.find(name + ".bin")
			if bytes -= len(data); bytes < 0 {
				return nil, tooManyRows(name)
			}
			log, err := readLog(files, name)
			if err != nil {
				return nil, err
			}
			for k, c := range log.Columns {
				if !c.isRate() {
					continue
				}
				b := reading{set: s, task: t, log: log, rate: k, element: c.Element}
				track := b.track()
				if wanted(track) {
					if rows -= len(log.Records); rows < 0 {
						return nil, tooManyRows(name)
					}
					b.rows(track.Log)
				}
				list = append(list, track)
			}
		}
	}
	return list, nil
}

// Any log can be named by any number of tasks, and an element can have any number of rates: what they
// come to is bounded by what the set has in bytes, before it is read. A record has 9 bytes at least.
const (
	freeRows   = 300_000
	byteRows   = 4 // bytes for each row
	freeBytes  = 1 << 20
	timesNamed = 4
)

func tooManyRows(name string) error {
	return &FileError{File: name + ".bin", Why: "has more rates for its records than any machine, or is named by too many tasks", Hint: "copy the whole folder as it is on the stick"}
}

// rates counts the columns that make tracks.
func (l *timeLog) rates() (n int) {
	for _, c := range l.Columns {
		if c.isRate() {
			n++
		}
	}
	return n
}

func (c logColumn) isRate() bool { return c.DDI == actualMassPerArea || c.DDI == actualVolumePerArea }

// reading makes the track of one rate.
type reading struct {
	set     *Set
	task    *Task
	log     *timeLog
	rate    int // its column
	element string
}

// column returns the column of an entry that is meant for the element: its own, that of an
// element above it, the only one below it or, where the log has one rate, the only one of
// all; -1 for none.
func (b *reading) column(of DDI) int {
	for _, id := range b.set.line(b.element) {
		if at := slices.Index(b.log.Columns, logColumn{of, id}); at >= 0 {
			return at
		}
	}
	var all, below []int
	for i, c := range b.log.Columns {
		if c.DDI != of {
			continue
		}
		all = append(all, i)
		if slices.Contains(b.set.line(c.Element), b.element) {
			below = append(below, i)
		}
	}
	switch {
	case len(below) == 1:
		return below[0]
	case b.log.rates() == 1 && len(all) == 1:
		return all[0]
	}
	return -1
}

func (b *reading) track() Track {
	c := b.log.Columns[b.rate]
	log := &track.Log{Name: b.log.Name, Amount: track.Mass}
	if c.DDI == actualVolumePerArea {
		log.Amount = track.Volume
	}
	if forward, left, known := b.set.antenna(b.element); known {
		log.Back, log.Left = forward, left
	}
	if w, ok := b.set.property(b.element, actualWorkingWidth, maximumWorkingWidth); ok && w > 0 {
		log.Width = float64(w) / 1000
	}
	if device, _ := b.set.element(b.element); device != nil {
		log.Machines = []string{cmp.Or(device.Name, device.ID)}
	} else {
		log.Machines = []string{cmp.Or(b.element, "machine")}
	}
	if n := b.log.Dropped; n > 0 {
		log.Dropped = append(log.Dropped, track.Dropped{Why: "no-place", Count: n, Records: b.log.Lost})
	}
	if b.log.Short > 0 {
		log.Dropped = append(log.Dropped, track.Dropped{Why: "cut-short", Count: 1})
	}
	return Track{Product: b.product(), Element: b.element, Log: log}
}

// product is that which is allocated to the element, or to one above it.
func (b *reading) product() string {
	named := func(id string) string {
		if p := b.set.product(id); p != nil {
			return p.Name
		}
		return ""
	}
	for _, id := range b.set.line(b.element) {
		for _, a := range b.task.Allocated {
			if a.Element == id && id != "" {
				return named(a.Product)
			}
		}
	}
	if len(b.task.Allocated) == 1 && b.task.Allocated[0].Element == "" {
		return named(b.task.Allocated[0].Product)
	}
	return ""
}

// rows makes a row of each record, and the sections of the machine.
func (b *reading) rows(log *track.Log) {
	per, target := 1e-3, SetpointMassPerArea // g/m²
	if log.Amount == track.Volume {
		per, target = 1e-5, SetpointVolumePerArea // mL/m²
	}
	wanted, width := b.column(target), b.column(actualWorkingWidth)
	if width < 0 {
		width = b.column(maximumWorkingWidth)
	}
	open := b.openness()
	log.Sections, log.Rows = open.widths(), make([]track.Row, 0, len(b.log.Records))
	for i := range b.log.Records {
		r := &b.log.Records[i]
		row := track.NewRow(orb.Point(r.Place), int32(r.Index))
		if !r.Time.IsZero() {
			row.Time = float64(r.Time.UnixMilli()) / 1000
		}
		row.Rate = r.amount(b.rate, per)
		row.Target = r.amount(wanted, per)
		if w := r.amount(width, 1e-3); w > 0 {
			row.Width = w
		}
		row.Open = open.of(r)
		log.Rows = append(log.Rows, row)
	}
}

// notAvailable is what some write for a value that they have not.
const notAvailable = math.MaxInt32

// amount returns a value of a record times what one count is; NaN where there is none.
func (r *logRecord) amount(column int, per float64) float64 {
	if column < 0 || !r.Known[column] || r.Values[column] < 0 || r.Values[column] == notAvailable {
		return math.NaN()
	}
	return float64(r.Values[column]) * per
}

package read

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/track"
	"rxsplit/label/unit"
)

// rowReader turns the records of a log into rows.
type rowReader struct {
	m     *LogMap
	at    struct{ lon, lat, date, time, rate, width, on, target, heading, machine, flow, total int }
	log   *track.Log
	bad   []geo.BadRecord
	more  int
	names []string
	days  float64 // of a clock that has passed midnight
	clock float64
	known map[string]int32
}

// newRowReader finds the columns of a map among those of a log.
func newRowReader(name string, names []string, m *LogMap) (*rowReader, error) {
	r := &rowReader{m: m, names: names, known: map[string]int32{}, clock: math.Inf(-1), log: &track.Log{Name: name, Amount: m.amount}}
	c, at := &m.Columns, &r.at
	err := r.find([]wanted{
		{"lon", c.Lon, &at.lon}, {"lat", c.Lat, &at.lat}, {"date", c.Date, &at.date}, {"time", c.Time, &at.time},
		{"rate", c.Rate, &at.rate}, {"width", c.Width, &at.width}, {"on", c.On, &at.on}, {"target", c.Target, &at.target},
		{"heading", c.Heading, &at.heading}, {"machine", c.Machine, &at.machine}, {"flow", c.Flow, &at.flow}, {"total", c.Total, &at.total},
	}...)
	log := r.log
	log.Width = unit.Meters(m.Width.Or(0))
	for _, s := range m.Sections {
		log.Sections = append(log.Sections, unit.Meters(s))
	}
	log.Back = unit.Meters(m.Back.Or(0)) - unit.Meters(m.Front.Or(0))
	log.Delay = float64(m.Delay.Or(0)/unit.Minute) * 60
	if m.Record == "leading" {
		log.Records = track.Leading
	}
	return r, err
}

// wanted is a column that a map names for a key, and what takes its place.
type wanted struct {
	key, name string
	into      *int
}

// find finds columns among those of the log.
func (r *rowReader) find(columns ...wanted) (err error) {
	for _, want := range columns {
		if *want.into, err = r.column(want.key, want.name); err != nil {
			return err
		}
	}
	return nil
}

// column finds a column that a map names for a key; -1 where it names none.
func (r *rowReader) column(key, name string) (int, error) {
	if name == "" {
		return -1, nil
	}
	i, several := named(r.names, name)
	if i >= 0 {
		return i, nil
	}
	what := "has no column " + strconv.Quote(name)
	if several {
		what = "has two columns " + strconv.Quote(name) + ", which differ in capitals alone"
	}
	return -1, &Error{File: r.log.Name, What: what + ", which the map names for " + key, Hint: "its columns are: " + strings.Join(firstNames(r.names), ", ")}
}

func firstNames(names []string) []string {
	const most = 30
	if len(names) > most {
		return append(slices.Clone(names[:most]), "...")
	}
	return names
}

// add takes one record. A place that is none drops it.
func (r *rowReader) add(record int, place orb.Point, cell func(column int) string) {
	if !(math.Abs(place[0]) <= 180 && math.Abs(place[1]) <= 90) || place == (orb.Point{}) {
		r.drop("no-place", record)
		return
	}
	row := track.NewRow(place, int32(record))
	m, at := r.m, &r.at
	row.Rate = m.rate * r.number(record, at.rate, cell)
	row.Target = m.rate * r.number(record, at.target, cell)
	row.Width = m.width * r.number(record, at.width, cell)
	row.Heading = r.number(record, at.heading, cell)
	row.Flow = m.flow * r.number(record, at.flow, cell)
	row.Total = m.total * r.number(record, at.total, cell)
	if at.time >= 0 {
		row.Time = r.time(record, cell)
	}
	if at.on >= 0 {
		row.Open = r.open(record, cell(at.on))
	} else if n := len(r.log.Sections); n > 0 {
		row.Open = 1<<n - 1
	}
	if at.machine >= 0 {
		row.Machine = r.machine(cell(at.machine))
	}
	r.log.Rows = append(r.log.Rows, row)
}

func (r *rowReader) drop(why string, record int) {
	i := slices.IndexFunc(r.log.Dropped, func(d track.Dropped) bool { return d.Why == why })
	if i < 0 {
		i = len(r.log.Dropped)
		r.log.Dropped = append(r.log.Dropped, track.Dropped{Why: why})
	}
	d := &r.log.Dropped[i]
	if d.Count++; len(d.Records) < geo.MaxBadRecords {
		d.Records = append(d.Records, int32(record))
	}
}

func (r *rowReader) blame(record, column int, value, why string) {
	if len(r.bad) >= geo.MaxBadRecords {
		r.more++
		return
	}
	if runes := []rune(value); len(runes) > 40 {
		value = string(runes[:40]) + "..."
	}
	r.bad = append(r.bad, geo.BadRecord{Record: record, Field: r.names[column], Value: value, Why: why})
}

// number reads a number that can't be negative; NaN where the cell is empty or there is none.
func (r *rowReader) number(record, column int, cell func(int) string) float64 {
	v := r.signed(record, column, cell)
	if v < 0 {
		r.blame(record, column, strings.TrimSpace(cell(column)), "is negative")
		return math.NaN()
	}
	return v
}

// mostLogged is more than any machine counts in any unit; sums of such numbers are still finite.
const mostLogged = 1e12

// signed reads a number; NaN where the cell is empty or there is none.
func (r *rowReader) signed(record, column int, cell func(int) string) float64 {
	if column < 0 {
		return math.NaN()
	}
	text := strings.TrimSpace(cell(column))
	if text == "" || strings.EqualFold(text, "null") || strings.EqualFold(text, "nan") {
		return math.NaN()
	}
	v, ok := number([]byte(text))
	switch {
	case !ok && strings.Contains(text, ","):
		r.blame(record, column, text, "is not a number: write decimals with a point")
	case !ok:
		r.blame(record, column, text, "is not a number")
	case math.Abs(v) > mostLogged:
		r.blame(record, column, text, "is more than any machine logs")
	default:
		return v
	}
	return math.NaN()
}

// open reads what is open: a number, a word, or a digit for each section from the left.
func (r *rowReader) open(record int, text string) uint64 {
	text = strings.ToLower(strings.TrimSpace(text))
	all := uint64(1)
	if n := len(r.log.Sections); n > 0 {
		all = 1<<n - 1
		if len(text) == n && strings.Trim(text, "01") == "" && n > 1 {
			open := uint64(0)
			for i, digit := range text {
				open |= uint64(digit-'0') << i
			}
			return open
		}
	}
	switch text {
	case "1", "true", "on", "yes", "t", "y":
		return all
	case "", "0", "false", "off", "no", "f", "n", "null":
		return 0
	}
	if v, ok := number([]byte(text)); ok && v >= 0 {
		if v > 0 {
			return all
		}
		return 0
	}
	r.blame(record, r.at.on, text, "says neither on nor off: want 1 or 0, true or false, on or off, or a digit for each section")
	return 0
}

func (r *rowReader) machine(name string) int32 {
	id, ok := r.known[name]
	if !ok {
		id = int32(len(r.known))
		name = strings.Clone(name)
		r.known[name] = id
		r.log.Machines = append(r.log.Machines, name)
	}
	return id
}

// time reads a time in seconds; NaN where the cell is empty.
func (r *rowReader) time(record int, cell func(int) string) float64 {
	text := strings.TrimSpace(cell(r.at.time))
	if text == "" {
		return math.NaN()
	}
	if r.at.date >= 0 {
		text = strings.TrimSpace(cell(r.at.date)) + "T" + text
	}
	switch r.m.TimeForm {
	case "epoch-s", "epoch-ms":
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
			r.blame(record, r.at.time, text, "is not a number")
			return math.NaN()
		}
		if r.m.TimeForm == "epoch-ms" {
			v /= 1000
		}
		return v
	case "clock":
		if t, err := time.Parse("15:04:05", text); err == nil {
			return r.sinceStart(seconds(t.Sub(t.Truncate(24 * time.Hour))))
		}
	default:
		for _, form := range isoForms {
			if t, err := time.Parse(form, text); err == nil {
				return float64(t.Unix()) + float64(t.Nanosecond())/1e9
			}
		}
	}
	r.blame(record, r.at.time, text, fmt.Sprintf("is no time of the form %s", r.m.TimeForm))
	return math.NaN()
}

var isoForms = []string{time.RFC3339, "2006-01-02T15:04:05", "2006-01-02 15:04:05", "2006-01-02 15:04:05Z07:00", "20060102T150405", "20060102T150405Z07:00"}

func seconds(d time.Duration) float64 { return float64(d) / float64(time.Second) }

// sinceStart has a clock that passes midnight go on. A small step back is rows out of order.
func (r *rowReader) sinceStart(t float64) float64 {
	const day = 86400
	t += r.days
	if t < r.clock-day/2 {
		r.days += day
		t += day
	}
	r.clock = max(r.clock, t)
	return t
}

// wrong tells the bad records; nil of none.
func (r *rowReader) wrong() error {
	if len(r.bad) == 0 {
		return nil
	}
	return &geo.BadFileError{File: r.log.Name, Bad: r.bad, More: r.more, Hint: "correct the map or the file; a cell that says nothing is left empty"}
}

// done returns the log, or what is wrong with its records.
func (r *rowReader) done() (*track.Log, error) {
	if err := r.wrong(); err != nil {
		return nil, err
	}
	if len(r.log.Rows) == 0 {
		return nil, r.nowhere()
	}
	if len(r.log.Machines) == 0 {
		r.log.Machines = []string{""}
	}
	r.log.GoOn()
	return r.log, nil
}

// nowhere says why a log has no row: it has no record, or none of them has a place.
func (r *rowReader) nowhere() error {
	if len(r.log.Dropped) == 0 {
		return &Error{File: r.log.Name, What: "has no record", Hint: "give a log with points or swath polygons"}
	}
	hint := "give a log with points or swath polygons"
	if r.at.lon >= 0 {
		hint = "see that the map has not changed lon for lat; where they hold east and north, name their system with --crs, such as --crs EPSG:26915"
	}
	return &Error{File: r.log.Name, What: "has no record with a place on the ground", Hint: hint}
}

package taskdata

import (
	"encoding/binary"
	"fmt"
	"slices"
	"strconv"
	"time"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/track"
)

// timeLog is a time log: what a terminal wrote down while it worked.
type timeLog struct {
	Name    string
	Columns []logColumn
	Records []logRecord
	Short   int     // bytes of a last record that is not whole; it is left out
	Dropped int     // records whose place is none
	Lost    []int32 // the first of them, from 0
}

// logColumn is one value that a log has.
type logColumn struct {
	DDI     DDI
	Element string // of a device
}

// logRecord is one record of a log. Values are those of the columns, the last that came
// before where the record has none of its own.
type logRecord struct {
	Index  int       // place in the file, from 0
	Time   time.Time // local, as the terminal's clock shows it; zero where the log has none
	Place  orb.Point // lon/lat of the antenna
	Values []int32   // those of records that change none are one and the same
	Known  []bool    // whether a value has come at all; likewise
}

// readLog reads a time log by its name, from its template and its binary file. What is
// short at its end is left out and counted; a value that the template doesn't name makes
// the rest unreadable, and is refused.
func readLog(files Files, name string) (*timeLog, error) {
	const again = "copy the whole folder as it is on the stick"
	template, as, ok := files.find(name + ".xml")
	if !ok {
		return nil, &FileError{File: name + ".xml", Why: "is missing, and nobody can read the log without it", Hint: again}
	}
	h, err := readHeader(as, template)
	if err != nil {
		return nil, err
	}
	data, as, ok := files.find(name + ".bin")
	if !ok {
		return nil, &FileError{File: name + ".bin", Why: "is missing", Hint: again}
	}
	log, err := h.read(data)
	if err != nil || log.Short > 0 || h.looksShifted(log) {
		// Some terminals of versions before 3 write all fields, whatever the template says.
		all := *h
		for f := north; f < fieldCount; f++ {
			all.present[f] = true
		}
		if other, wrong := all.read(data); wrong == nil && other.Short == 0 && len(other.Records) > 1 && !all.looksShifted(other) {
			log, err = other, nil
		}
	}
	if err != nil {
		return nil, &FileError{File: as, Why: err.Error(), Hint: again}
	}
	log.Name = name
	return log, nil
}

// looksShifted reports whether the days of the first two records are far apart.
func (h *header) looksShifted(log *timeLog) bool {
	if !h.present[dayNumber] || len(log.Records) < 2 {
		return false
	}
	apart := log.Records[1].Time.Sub(log.Records[0].Time)
	return apart < -48*time.Hour || apart > 48*time.Hour
}

// size is how many bytes the fields of a record have, with the count of its values.
func (h *header) size() int {
	n := 1
	for f, is := range h.present {
		if is {
			n += fieldBytes[f]
		}
	}
	return n
}

func (h *header) read(data []byte) (*timeLog, error) {
	log := &timeLog{Columns: h.columns}
	values, known := make([]int32, len(h.columns)), make([]bool, len(h.columns))
	for i, v := range h.fixed {
		if v != nil {
			values[i], known[i] = *v, true
		}
	}
	keep, sure, kept := slices.Clone(values), slices.Clone(known), 1
	for size := h.size(); len(data) > 0; {
		if len(data) < size || len(data) < size+5*int(data[size-1]) {
			log.Short = len(data)
			break
		}
		end := size + 5*int(data[size-1])
		for at := size; at < end; at += 5 {
			place := int(data[at])
			if place >= len(values) {
				return nil, fmt.Errorf("record %d has a value at place %d, and its template names %d", len(log.Records)+log.Dropped+1, place, len(values))
			}
			values[place], known[place] = int32(binary.LittleEndian.Uint32(data[at+1:])), true
		}
		if !slices.Equal(keep, values) {
			keep, kept = slices.Clone(values), kept+1
		}
		if !slices.Equal(sure, known) {
			sure = slices.Clone(known)
		}
		if kept*len(values) > mostValues {
			return nil, fmt.Errorf("has more than %d values, those that go on beside one that changes counted", mostValues)
		}
		if r, usable := h.record(data); usable {
			r.Index = len(log.Records) + log.Dropped
			r.Values, r.Known = keep, sure
			log.Records = append(log.Records, r)
		} else {
			if len(log.Lost) < mostLost {
				log.Lost = append(log.Lost, int32(len(log.Records)+log.Dropped))
			}
			log.Dropped++ // what values it brought go on
		}
		data = data[end:]
	}
	return log, nil
}

// A record counts its values in a byte, and says in a byte which each of them is. A day of a machine
// with a hundred of them, a record each second, comes to 4 million.
const (
	mostColumns = 255
	mostValues  = 50_000_000
)

// mostLost is how many records without a place are listed.
const mostLost = 20

// record reads the fields of one record; usable is false where its place is none.
func (h *header) record(data []byte) (r logRecord, usable bool) {
	var v [fieldCount]int64
	var is [fieldCount]bool
	for f := range fieldCount {
		switch {
		case h.present[f]:
			v[f], is[f] = littleEndian(data[:fieldBytes[f]], f == north || f == east || f == up), true
			data = data[fieldBytes[f]:]
		case h.constant[f] != nil:
			v[f], is[f] = *h.constant[f], true
		}
	}
	r = logRecord{Place: orb.Point{float64(v[east]) / 1e7, float64(v[north]) / 1e7}}
	if is[timeOfDay] && is[dayNumber] {
		r.Time = epoch.Add(time.Duration(v[dayNumber])*24*time.Hour + time.Duration(v[timeOfDay])*time.Millisecond)
	}
	return r, is[north] && is[east] && isPlace(v[north], v[east]) && !(is[status] && noFix(v[status]))
}

// littleEndian reads a number of one, two or four bytes.
func littleEndian(b []byte, signed bool) int64 {
	switch {
	case len(b) == 1:
		return int64(b[0])
	case len(b) == 2:
		return int64(binary.LittleEndian.Uint16(b))
	case signed:
		return int64(int32(binary.LittleEndian.Uint32(b)))
	}
	return int64(binary.LittleEndian.Uint32(b))
}

// isPlace reports whether counts of 1e-7 degree are a place. All bits set and the largest
// number stand for none; so does 0, 0, which no field lies at.
func isPlace(north, east int64) bool {
	const none, largest = -1, 1<<31 - 1
	if north == none || east == none || north == largest || east == largest || north == 0 && east == 0 {
		return false
	}
	return north >= -90e7 && north <= 90e7 && east >= -180e7 && east <= 180e7
}

// noFix reports whether a status says that there was no position, an error, or that none
// is available.
func noFix(status int64) bool { return status == 0 || status == 14 || status == 15 }

// perEntry is how many sections one entry of the dictionary holds.
const perEntry = 16

// openness tells which sections of a machine are open.
type openness struct {
	state   int   // column of the work state; -1 for none
	columns []int // of the entries for sections, from the left; -1 where one is missing
	count   int   // of sections that the machine has; 0 for none
	joined  int   // how many of them a bit of a row stands for
}

// openness looks which columns say it, and how many sections there are.
func (b *reading) openness() openness {
	o := openness{state: b.column(actualWorkState), joined: 1}
	for ddi := actualSections; ddi <= lastSections; ddi++ {
		o.columns = append(o.columns, b.column(ddi))
	}
	for i := range b.log.Records {
		r := &b.log.Records[i]
		for k, c := range o.columns {
			if c < 0 || !r.Known[c] {
				continue
			}
			for s := range perEntry {
				if section(r.Values[c], s) != missing {
					o.count = max(o.count, k*perEntry+s+1)
				}
			}
		}
	}
	for o.count > o.joined*track.MaxSections {
		o.joined++
	}
	return o
}

// What two bits say of a section.
const (
	opened  = 1
	missing = 3
)

func section(word int32, s int) uint32 { return uint32(word) >> (2 * s) & 3 }

// widths are equal shares of a machine's width; nil without sections.
func (o openness) widths() (list []float64) {
	for from := 0; from < o.count; from += o.joined {
		list = append(list, float64(min(o.joined, o.count-from)))
	}
	return list
}

// of returns the open sections of a record as a row has them: none while the machine is
// off, or has not yet said that it is on.
func (o openness) of(r *logRecord) (open uint64) {
	if o.state >= 0 && !(r.Known[o.state] && r.Values[o.state] == opened) {
		return 0
	}
	if o.count == 0 {
		return 1
	}
	for k, c := range o.columns {
		if c < 0 || !r.Known[c] {
			continue
		}
		for s := range perEntry {
			if section(r.Values[c], s) == opened {
				open |= 1 << ((k*perEntry + s) / o.joined)
			}
		}
	}
	return open
}

// epoch is the day that the days of a log are counted from.
var epoch = time.Date(1980, time.January, 1, 0, 0, 0, 0, time.UTC)

// field is a part of a record that comes before its values.
type field int

// The fields, in the order in which they stand in a record.
const (
	timeOfDay field = iota
	dayNumber
	north
	east
	up
	status
	pdop
	hdop
	satellites
	utcTime
	utcDay
	fieldCount
)

// fieldBytes are the lengths of the fields.
var fieldBytes = [fieldCount]int{4, 2, 4, 4, 4, 1, 2, 2, 1, 4, 2}

// header says how the records of a log are laid out: a field is in each record, is the
// same in all of them, or is in none.
type header struct {
	present  [fieldCount]bool
	constant [fieldCount]*int64
	columns  []logColumn
	fixed    []*int32 // values that are the same in all records
}

// readHeader reads the template of a log.
func readHeader(name string, data []byte) (*header, error) {
	root, err := parse(name, data)
	if err != nil {
		return nil, err
	}
	if root.name != "TIM" {
		return nil, &FileError{File: name, Why: "is no template of a log: its root is <" + root.name + ">"}
	}
	h := new(header)
	if a, ok := root.get("A"); ok {
		h.present[timeOfDay], h.present[dayNumber] = a == "", a == ""
		if at, err := time.Parse("2006-01-02T15:04:05", a[:min(len(a), 19)]); a != "" && err == nil {
			ms, days := int64(at.Sub(at.Truncate(24*time.Hour))/time.Millisecond), int64(at.Sub(epoch)/(24*time.Hour))
			h.constant[timeOfDay], h.constant[dayNumber] = &ms, &days
		}
	}
	for _, ptn := range root.all("PTN") {
		if err := h.position(name, ptn); err != nil {
			return nil, err
		}
	}
	values := root.all("DLV")
	if len(values) > mostColumns {
		return nil, &FileError{File: name, Line: values[mostColumns].line, Why: fmt.Sprintf("names more than %d values, and no record can have more", mostColumns)}
	}
	for _, v := range values {
		if err := h.value(name, v); err != nil {
			return nil, err
		}
	}
	return h, nil
}

// position reads which fields of a position a log has.
func (h *header) position(name string, ptn *element) error {
	for i, letter := range "ABCDEFGHI" {
		text, ok := ptn.get(string(letter))
		f := north + field(i)
		if !ok {
			continue
		}
		if h.present[f] = text == ""; h.present[f] {
			continue
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return &FileError{File: name, Line: ptn.line, Why: fmt.Sprintf("PTN@%c is %q, no number", letter, geo.Shorten(text))}
		}
		if f == north || f == east {
			v *= 1e7
		}
		h.constant[f] = new(int64(v))
	}
	return nil
}

func (h *header) value(name string, v *element) error {
	ddi, ok := parseDDI(v.attr("A"))
	if !ok {
		return &FileError{File: name, Line: v.line, Why: fmt.Sprintf("DLV@A is %q, no entry of the data dictionary", geo.Shorten(v.attr("A")))}
	}
	var fixed *int32
	if text := v.attr("B"); text != "" {
		n, err := strconv.ParseInt(text, 10, 32)
		if err != nil {
			return &FileError{File: name, Line: v.line, Why: fmt.Sprintf("DLV@B is %q, no whole number", geo.Shorten(text))}
		}
		fixed = new(int32(n))
	}
	h.columns = append(h.columns, logColumn{ddi, v.attr("C")})
	h.fixed = append(h.fixed, fixed)
	return nil
}

package taskdata

import (
	"fmt"
	"strconv"
	"time"
)

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
	columns  []Column
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
	for _, v := range root.all("DLV") {
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
			return &FileError{File: name, Line: ptn.line, Why: fmt.Sprintf("PTN@%c is %q, no number", letter, shorten(text))}
		}
		if f == north || f == east {
			v *= 1e7
		}
		n := int64(v)
		h.constant[f] = &n
	}
	return nil
}

func (h *header) value(name string, v *element) error {
	ddi, ok := parseDDI(v.attr("A"))
	if !ok {
		return &FileError{File: name, Line: v.line, Why: fmt.Sprintf("DLV@A is %q, no entry of the data dictionary", shorten(v.attr("A")))}
	}
	var fixed *int32
	if text := v.attr("B"); text != "" {
		n, err := strconv.ParseInt(text, 10, 32)
		if err != nil {
			return &FileError{File: name, Line: v.line, Why: fmt.Sprintf("DLV@B is %q, no whole number", shorten(text))}
		}
		one := int32(n)
		fixed = &one
	}
	h.columns = append(h.columns, Column{ddi, v.attr("C")})
	h.fixed = append(h.fixed, fixed)
	return nil
}

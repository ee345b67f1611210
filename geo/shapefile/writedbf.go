package shapefile

import (
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"

	"rxsplit/geo"
	"rxsplit/internal/cores"
)

// The date of the last update in a DBF header, years from 1900: a constant, so
// that the same layer makes the same bytes.
const (
	dbfYear  = 2026 - 1900
	dbfMonth = 1
	dbfDay   = 1
)

const (
	maxName   = 10
	maxWidth  = 255
	maxRow    = 1<<16 - 1
	maxHeader = 1<<16 - 1
)

// columnError is a column that a DBF can't hold.
type columnError struct {
	Column string
	Row    int // from 0; -1 if the column as a whole is meant
	Why    string
}

func (e *columnError) Error() string {
	if e.Row >= 0 {
		return fmt.Sprintf("record %d: field %s: %s", e.Row+1, e.Column, e.Why)
	}
	return fmt.Sprintf("field %q: %s", e.Column, e.Why)
}

func checkColumns(cols []geo.Column) error {
	if len(cols) == 0 {
		return errors.New("a shapefile needs at least one field")
	}
	seen := map[string]bool{}
	for _, c := range cols {
		if why := checkColumn(c); why != "" {
			return &columnError{Column: nameOf(c), Row: -1, Why: why}
		}
		if key := strings.ToUpper(nameOf(c)); seen[key] {
			return &columnError{Column: nameOf(c), Row: -1, Why: "is there twice"}
		} else {
			seen[key] = true
		}
	}
	if rowSize(cols) > maxRow || tableHeaderSize(cols) > maxHeader {
		return fmt.Errorf("%d fields are more than a shapefile can hold", len(cols))
	}
	return nil
}

// nameOf returns the name that a column has in a shapefile.
func nameOf(c geo.Column) string { return cmp.Or(c.Short, c.Name) }

func checkColumn(c geo.Column) (why string) {
	name := nameOf(c)
	switch {
	case name == "":
		return "has no name"
	case len(name) > maxName:
		return fmt.Sprintf("name has %d bytes, a shapefile allows %d", len(name), maxName)
	case strings.ContainsFunc(name, func(r rune) bool { return r < ' ' }):
		return "name holds a control character"
	case c.Width < 1 || c.Width > maxWidth:
		return fmt.Sprintf("width %d is not from 1 to %d", c.Width, maxWidth)
	case c.Decimals < 0 || c.Decimals > 0 && c.Decimals > c.Width-2:
		return fmt.Sprintf("%d decimals don't fit a width of %d", c.Decimals, c.Width)
	}
	return ""
}

func tableHeaderSize(cols []geo.Column) int64 {
	return dbfHeaderSize + dbfFieldSize*int64(len(cols)) + 1
}

func rowSize(cols []geo.Column) int64 {
	size := int64(1) // the deletion flag
	for _, c := range cols {
		size += int64(c.Width)
	}
	return size
}

func writeTable(w io.Writer, rows int, cols []geo.Column) error {
	if _, err := w.Write(tableHeader(rows, cols)); err != nil {
		return err
	}
	var wide widest
	encode := func(dst []byte, from, to int) ([]byte, error) {
		dst = slices.Grow(dst, (to-from)*int(rowSize(cols)))
		tooWide := false
		for i := from; i < to; i++ {
			dst = append(dst, rowKept)
			for c := range cols {
				var fits bool
				dst, fits = wide.appendCell(dst, &cols[c], i)
				tooWide = tooWide || !fits
			}
		}
		if tooWide {
			return dst, nil // told when the others are looked at
		}
		return dst, proveRows(dst, cols, from, to)
	}
	if err := cores.Write(w, rows, func() cores.Encode { return encode }); err != nil {
		return err
	}
	if wide.first != nil {
		return wide.first
	}
	_, err := w.Write([]byte{dbfFileEnd})
	return err
}

func tableHeader(rows int, cols []geo.Column) []byte {
	h := make([]byte, dbfHeaderSize, tableHeaderSize(cols))
	h[0], h[1], h[2], h[3] = 0x03, dbfYear, dbfMonth, dbfDay
	binary.LittleEndian.PutUint32(h[4:], uint32(rows))
	binary.LittleEndian.PutUint16(h[8:], uint16(tableHeaderSize(cols)))
	binary.LittleEndian.PutUint16(h[10:], uint16(rowSize(cols)))
	for _, c := range cols {
		var f [dbfFieldSize]byte
		copy(f[:maxName], nameOf(c))
		f[11], f[16], f[17] = 'N', byte(c.Width), byte(c.Decimals)
		h = append(h, f[:]...)
	}
	return append(h, dbfHeaderEnd)
}

// widest keeps the first cell, by row, that did not fit its column.
type widest struct {
	mu    sync.Mutex
	first *columnError
}

// appendCell appends a cell's text with blanks before it. A cell that is too wide
// is left blank and noted.
func (w *widest) appendCell(dst []byte, c *geo.Column, row int) (cells []byte, fits bool) {
	at := len(dst)
	dst = c.Text(dst, row)
	n := len(dst) - at
	fits = n <= c.Width
	if !fits {
		w.note(&columnError{Column: nameOf(*c), Row: row, Why: fmt.Sprintf("%q is wider than the %d of its column", dst[at:], c.Width)})
		dst, n = dst[:at], 0
	}
	dst = grow(dst, c.Width-n)
	copy(dst[at+c.Width-n:], dst[at:at+n])
	for i := range dst[at : at+c.Width-n] {
		dst[at+i] = ' '
	}
	return dst, fits
}

func (w *widest) note(e *columnError) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.first == nil || e.Row < w.first.Row {
		w.first = e
	}
}

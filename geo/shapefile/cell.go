package shapefile

import (
	"bytes"
	"encoding/binary"
	"math"
	"strconv"

	"rxsplit/geo"
)

// read returns a cell's kind and its trimmed bytes.
func (c *column) read(row []byte) (geo.Kind, []byte) {
	cell := c.bytes(row)
	switch c.kind {
	case 'N', 'F':
		return readNumber(cell)
	case 'C':
		return readText(cell)
	case 'D':
		return readDate(cell)
	case 'L':
		return readLogical(cell)
	case 'I':
		if len(cell) == 4 {
			v := int32(binary.LittleEndian.Uint32(cell))
			return geo.Number, strconv.AppendInt(nil, int64(v), 10)
		}
	case 'M':
		if text := trim(cell); len(text) == 0 || isASCII(text) {
			return nullOr(geo.Other, text)
		}
	}
	return geo.Other, nil
}

// readNumber takes blanks, NULs and asterisks (what dBASE prints for an overflow)
// for null, and what is no decimal number for text.
func readNumber(cell []byte) (geo.Kind, []byte) {
	text := trim(cell)
	switch {
	case len(text) == 0, text[0] == '*' && allAsterisks(text):
		return geo.Null, nil
	case isNumber(text):
		return geo.Number, text
	}
	return geo.Text, text
}

// overflows reports whether a cell that reads as null holds the asterisks of a number that
// is wider than its column.
func (c *column) overflows(row []byte) bool {
	text := trim(c.bytes(row))
	return (c.kind == 'N' || c.kind == 'F') && len(text) > 0 && text[0] == '*'
}

func readText(cell []byte) (geo.Kind, []byte) {
	if end := bytes.IndexByte(cell, 0); end >= 0 {
		cell = cell[:end]
	}
	return nullOr(geo.Text, trim(cell))
}

// readDate takes a date of zeros for null and what is not eight digits for text.
func readDate(cell []byte) (geo.Kind, []byte) {
	text := trim(cell)
	switch {
	case len(text) == 0, string(text) == "00000000":
		return geo.Null, nil
	case len(text) == 8 && digits(text) == 8:
		return geo.Date, text
	}
	return geo.Text, text
}

// readLogical returns true and false as JSON spells them.
func readLogical(cell []byte) (geo.Kind, []byte) {
	text := trim(cell)
	if len(text) == 0 {
		return geo.Null, nil
	}
	if len(text) == 1 {
		switch text[0] {
		case '?':
			return geo.Null, nil
		case 'T', 't', 'Y', 'y':
			return geo.Bool, []byte("true")
		case 'F', 'f', 'N', 'n':
			return geo.Bool, []byte("false")
		}
	}
	return geo.Text, text
}

func nullOr(kind geo.Kind, text []byte) (geo.Kind, []byte) {
	if len(text) == 0 {
		return geo.Null, nil
	}
	return kind, text
}

// trim cuts the blanks and NULs that pad a cell, at both ends.
func trim(b []byte) []byte {
	for len(b) > 0 && (b[0] == ' ' || b[0] == 0) {
		b = b[1:]
	}
	for n := len(b); n > 0 && (b[n-1] == ' ' || b[n-1] == 0); n = len(b) {
		b = b[:n-1]
	}
	return b
}

func allAsterisks(b []byte) bool { return len(bytes.Trim(b, "*")) == 0 }

// isNumber reports whether text is a finite decimal number: a sign, digits with a
// point among them, an exponent; sign, point and exponent may be left out. It
// takes neither the names of infinities and NaN, nor hexadecimal digits, decimal
// commas or separators.
func isNumber(text []byte) bool {
	rest := afterSign(text)
	whole := digits(rest)
	rest = rest[whole:]
	fraction := 0
	if len(rest) > 0 && rest[0] == '.' {
		fraction = digits(rest[1:])
		rest = rest[1+fraction:]
	}
	if whole+fraction == 0 {
		return false
	}
	if len(rest) == 0 {
		return true // 255 digits are finite
	}
	if rest[0] != 'e' && rest[0] != 'E' {
		return false
	}
	rest = afterSign(rest[1:])
	return len(rest) > 0 && digits(rest) == len(rest) && isFinite(text)
}

func afterSign(b []byte) []byte {
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		return b[1:]
	}
	return b
}

// digits returns how many digits b begins with.
func digits(b []byte) int {
	for i, c := range b {
		if c < '0' || c > '9' {
			return i
		}
	}
	return len(b)
}

func isFinite(text []byte) bool {
	v, err := strconv.ParseFloat(string(text), 64)
	return err == nil && !math.IsInf(v, 0)
}

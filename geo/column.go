package geo

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
)

// Column is a column to write: a number per row. Text and JSON append the
// value of a row to dst and return it; Text gives the digits of a DBF cell, at
// most Width bytes, nothing for a null; JSON gives a JSON value.
type Column struct {
	Name     string
	Short    string // its name in a shapefile, where that can't hold Name; else empty
	Width    int
	Decimals int
	Text     func(dst []byte, row int) []byte
	JSON     func(dst []byte, row int) []byte

	// Number is what the texts of a row stand for, rounded to Decimals; NaN for a null.
	// What was written is proved by it. Where it is nil, the texts are made twice instead.
	Number func(row int) float64
}

// Proves reports whether the text of a cell, empty for a null, stands for what a row holds:
// a decimal number that is no more than half of the last decimal off. A text that begins as
// no printed number does is held against what again gives besides, as Text or JSON would.
func (c *Column) Proves(text []byte, row int, again func(dst []byte, row int) []byte) bool {
	want := c.Number(row)
	if len(text) == 0 || math.IsNaN(want) {
		return len(text) == 0 && math.IsNaN(want)
	}
	got, ok := Decimal(text)
	if ok && got != want {
		half := 0.5 * (1 + 1e-9) / pow10[min(max(c.Decimals, 0), len(pow10)-1)]
		ok = decimalsOf(text) <= c.Decimals && math.Abs(got-want) <= half+float64(math.Abs(want)*0x1p-52)
	}
	if ok && (text[0] == '+' || text[0] == '0' && len(text) > 1 && text[1] != '.') {
		ok = bytes.Equal(bytes.TrimSpace(again(nil, row)), text)
	}
	return ok
}

func decimalsOf(text []byte) int {
	point := bytes.IndexByte(text, '.')
	if point < 0 {
		return 0
	}
	return len(text) - point - 1
}

// AppendFixed appends a number with a fixed count of decimals, as strconv does: rounded from
// all of its binary digits. Where the product with a power of ten is small enough, its
// rounding can't pass half of a last digit, unless it comes close to that.
func AppendFixed(dst []byte, v float64, decimals int) []byte {
	const (
		most = 1 << 43
		near = 1e-3 // more than most * 2^-53, which the product is off
	)
	if decimals >= len(pow10) {
		return strconv.AppendFloat(dst, v, 'f', decimals, 64)
	}
	scaled := float64(math.Abs(v) * pow10[decimals])
	n := uint64(min(scaled, most))
	over := scaled - float64(n)
	if !(scaled < most) || math.Abs(over-0.5) < near {
		return strconv.AppendFloat(dst, v, 'f', decimals, 64)
	}
	if over > 0.5 {
		n++
	}
	var digits [24]byte // of 2^43, and a zero for each decimal
	at := len(digits)
	for left := decimals; n > 0 || left >= 0; left-- {
		if left == 0 && decimals > 0 {
			at--
			digits[at] = '.'
		}
		at--
		digits[at] = '0' + byte(n%10)
		n /= 10
	}
	if math.Signbit(v) {
		dst = append(dst, '-')
	}
	return append(dst, digits[at:]...)
}

// Unproved is the error of a record, from 0, that was encoded otherwise than it is: a
// mistake of this program, or memory that fails.
func Unproved(record int, what string) error {
	return fmt.Errorf("record %d: %s was encoded wrongly", record+1, what)
}

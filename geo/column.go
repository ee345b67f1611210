package geo

import (
	"bytes"
	"fmt"
	"math"
	"math/bits"
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
	if math.Signbit(v) {
		dst = append(dst, '-')
	}
	var room [24]byte
	digits := strconv.AppendUint(room[:0], n, 10)
	whole := len(digits) - decimals
	if whole > 0 {
		dst = append(dst, digits[:whole]...)
	} else {
		dst = append(dst, '0')
	}
	if decimals > 0 {
		dst = append(dst, '.')
		for range -whole {
			dst = append(dst, '0')
		}
		dst = append(dst, digits[max(whole, 0):]...)
	}
	return dst
}

// Unproved is the error of a record, from 0, that was encoded otherwise than it is: a
// mistake of this program, or memory that fails.
func Unproved(record int, what string) error {
	return fmt.Errorf("record %d: %s was encoded wrongly", record+1, what)
}

// pow10 are the powers of ten that a float holds exactly.
var pow10 = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// digitsOf reads a decimal number as n over a power of ten, without its sign, where n has
// at most eighteen digits and there is no exponent.
func digitsOf(text []byte) (n uint64, decimals int, ok bool) {
	i := 0
	if text[0] == '-' {
		i = 1
	}
	first, point := i, len(text)
	for ; i < len(text); i++ {
		switch c := text[i]; {
		case c >= '0' && c <= '9' && n < 1e17:
			n = 10*n + uint64(c-'0')
		case c == '.' && point == len(text) && i > first:
			point = i
		default:
			return 0, 0, false
		}
	}
	decimals = max(len(text)-point-1, 0)
	return n, decimals, i > first && point != len(text)-1 && decimals <= 18
}

// Decimal reads a decimal number, of one byte at least: the float nearest to it. Digits that a float holds
// exactly, over a power of ten that it holds, are one division (W. D. Clinger, How to Read
// Floating Point Numbers Accurately, 1990); the rest is for the library.
func Decimal(text []byte) (v float64, ok bool) {
	n, decimals, ok := digitsOf(text)
	if !ok || n > 1<<53 {
		return anyDecimal(text)
	}
	if v = float64(n) / pow10[decimals]; text[0] == '-' {
		v = -v
	}
	return v, true
}

func anyDecimal(text []byte) (v float64, ok bool) {
	for _, c := range text {
		if (c < '0' || c > '9') && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E' {
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(string(text), 64)
	return v, err == nil
}

// ReadsAs reports whether a decimal number, of one byte at least, reads as a float: no other
// float is nearer to it. A float is m times 2 to the power of e, and all that is nearest to it
// is less than half of the last bit of m off: whole numbers, once both sides are multiplied
// by powers of ten and two. What may not hold so, at a power of two or halfway between
// floats, say, is for the library.
func ReadsAs(text []byte, want float64) bool {
	const fraction = 52 // bits
	b := math.Float64bits(math.Abs(want))
	m, shift := b&(1<<fraction-1)|1<<fraction, 1+1075-int(b>>fraction)
	n, decimals, ok := digitsOf(text)
	if !ok || m == 1<<fraction || shift < 1 || shift > 63 {
		v, ok := anyDecimal(text)
		return ok && math.Float64bits(v) == math.Float64bits(want)
	}
	half := uint64(pow10[decimals])
	high, low := bits.Mul64(2*m, half)
	low, borrow := bits.Sub64(low, n<<shift, 0)
	high, borrow = bits.Sub64(high, n>>(64-shift), borrow)
	if borrow > 0 { // below zero
		low, borrow = bits.Sub64(0, low, 0)
		high, _ = bits.Sub64(0, high, borrow)
	}
	return high == 0 && (low < half || low == half && m%2 == 0) && (text[0] == '-') == math.Signbit(want)
}

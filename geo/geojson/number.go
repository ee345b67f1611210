package geojson

import (
	"math"
	"math/bits"
	"strconv"
)

// number reads the JSON number (RFC 8259 §6) that starts at text[i] and returns
// its value, rounded as [strconv.ParseFloat] rounds it, and the place behind it.
// ok is false if there is no number or none that is finite.
func number(text []byte, i int) (v float64, end int, ok bool) {
	start := i
	if i < len(text) && text[i] == '-' {
		i++
	}
	first := i
	var m uint64
	for ; i < len(text) && isDigit(text[i]); i++ {
		m = m*10 + uint64(text[i]-'0')
	}
	digits := i - first
	if digits == 0 || digits > 1 && text[first] == '0' {
		return 0, i, false
	}
	decimals := 0
	if i < len(text) && text[i] == '.' {
		i++
		point := i
		for ; i < len(text) && isDigit(text[i]); i++ {
			m = m*10 + uint64(text[i]-'0')
		}
		if decimals = i - point; decimals == 0 {
			return 0, i, false
		}
	}
	if i < len(text) && text[i]|0x20 == 'e' || digits+decimals > maxDigits {
		return slowNumber(text, start, i)
	}
	if v = decimal(m, decimals); text[start] == '-' {
		v = -v
	}
	return v, i, true
}

func isDigit(c byte) bool { return c-'0' <= 9 }

// slowNumber reads numbers with an exponent or with many digits; text[:i] has
// been found to be a number as far as it goes.
func slowNumber(text []byte, start, i int) (v float64, end int, ok bool) {
	if i < len(text) && text[i]|0x20 == 'e' {
		i++
		if i < len(text) && (text[i] == '+' || text[i] == '-') {
			i++
		}
		exponent := i
		for i < len(text) && isDigit(text[i]) {
			i++
		}
		if i == exponent {
			return 0, i, false
		}
	}
	v, err := strconv.ParseFloat(string(text[start:i]), 64)
	return v, i, err == nil
}

// maxDigits is the longest decimal that always fits 64 bits.
const maxDigits = 19

var powersOf10 = [maxDigits + 1]uint64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9,
	1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19}

// decimal returns the float nearest to m / 10^decimals, halves to even. It is
// exact because the division is: either both operands are floats without error
// (Clinger, "How to Read Floating Point Numbers Accurately", 1990), or 128 by
// 64 bits are divided as integers, with whether something remains in the lowest
// bit, at least nine below the one that is rounded.
func decimal(m uint64, decimals int) float64 {
	if m < 1<<53 && decimals < 16 {
		return float64(m) / float64(powersOf10[decimals])
	}
	if m == 0 {
		return 0
	}
	d := powersOf10[decimals]
	up, down := bits.LeadingZeros64(m), bits.LeadingZeros64(d)
	m, d = m<<up, d<<down
	q, rest := bits.Div64(m>>1, m<<63, d)
	if rest != 0 {
		q |= 1
	}
	return float64(q) * math.Float64frombits(uint64(1023-63-up+down)<<52)
}

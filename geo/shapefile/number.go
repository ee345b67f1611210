package shapefile

import (
	"math"
	"strconv"
)

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

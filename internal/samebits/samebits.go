// Package samebits has the elementary functions that figures of a plan go through, with
// the same bits on every machine. Those of Go's math differ in the last bit between
// processors: where multiplying and adding is one instruction (arm64, GOAMD64=v3), the
// compiler rounds once instead of twice, and some are written in assembly for one
// processor alone. A plan is proved byte by byte, so a last bit is a false alarm.
//
// The algorithms and constants are those of Cephes (S. L. Moshier: sine, tangent,
// arctangent), of FreeBSD's msun (Sun Microsystems: logarithms, atanh) and of N. Shibata's
// SLEEF (exponential), as Go's math has them on amd64; TestAsMath holds them to its bits.
// Every product is rounded by an explicit conversion before it is added, or fused by
// [math.FMA], which is exact everywhere.
package samebits

import "math"

// product is rounded, whatever is added to it.
func product(a, b float64) float64 { return float64(a * b) }

// polynomial returns the sum of c[i]·x^(n-1-i), the highest power first.
func polynomial(x float64, c ...float64) float64 {
	sum := c[0]
	for _, v := range c[1:] {
		sum = product(sum, x) + v
	}
	return sum
}

// Hypot returns √(a² + b²) without overflow.
func Hypot(a, b float64) float64 {
	a, b = math.Abs(a), math.Abs(b)
	if math.IsInf(a, 0) || math.IsInf(b, 0) {
		return math.Inf(1)
	}
	if a < b {
		a, b = b, a
	}
	if a == 0 {
		return 0
	}
	b /= a
	return product(a, math.Sqrt(1+product(b, b)))
}

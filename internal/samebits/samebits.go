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

// ln 2 in two parts: the higher has zeros enough that its product with an exponent is exact.
const (
	ln2High = 6.93147180369123816490e-01
	ln2Low  = 1.90821492927058770002e-10
)

// Exp returns e to the power of x.
func Exp(x float64) float64 {
	if !(math.Abs(x) < 700) {
		return math.Exp(x) // no figure of a plan
	}
	const ln2Upper, ln2Lower = 0.69314718055966295651160180568695068359375, 0.28235290563031577122588448175013436025525412068e-12
	k := math.RoundToEven(product(math.Log2E, x))
	x = math.FMA(-k, ln2Lower, math.FMA(-k, ln2Upper, x)) * 0.0625
	y := 2.4801587301587301587e-5
	for _, c := range [...]float64{1.9841269841269841270e-4, 1.3888888888888888889e-3, 8.3333333333333333333e-3, 4.1666666666666666667e-2, 1.6666666666666666667e-1, 0.5, 1} {
		y = math.FMA(x, y, c)
	}
	x = product(x, y) // e^(x/16) - 1, to be squared four times
	for range 3 {
		x = product(x, x+2)
	}
	return math.Ldexp(math.FMA(x+2, x, 1), int(k))
}

// Log returns the natural logarithm of x.
func Log(x float64) float64 {
	if !(x > 0) || math.IsInf(x, 1) {
		return math.Log(x)
	}
	f, exponent := math.Frexp(x)
	if f < math.Sqrt2/2 {
		f, exponent = 2*f, exponent-1
	}
	f--
	k := float64(exponent)
	s := f / (2 + f)
	s2 := product(s, s)
	s4 := product(s2, s2)
	odd := product(s2, polynomial(s4, 1.479819860511658591e-01, 1.818357216161805012e-01, 2.857142874366239149e-01, 6.666666666666735130e-01))
	even := product(s4, polynomial(s4, 1.531383769920937332e-01, 2.222219843214978396e-01, 3.999999999940941908e-01))
	half := product(product(0.5, f), f)
	return product(k, ln2High) - ((half - (product(s, half+(odd+even)) + product(k, ln2Low))) - f)
}

// Log1p returns the natural logarithm of 1 + x, as exact for small x as for others.
func Log1p(x float64) float64 {
	if !(x > -1) || math.IsInf(x, 1) {
		return math.Log1p(x)
	}
	switch a := math.Abs(x); {
	case a < 1.0/(1<<54):
		return x
	case a < 1.0/(1<<29):
		return x - product(product(x, x), 0.5)
	case x > math.Sqrt2/2-1 && x < math.Sqrt2-1:
		return logOf(x, 0, 0)
	}
	// 1 + x is u·2^k, and c what its rounding lost.
	u, c := x, 0.0
	if math.Abs(x) < 1<<53 {
		u = 1 + x
		if u >= 2 {
			c = (1 - (u - x)) / u
		} else {
			c = (x - (u - 1)) / u
		}
	}
	bits := math.Float64bits(u)
	k := int(bits>>52) - 1023
	const one, half, fraction, root2 = 0x3ff0000000000000, 0x3fe0000000000000, 0x000fffffffffffff, 0x0006a09e667f3bcd
	bits &= fraction
	if bits < root2 {
		return logOf(math.Float64frombits(bits|one)-1, k, c)
	}
	return logOf(math.Float64frombits(bits|half)-1, k+1, c)
}

// logOf returns ln(1+f) + k·ln 2 + c for f around 0.
func logOf(f float64, exponent int, c float64) float64 {
	k := float64(exponent)
	half := product(product(0.5, f), f)
	s := f / (2 + f)
	z := product(s, s)
	r := product(z, polynomial(z, 1.479819860511658591e-01, 1.531383769920937332e-01, 1.818357216161805012e-01, 2.222219843214978396e-01, 2.857142874366239149e-01, 3.999999999940941908e-01, 6.666666666666735130e-01))
	if exponent == 0 {
		return f - (half - product(s, half+r))
	}
	return product(k, ln2High) - ((half - (product(s, half+r) + (product(k, ln2Low) + c))) - f)
}

// Atanh returns the inverse hyperbolic tangent of x; infinite at ±1, NaN beyond.
func Atanh(x float64) float64 {
	a := math.Abs(x)
	if !(a < 1) {
		return math.Atanh(x)
	}
	y := a
	switch {
	case a < 1.0/(1<<28):
	case a < 0.5:
		y = a + a
		y = product(0.5, Log1p(y+product(y, a)/(1-a)))
	default:
		y = product(0.5, Log1p((a+a)/(1-a)))
	}
	return math.Copysign(y, x)
}

// Log10 returns the decimal logarithm of x.
func Log10(x float64) float64 { return product(Log(x), 1/math.Ln10) }

// turned brings an angle, not negative, into ±π/4 by the octants that it lies beyond, which
// are even. It is π/4 in three parts that does it, exact up to 2^29 rad.
func turned(x float64) (octant uint64, z float64) {
	const (
		high   = 7.85398125648498535156e-1
		middle = 3.77489470793079817668e-8
		low    = 2.69515142907905952645e-15
	)
	octant = uint64(x * (4 / math.Pi))
	octant += octant & 1
	y := float64(octant)
	return octant & 7, ((x - product(y, high)) - product(y, middle)) - product(y, low)
}

// mostTurned is the largest angle that is brought into the first octant here.
const mostTurned = 1 << 29

// Sincos returns sine and cosine of x in radians, NaN for what is no number. Beyond
// ±2^29 rad they are those of [math.Sincos], which no figure of a plan needs.
func Sincos(x float64) (sin, cos float64) {
	if x == 0 {
		return x, 1
	}
	if !(math.Abs(x) < mostTurned) {
		return math.Sincos(x)
	}
	octant, z := turned(math.Abs(x))
	zz := product(z, z)
	cos = (1 - product(0.5, zz)) + product(product(zz, zz), polynomial(zz,
		-1.13585365213876817300e-11, 2.08757008419747316778e-9, -2.75573141792967388112e-7,
		2.48015872888517045348e-5, -1.38888888888730564116e-3, 4.16666666666665929218e-2))
	sin = z + product(product(z, zz), polynomial(zz,
		1.58962301576546568060e-10, -2.50507477628578072866e-8, 2.75573136213857245213e-6,
		-1.98412698295895385996e-4, 8.33333333332211858878e-3, -1.66666666666666307295e-1))
	if octant == 2 || octant == 6 {
		sin, cos = cos, sin
	}
	if octant == 2 || octant == 4 {
		cos = -cos
	}
	if (octant >= 4) != (x < 0) {
		sin = -sin
	}
	return sin, cos
}

// Sin returns the sine of x, as [Sincos] does.
func Sin(x float64) float64 {
	sin, _ := Sincos(x)
	return sin
}

// Cos returns the cosine of x, as [Sincos] does.
func Cos(x float64) float64 {
	_, cos := Sincos(x)
	return cos
}

// Tan returns the tangent of x in radians, as far as [Sincos] does.
func Tan(x float64) float64 {
	if x == 0 {
		return x
	}
	if !(math.Abs(x) < mostTurned) {
		return math.Tan(x)
	}
	octant, z := turned(math.Abs(x))
	if zz := product(z, z); zz > 1e-14 {
		above := product(zz, polynomial(zz, -1.30936939181383777646e4, 1.15351664838587416140e6, -1.79565251976484877988e7))
		below := polynomial(zz, 1, 1.36812963470692954678e4, -1.32089234440210967447e6, 2.50083801823357915839e7, -5.38695755929454629881e7)
		z += product(z, above/below)
	}
	if octant&2 == 2 {
		z = -1 / z
	}
	if x < 0 {
		z = -z
	}
	return z
}

// arctangent is that of x from 0 to 0.66.
func arctangent(x float64) float64 {
	z := product(x, x)
	above := polynomial(z, -8.750608600031904122785e-01, -1.615753718733365076637e+01, -7.500855792314704667340e+01, -1.228866684490136173410e+02, -6.485021904942025371773e+01)
	below := polynomial(z, 1, 2.485846490142306297962e+01, 1.650270098316988542046e+02, 4.328810604912902668951e+02, 4.853903996359136964868e+02, 1.945506571482613964425e+02)
	return product(x, product(z, above)/below) + x
}

// positive is the arctangent of x ≥ 0.
func positive(x float64) float64 {
	const (
		rest = 6.123233995736765886130e-17 // of π/2 beyond its float64
		tan  = 2.41421356237309504880      // of 3π/8
	)
	switch {
	case x <= 0.66:
		return arctangent(x)
	case x > tan:
		return math.Pi/2 - arctangent(1/x) + rest
	}
	return math.Pi/4 + arctangent((x-1)/(x+1)) + 0.5*rest
}

// Atan returns the arctangent of x, in radians from -π/2 to π/2.
func Atan(x float64) float64 {
	switch {
	case x == 0:
		return x
	case x > 0:
		return positive(x)
	}
	return -positive(-x)
}

// Atan2 returns the direction of (x, y), in radians from -π to π. Of points on an axis, and
// of those that are no finite numbers, it is what [math.Atan2] says without arithmetic.
func Atan2(y, x float64) float64 {
	if x == 0 || y == 0 || math.IsInf(x, 0) || math.IsInf(y, 0) {
		return math.Atan2(y, x)
	}
	q := Atan(y / x)
	switch {
	case x >= 0:
		return q
	case q <= 0:
		return q + math.Pi
	}
	return q - math.Pi
}

// Asin returns the arcsine of x, in radians; NaN beyond ±1.
func Asin(x float64) float64 {
	a := math.Abs(x)
	if x == 0 || !(a <= 1) {
		return math.Asin(x)
	}
	root := math.Sqrt(1 - product(a, a))
	angle := 0.0
	if a > 0.7 {
		angle = math.Pi/2 - positive(root/a)
	} else {
		angle = positive(a / root)
	}
	return math.Copysign(angle, x)
}

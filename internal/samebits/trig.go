package samebits

import (
	"math"
)

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

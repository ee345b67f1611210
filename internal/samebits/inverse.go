package samebits

import "math"

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

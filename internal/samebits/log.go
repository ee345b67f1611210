package samebits

import "math"

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
		return logOf(x, 0, 0, false)
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
		return logOf(math.Float64frombits(bits|one)-1, k, c, bits == 0)
	}
	return logOf(math.Float64frombits(bits|half)-1, k+1, c, (0x0010000000000000-bits)>>2 == 0)
}

// logOf returns ln(1+f) + k·ln 2 + c for f around 0; short is for an f of 0.
func logOf(f float64, exponent int, c float64, short bool) float64 {
	k := float64(exponent)
	half := product(product(0.5, f), f)
	if short {
		if f == 0 {
			return product(k, ln2High) + (c + product(k, ln2Low))
		}
		r := product(half, 1-product(0.66666666666666666, f))
		return product(k, ln2High) - ((r - (product(k, ln2Low) + c)) - f)
	}
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

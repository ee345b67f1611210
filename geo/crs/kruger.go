package crs

// kruger holds one of Krüger's two series between the ellipsoidal and the
// spherical transverse Mercator projection.
type kruger fourier

// sum returns the sums of c[j] sin 2jξ cosh 2jη and c[j] cos 2jξ sinh 2jη: the
// real and imaginary part of a sine series at ξ + iη, by Clenshaw's recurrence
// in complex numbers. exp is e^η.
func (c *kruger) sum(sinXi, cosXi, exp float64) (re, im float64) {
	sin2, cos2 := 2*sinXi*cosXi, (cosXi-sinXi)*(cosXi+sinXi)
	e2 := exp * exp
	inv := 1 / e2
	cosh2, sinh2 := (e2+inv)/2, (e2-inv)/2
	sr, si := sin2*cosh2, cos2*sinh2
	ur, ui := 2*cos2*cosh2, -2*sin2*sinh2
	// b[j] = u b[j+1] - b[j+2] + c[j]
	ar, ai := c[5], 0.
	br, bi := ur*ar+c[4], ui*ar
	for j := 3; j >= 0; j-- {
		ar, ai, br, bi = br, bi, ur*br-ui*bi-ar+c[j], ur*bi+ui*br-ai
	}
	return sr*br - si*bi, sr*bi + si*br
}

// krugerAlpha and krugerBeta are equations (35) and (36) of C. F. F. Karney,
// "Transverse Mercator with an accuracy of a few nanometers", Journal of Geodesy
// 85 (2011), to the sixth order of the third flattening n.
func krugerAlpha(n float64) kruger {
	n2 := n * n
	return kruger{
		n * (1./2 + n*(-2./3+n*(5./16+n*(41./180+n*(-127./288+n*7891./37800))))),
		n2 * (13./48 + n*(-3./5+n*(557./1440+n*(281./630-n*1983433./1935360)))),
		n2 * n * (61./240 + n*(-103./140+n*(15061./26880+n*167603./181440))),
		n2 * n2 * (49561./161280 + n*(-179./168+n*6601661./7257600)),
		n2 * n2 * n * (34729./80640 - n*3418889./1995840),
		n2 * n2 * n2 * 212378941. / 319334400,
	}
}

func krugerBeta(n float64) kruger {
	n2 := n * n
	return kruger{
		n * (1./2 + n*(-2./3+n*(37./96+n*(-1./360+n*(-81./512+n*96199./604800))))),
		n2 * (1./48 + n*(1./15+n*(-437./1440+n*(46./105-n*1118711./3870720)))),
		n2 * n * (17./480 + n*(-37./840+n*(-209./4480+n*5569./90720))),
		n2 * n2 * (4397./161280 + n*(-11./504-n*830251./7257600)),
		n2 * n2 * n * (4583./161280 - n*108847./3991680),
		n2 * n2 * n2 * 20648693. / 638668800,
	}
}

// rectifyingRadius is A of the same paper's equation (14).
func rectifyingRadius(a, n float64) float64 {
	n2 := n * n
	return a / (1 + n) * (1 + n2*(1./4+n2*(1./64+n2/256)))
}

// krugerReach is how far from the central meridian the series are trusted, in
// meters on the rectifying sphere: there the truncated terms pass 5 nm (the same
// paper's section 5).
const krugerReach = 3.9e6

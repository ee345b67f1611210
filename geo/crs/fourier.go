package crs

// fourier holds the coefficients of sin 2x, sin 4x ... sin 12x.
type fourier [6]float64

// sum returns the series at the angle with this sine and cosine, by Clenshaw's
// recurrence.
func (c *fourier) sum(sin, cos float64) float64 {
	u := 2 * (cos - sin) * (cos + sin) // 2 cos 2x
	b5 := u*c[5] + c[4]
	b4 := u*b5 - c[5] + c[3]
	b3 := u*b4 - b5 + c[2]
	b2 := u*b3 - b4 + c[1]
	b1 := u*b2 - b3 + c[0]
	return 2 * sin * cos * b1
}

// conformalFromGeodetic is the series of (conformal - geodetic) latitude in the
// geodetic latitude, to the sixth order of the third flattening n; its error on
// the Earth is below the last bit. The coefficients are tabulated as matrix
// C(χφ) in C. F. F. Karney, "On auxiliary latitudes", Survey Review 56 (2024).
func conformalFromGeodetic(n float64) fourier {
	n2 := n * n
	return fourier{
		n * (-2 + n*(2./3+n*(4./3+n*(-82./45+n*(32./45+n*4642./4725))))),
		n2 * (5./3 + n*(-16./15+n*(-13./9+n*(904./315-n*1522./945)))),
		n2 * n * (-26./15 + n*(34./21+n*(8./5-n*12686./2835))),
		n2 * n2 * (1237./630 + n*(-12./5-n*24832./14175)),
		n2 * n2 * n * (-734./315 + n*109598./31185),
		n2 * n2 * n2 * 444337. / 155925,
	}
}

// geodeticFromConformal is the series the other way, matrix C(φχ) of the same
// paper.
func geodeticFromConformal(n float64) fourier {
	n2 := n * n
	return fourier{
		n * (2 + n*(-2./3+n*(-2+n*(116./45+n*(26./45-n*2854./675))))),
		n2 * (7./3 + n*(-8./5+n*(-227./45+n*(2704./315+n*2323./945)))),
		n2 * n * (56./15 + n*(-136./35+n*(-1262./105+n*73814./2835))),
		n2 * n2 * (4279./630 + n*(-332./35-n*399572./14175)),
		n2 * n2 * n * (4174./315 - n*144838./6237),
		n2 * n2 * n2 * 601676. / 22275,
	}
}

package crs

import "math"

// unit is a unit of projected coordinates.
type unit uint8

const (
	meter unit = iota
	foot
	surveyFoot
	unitCount
)

// meters is exact by definition: the international foot, and the US survey foot
// of 1200/3937 m, NIST Special Publication 811, appendix B.
func (u unit) meters() float64 {
	return [...]float64{1, 0.3048, 1200. / 3937}[u]
}

// esriName is the unit's name in a .prj file.
func (u unit) esriName() string { return [...]string{"Meter", "Foot", "Foot_US"}[u] }

// unitByFactor finds a unit by the meters that a text gives it. The tolerance
// takes in a factor cut to 7 digits and is a twentieth of the difference between
// the two feet.
func unitByFactor(factor float64) (unit, bool) {
	for u := range unitCount {
		if math.Abs(factor/u.meters()-1) < 1e-7 {
			return u, true
		}
	}
	return 0, false
}

// unitByName finds the unit that a name stands for, if it stands for one.
func unitByName(name string) (unit, bool) {
	switch fold(name) {
	case "m", "meter", "metre", "meters", "metres":
		return meter, true
	case "ft", "foot", "feet", "footintl", "footinternational", "internationalfoot", "internationalfeet":
		return foot, true
	case "ftus", "footus", "feetus", "ussurveyfoot", "ussurveyfeet", "surveyfoot", "foots", "ussft":
		return surveyFoot, true
	}
	return 0, false
}

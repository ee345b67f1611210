package equip

import (
	"errors"
	"math"

	"rxsplit/label/unit"
)

// patternCV returns the coefficient of variation of what pans across the swath
// caught: 100·s/mean, s with n−1. It takes two pans or more and a mean above 0.
func patternCV[Q ~float64](pans []Q) (unit.Ratio, error) {
	if len(pans) < 2 {
		return 0, errors.New("a pattern takes the catches of two pans or more")
	}
	var sum float64
	for _, p := range pans {
		sum += float64(p)
	}
	mean := sum / float64(len(pans))
	if !(mean > 0) || math.IsInf(mean, 0) {
		return 0, errors.New("the pans have caught nothing that can be compared")
	}
	var squares float64
	for _, p := range pans {
		squares += float64((float64(p) - mean) * (float64(p) - mean))
	}
	return unit.Ratio(math.Sqrt(squares/float64(len(pans)-1)) / mean), nil
}

// Bounds of a pattern's coefficient of variation: below the first it is
// satisfactory, above the second poor. [Fulton, Univ. Kentucky, on ASAE S341]
const (
	SatisfactoryCV = 20 * unit.Percent
	PoorCV         = 25 * unit.Percent
)

// SourceCV is where the bounds of a coefficient of variation are from.
const SourceCV = "Fulton, Univ. Kentucky, on ASAE S341"

// CVWord says what a coefficient of variation is called.
func CVWord(cv unit.Ratio) string {
	switch {
	case cv > PoorCV:
		return "poor"
	case cv > SatisfactoryCV:
		return "not satisfactory"
	}
	return "satisfactory"
}

// pattern is how evenly product lies at one swath, as coefficients of variation.
type pattern struct {
	Swath        unit.Length
	BackAndForth unit.Ratio // every other pass the other way round, left on left
	InRounds     unit.Ratio // all passes the same way, left on right
}

// CV returns the worse of the two: a job does not say how the field is driven.
func (p pattern) CV() unit.Ratio { return max(p.BackAndForth, p.InRounds) }

// At returns the pattern at a swath. An overlapped test was driven at one swath and
// tells of that alone, whatever the swath is that it is asked for. It is not known
// where fewer than three pans stand in the swath.
func (t PanTest) At(swath unit.Length) (p pattern, known bool) {
	p.Swath = swath
	if t.Passes == Overlapped {
		cv, err := patternCV(t.Caught)
		p.BackAndForth, p.InRounds = cv, cv
		return p, err == nil
	}
	for _, way := range []struct {
		turned bool
		into   *unit.Ratio
	}{{true, &p.BackAndForth}, {false, &p.InRounds}} {
		_, laid := t.Laid(swath, way.turned)
		cv, err := patternCV(laid)
		if err != nil || len(laid) < fewestPans {
			return pattern{}, false
		}
		*way.into = cv
	}
	return p, true
}

// Laid returns what lies at the places of the pans inside one swath, above −swath/2
// to swath/2, when passes of a single-pass test lie side by side a swath apart; turned
// says whether every other of them goes the other way. Between two pans the catch runs
// straight from one to the other, and to nothing a spacing beyond the last: the catches
// of overlapping passes add up, as in ASAE S341.
func (t PanTest) Laid(swath unit.Length, turned bool) (places []unit.Length, laid []Catch) {
	const slack = 1e-9
	half := unit.Length(swath / 2)
	if pans := swath / t.Spacing; !(pans >= fewestPans-1 && pans <= 2*mostPans) {
		return nil, nil
	}
	start := unit.Length(float64(float64((len(t.Caught)+1)%2) / 2)) // of a spacing: an even line has no pan in the middle
	from := int(math.Floor(float64((-half*(1-slack))/t.Spacing-start))) + 1
	passes := int(math.Ceil(float64((half+unit.Length(t.Spacing*unit.Length(len(t.Caught)+1)/2))/swath))) + 1
	for i := from; ; i++ {
		x := unit.Length((unit.Length(i) + start) * t.Spacing)
		if x > half*(1+slack) {
			return places, laid
		}
		var sum Catch
		for k := -passes; k <= passes; k++ {
			off := x - unit.Length(unit.Length(k)*swath)
			if turned && k%2 != 0 {
				off = -off
			}
			sum += t.at(off)
		}
		places, laid = append(places, x), append(laid, sum)
	}
}

// at returns the catch at a place, between pans by a straight line.
func (t PanTest) at(x unit.Length) Catch {
	i, part := math.Modf(float64(x/t.Spacing) + float64(float64(len(t.Caught)-1)/2) + 1) // 1 for the first pan: none is below 0 from there
	if i < 0 || part < 0 {
		return 0
	}
	left, right := t.pan(int(i)-1), t.pan(int(i))
	return left + Catch((right-left)*Catch(part))
}

func (t PanTest) pan(i int) Catch {
	if i < 0 || i >= len(t.Caught) {
		return 0
	}
	return t.Caught[i]
}

// Patterns returns the patterns of a single-pass test at the swaths that are worth a
// look, whole numbers of spacings from half its throw, below which a place gets more
// than two passes, to all of it; none of an overlapped test.
func (t PanTest) Patterns() []pattern {
	if t.Passes != SinglePass || !(t.Spacing > 0) {
		return nil
	}
	pans := int(math.Round(float64(t.throw() / t.Spacing)))
	var list []pattern
	for n := max((pans+1)/2, fewestPans); n <= pans; n++ {
		if p, known := t.At(unit.Length(n) * t.Spacing); known {
			list = append(list, p)
		}
	}
	return list
}

// Lowest returns the pattern with the lowest coefficient of variation, of equals the
// widest; false if there is none.
func Lowest(list []pattern) (best pattern, ok bool) {
	const same = 1e-12
	for i, p := range list {
		if i == 0 || p.CV() <= best.CV()+same {
			best = p
		}
	}
	return best, len(list) > 0
}

// WidestWithin returns the widest pattern whose coefficient of variation is at most a
// limit; false if none is.
func WidestWithin(list []pattern, limit unit.Ratio) (widest pattern, ok bool) {
	for _, p := range list {
		if p.CV() <= limit && p.Swath >= widest.Swath {
			widest, ok = p, true
		}
	}
	return widest, ok
}

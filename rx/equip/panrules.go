package equip

import (
	"fmt"
	"slices"

	"rxsplit/label/unit"
)

// panTests looks at the pan tests of a spreader: what can't be a test is an error;
// what it says against the swath is a warning.
func (p *problems) panTests(s Spreader) {
	for i, t := range s.PanTests {
		key := fmt.Sprintf("spreader.pan-test[%d]", i+1)
		if p.noPanTest(t, key) || !(s.Swath > 0) {
			continue
		}
		p.warnIf(t.CutOff(), "pattern", key+".caught",
			fmt.Sprintf("the outermost pans have caught more than %s of the highest catch: product has flown beyond them; put pans farther out and test again", cutOff.Brief(p.s)))
		line := unit.Length(len(t.Caught)) * t.Spacing
		p.warnIf(t.Passes == Overlapped && line < s.Swath*9/10, "pattern", key+".spacing",
			fmt.Sprintf("%d pans %s apart stand on %s of the swath of %s: they say nothing of the rest", len(t.Caught), t.Spacing.Brief(p.s), line.Brief(p.s), s.Swath.Brief(p.s)))
		at, known := t.At(s.Swath)
		p.warnIf(!known, "pattern", key+".spacing", fmt.Sprintf("%s is too wide for a swath of %s: fewer than %d pans stand in it", t.Spacing.Brief(p.s), s.Swath.Brief(p.s), FewestPans))
		p.warnIf(known && at.CV() > SatisfactoryCV, "pattern", key+".caught", t.Tell(s.Swath, p.s))
	}
}

// noPanTest fails what can't be a pan test.
func (p *problems) noPanTest(t PanTest, key string) bool {
	before := len(p.list)
	positive(p, t.Spacing, key+".spacing")
	n := len(t.Caught)
	p.failIf(n < FewestPans || n > MostPans, "pans", key+".caught", fmt.Sprintf("has %d catches: a pattern takes %d to %d", n, FewestPans, MostPans))
	caught := slices.ContainsFunc(t.Caught, func(c Catch) bool { return c > 0 })
	p.failIf(n > 0 && !caught, "pans", key+".caught", "no pan has caught anything: write what each one caught, from the left to the right")
	return len(p.list) > before
}

// Tell says in one sentence how even the pattern is at a swath and, where it tells,
// at which swath it is most even and up to which it is satisfactory.
func (t PanTest) Tell(swath unit.Length, s unit.System) string {
	at, known := t.At(swath)
	if !known {
		return fmt.Sprintf("no CV at the swath of %s: too few pans stand in it", swath.Brief(s))
	}
	text := fmt.Sprintf("CV %s at the swath of %s, %s%s", CVText(at.CV()), swath.Brief(s), CVWord(at.CV()), t.waysText(at))
	list := t.Patterns()
	if best, ok := Lowest(list); ok {
		text += fmt.Sprintf("; lowest %s at %s", CVText(best.CV()), best.Swath.Brief(s))
		if widest, ok := WidestWithin(list, SatisfactoryCV); ok {
			text += fmt.Sprintf("; satisfactory, up to %s, as wide as %s", SatisfactoryCV.Brief(s), widest.Swath.Brief(s))
		} else {
			text += fmt.Sprintf("; at no swath from %s to %s is it %s or less", list[0].Swath.Brief(s), list[len(list)-1].Swath.Brief(s), SatisfactoryCV.Brief(s))
		}
	}
	return text
}

// waysText tells the two ways of driving apart where they differ.
func (t PanTest) waysText(at Pattern) string {
	if CVText(at.BackAndForth) == CVText(at.InRounds) {
		return ""
	}
	return fmt.Sprintf(" (back and forth %s, in rounds %s)", CVText(at.BackAndForth), CVText(at.InRounds))
}

// CVText prints a coefficient of variation with one decimal.
func CVText(cv unit.Ratio) string { return fmt.Sprintf("%.1f %%", cv.In(unit.US)) }

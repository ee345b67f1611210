package check

import (
	"rxsplit/label"
	"rxsplit/rx"
)

// Rule looks at an assessed prescription for one kind of thing.
type rule struct {
	*rx.Kind
	needs []need
	find  finder
}

// finder looks for what a rule is about.
type finder func(*rx.Prescription, *rx.Assessment) []rx.Finding

// need returns why something that a rule looks at is not there, empty if it is.
type need func(*rx.Prescription, *rx.Assessment) string

// lacks returns why the rule can't look, empty if it can.
func (r rule) lacks(p *rx.Prescription, a *rx.Assessment) string {
	for _, need := range r.needs {
		if why := need(p, a); why != "" {
			return why
		}
	}
	return ""
}

// ofGround reports whether the rule goes by the shapes of ground and the spreader alone.
func (r rule) ofGround() bool { return r.Kind == narrowZone.Kind || r.Kind == shortZone.Kind }

// needs lists them.
func needs(list ...need) []need { return list }

// given is a need of one thing that the terms know or don't.
func given[T any](get func(rx.Terms) (T, bool), why string) need {
	return func(_ *rx.Prescription, a *rx.Assessment) string {
		if _, ok := get(a.Terms); !ok {
			return why
		}
		return ""
	}
}

// stated is a need of one thing that the label profile gives or doesn't.
func stated[T any](of func(*label.Profile) label.Known[T], why string) need {
	return given(func(t rx.Terms) (T, bool) { return of(t.Label).Get() }, why)
}

// rules lists the rules in the order in which their findings are told. Whoever adds one
// adds its kind to the catalogue of package tell as well.
func rules() []rule {
	joined := new(ground)
	return []rule{
		{labelDoubt.Kind, nil, findLabelDoubts},
		{labelOdd.Kind, nil, findLabelOdd},
		{jobOdd.Kind, nil, findJobOdd},
		{otherBlend.Kind, needs(materialsGiven, columnsGiven), findOtherBlend},
		{mostN.Kind, needs(mostNGiven, gradesKnown), findMostN},
		{above.Kind, nil, findAbove},
		{below.Kind, nil, findBelow},
		{tight.Kind, needs(rateError), findTight},
		{noRate.Kind, nil, findNoRate},
		{noDry.Kind, nil, findNoDry},
		{seasonMax.Kind, needs(seasonLimit), findSeasonMax},
		{leastDryRate.Kind, needs(dryLimits), findDryRate},
		{mostLiquid.Kind, needs(mostLiquidLimit), findMostLiquid},
		{loadingRange.Kind, needs(loadingLimits), findLoadingRange},
		{carrier.Kind, needs(materialsGiven, carriersListed), findCarrier},
		{compatible.Kind, needs(materialsGiven), findCompatible},
		{analysis.Kind, needs(materialsGiven, analysisGiven), findAnalysis},
		{sprayVolume.Kind, needs(sprayVolumeLimits, boomGiven), findSprayVolume},
		{boomSwath.Kind, needs(boomAndSpreader), findBoomSwath},
		{spreaderLimits.Kind, needs(spreaderGiven, ratesGiven), findSpreaderLimits},
		{patternCV.Kind, needs(spreaderGiven, panTestGiven), findPatternCV},
		{narrowZone.Kind, needs(spreaderGiven, joined.made), joined.findNarrow},
		{shortZone.Kind, needs(spreaderGiven, joined.made), joined.findShort},
		{rateSteps.Kind, needs(spreaderGiven), findRateSteps},
		{controllerDefault.Kind, needs(spreaderGiven, defaultRateGiven), findControllerDefault},
	}
}

// selected adds to a finding the zones for which keep is true, with their area; the list is
// empty if there are none.
func selected(f rx.Finding, p *rx.Prescription, keep func(i int) bool) []rx.Finding {
	if !f.Where(p, keep) {
		return nil
	}
	return []rx.Finding{f}
}

package equip

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// Plausible bounds; common practice, no source: what lies beyond is likelier a slip
// of unit or decimal point than equipment.
const (
	largestRateError  = 50 * unit.Percent
	shareLeeway       = 0.5 * unit.Percent
	lightestBulk      = 30 * unit.PoundPerCubicFoot
	heaviestBulk      = 90 * unit.PoundPerCubicFoot
	widestSwath       = 200 * unit.Foot
	highestUsualSpeed = 40 * unit.MilePerHour
	longestRateChange = 1 * unit.Minute
	longestTurn       = 5 * unit.Minute
)

func (p *problems) job(j *Job) {
	p.rateError(j.RateError, "rate-error")
	p.failIf(j.Carrier != "" && len(j.RateFields) > 0 && !slices.Contains(j.RateFields, j.Carrier), "carrier", "carrier",
		fmt.Sprintf("%q is not among the rate fields: name one of %s", j.Carrier, strings.Join(j.RateFields, ", ")))
	p.failIf(len(j.RateFields) > 0 && len(j.Analysis) > 0 && len(j.RateFields) != len(j.Analysis), "analysis", "analysis",
		fmt.Sprintf("has %d grades for %d rate fields: give one for each, in their order", len(j.Analysis), len(j.RateFields)))
	p.failIf(j.RateOf == "N" && len(j.Analysis) == 0, "analysis", "rate-of",
		"is N, and no analysis says how much of the product that is: add analysis, such as 46-0-0")
	for i, g := range j.Analysis {
		p.failIf(j.RateOf == "N" && g.N == 0, "analysis", fmt.Sprintf("analysis[%d]", i+1), g.String()+" has no N: a rate of N can't be met with it")
	}
}

// analysis warns where the blend has another share of N than the analysis says: rates
// of N become product by the one, and N is counted by the other.
func (p *problems) analysis(j *Job) {
	for _, d := range j.Blend.Disagreements(j.Analysis) {
		p.warnIf(true, "analysis", fmt.Sprintf("analysis[%d]", d.Product+1), d.text()+": correct one of the two")
	}
}

func (p *problems) rateError(k label.Known[unit.Ratio], key string) {
	e, known := k.Get()
	p.failIf(known && e >= largestRateError, "rate-error", key, fmt.Sprintf("%v is no machine's: write how far the rate may be off, such as 5 %%", e))
}

func (p *problems) blend(b Blend) {
	var sum unit.Ratio
	missing := false
	for i, m := range b {
		key := fmt.Sprintf("blend[%d]", i+1)
		sum += m.Share
		p.failIf(strings.TrimSpace(m.Name) == "", "material", key+".name", "is empty: name the material")
		missing = p.failIf(m.Share == 0, "share", key+".share", "is missing or 0: write its part of the weight, such as 60 %") || missing
		p.failIf(slices.ContainsFunc(b[:i], func(o Material) bool { return o.Name == m.Name }), "material", key+".name", fmt.Sprintf("%q is listed twice: join the two", m.Name))
		d, known := m.Density.Get()
		p.warnIf(known && d > 0 && (d < lightestBulk || d > heaviestBulk), "density", key+".density",
			fmt.Sprintf("%s is outside the %s to %s of dry products: compare the unit", unit.BulkDensity(d).Brief(p.s), unit.BulkDensity(lightestBulk).Brief(p.s), unit.BulkDensity(heaviestBulk).Brief(p.s)))
	}
	p.failIf(len(b) > 0 && !missing && math.Abs(float64(sum-1)) > float64(shareLeeway), "share", "blend",
		fmt.Sprintf("the shares add up to %s: they must make 100 %%", sum.Brief(unit.US)))
}

// liquid looks at the liquid at i of the list of a job, where a second liquid comes first.
func (p *problems) liquid(j *Job, i int) {
	l, key := j.FurtherLiquids[i], fmt.Sprintf("further-liquids[%d]", i+1)
	switch {
	case j.SecondLiquid != nil && i == 0:
		key = "second-liquid"
	case j.SecondLiquid != nil:
		key = fmt.Sprintf("further-liquids[%d]", i)
	}
	p.failIf(strings.TrimSpace(l.Name) == "", "liquid", key+".name", "is empty: name the liquid")
	p.failIf(slices.ContainsFunc(j.FurtherLiquids[:i], func(o Liquid) bool { return o.Name == l.Name }), "liquid", key+".name",
		fmt.Sprintf("%q is listed twice: join the two", l.Name))
	_, wanted := l.Rate.Get()
	_, fixed := l.Loading.Get()
	p.failIf(!wanted && !fixed, "liquid", key, "says neither rate nor loading: write the rate that is wanted on the ground, such as rate: 5 fl oz/ac, or the loading that the plant has fixed")
	p.failIf(wanted && fixed, "liquid", key+".loading", "stands beside a rate: one follows from the other, keep what is meant")
	p.failIf(l.On == OnBoom && fixed, "liquid", key+".loading", "is of what a ton of dry takes up, and the liquid goes on by the boom: write its rate")
}

func (p *problems) spreader(s Spreader) {
	p.warnIf(s.Swath > widestSwath, "swath", "spreader.swath", fmt.Sprintf("%s is wide for a spreader: compare the unit", s.Swath.Brief(p.s)))
	p.speeds(s.Speed, "spreader.speed")
	if r, known := s.Rates.Get(); known {
		p.failIf(r.Max <= r.Min, "order", "spreader.rates.max", fmt.Sprintf("%s is not above min, %s: swap them", r.Max.Brief(p.s), r.Min.Brief(p.s)))
	}
	p.failIf(s.Bins != 1 && s.Bins != 2, "bins", "spreader.bins", fmt.Sprintf("%d is not 1 or 2", s.Bins))
	p.rateError(s.RateError, "spreader.rate-error")
	change, known := s.RateChange.Get()
	p.warnIf(known && change > longestRateChange, "rate-change", "spreader.rate-change", fmt.Sprintf("%v is long to change a rate: 3 to 5 s are usual", change))
	p.turn(s.Turn, "spreader.turn")
	p.sections(s.Sections, "spreader.sections")
	p.panTests(s)
}

func (p *problems) turn(k label.Known[unit.Time], key string) {
	turn, known := k.Get()
	p.warnIf(known && turn > longestTurn, "turn", key, fmt.Sprintf("%v is long for a turn: %v are usual", turn, UsualTurn))
}

// mostSections bounds the sections of a machine.
const mostSections = 64

func (p *problems) sections(n int, key string) {
	p.failIf(n < 0 || n > mostSections, "sections", key, fmt.Sprintf("%d is not 1 to %d", n, mostSections))
}

func (p *problems) speeds(s Speeds, key string) {
	p.failIf(s.Usual < s.Low, "order", key+".usual", fmt.Sprintf("%s is below low, %s: write low, usual and high in this order", s.Usual.Brief(p.s), s.Low.Brief(p.s)))
	p.failIf(s.High < s.Usual, "order", key+".high", fmt.Sprintf("%s is below usual, %s: write low, usual and high in this order", s.High.Brief(p.s), s.Usual.Brief(p.s)))
	p.warnIf(s.High > highestUsualSpeed, "speed", key+".high", fmt.Sprintf("%s is fast for a field: compare the unit", s.High.Brief(p.s)))
}

// problemsIn lists what is wrong or odd in a job, in the order of its keys; its texts
// count in a system of units. zeros are the keys that must not be 0 and are. One from
// [ParseJob] has no [label.Error] among them.
func (j *Job) problemsIn(s unit.System, zeros []string) []label.Problem {
	found := problems{s: s}
	for _, key := range zeros {
		found.positive(0, key)
	}
	found.job(j)
	found.blend(j.Blend)
	found.analysis(j)
	for i := range j.FurtherLiquids {
		found.liquid(j, i)
	}
	if j.Spreader != nil {
		found.spreader(*j.Spreader)
	}
	if j.Boom != nil {
		found.boom(*j.Boom, j)
	}
	found.prices(j.Prices)
	return found.list
}

// problems collects what is found; each method below looks at one part of a job.
type problems struct {
	s    unit.System // of the texts
	list []label.Problem
}

func (p *problems) failIf(bad bool, rule, key, text string) bool {
	if bad {
		p.list = append(p.list, label.Problem{Rule: rule, Severity: label.Error, Key: key, Text: text})
	}
	return bad
}

func (p *problems) warnIf(bad bool, rule, key, text string) {
	if bad {
		p.list = append(p.list, label.Problem{Rule: rule, Severity: label.Warning, Key: key, Text: text})
	}
}

// positive fails a quantity that is 0; none that was read is below. Those tagged `above:"0"`
// come here by themselves.
func (p *problems) positive(q float64, key string) {
	p.failIf(!(q > 0), "positive", key, "is not above 0: write what it is, or leave it out")
}

// prices questions prices far beyond any that is paid: common practice, no source.
func (p *problems) prices(prices Prices) {
	odd(p, prices.Stabilizer, "stabilizer", 1*unit.DollarPerGallon, 2000*unit.DollarPerGallon)
	odd(p, prices.SecondLiquid, "second-liquid", 0.1*unit.DollarPerGallon, 2000*unit.DollarPerGallon)
	odd(p, prices.DryingAgent, "drying-agent", 20*unit.DollarPerTon, 40000*unit.DollarPerTon)
	odd(p, prices.Blending, "blending", 0, 500*unit.DollarPerTon)
	odd(p, prices.DrySpreading, "dry-spreading", 0, 200*unit.DollarPerAcre)
	odd(p, prices.WetBoom, "wet-boom", 0, 200*unit.DollarPerAcre)
	odd(p, prices.ExtraPass, "extra-pass", 0, 200*unit.DollarPerAcre)
	odd(p, prices.Nitrogen, "nitrogen", 100*unit.DollarPerTon, 20000*unit.DollarPerTon)
}

// odd warns of a price above 0 that is out of all proportion.
func odd[Q interface {
	~float64
	Brief(unit.System) string
}](p *problems, k label.Known[Q], key string, low, high Q) {
	q, known := k.Get()
	p.warnIf(known && q > 0 && (q < low || q > high), "price", "prices."+key, fmt.Sprintf("%s is out of proportion: compare the figure and its unit", q.Brief(p.s)))
}

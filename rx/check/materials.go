package check

import (
	"cmp"
	"math"
	"slices"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// What is found in the materials of the blend.
var (
	carrier = rx.NewRule("carrier", rx.AboutLabel, func(d unlisted, w rx.Work) bool { // those that the plan impregnates
		return slices.ContainsFunc(w.Plan.Materials, func(m equip.Material) bool { return m.Name == d.Material })
	})
	compatible = rx.NewRule("compatible", rx.AboutEquipment, func(d conflict, w rx.Work) bool { return d.in(w) })
	analysis   = rx.NewRule[disagreement]("analysis", rx.AboutEquipment, rx.EveryPlan)
	otherBlend = rx.NewRule[twoBlends]("blend-differs", rx.AboutFile, rx.EveryPlan)
	mostN      = rx.NewRule[overN]("most-n", rx.AboutFile, rx.EveryPlan).InDoubt()
)

var (
	materialsGiven = given(func(t rx.Terms) (equip.Blend, bool) { return t.Materials(), len(t.Materials()) > 0 }, "the materials of the blend are not given (--job, blend)")
	carriersListed = said(func(p *label.Profile) label.Known[bool] {
		if allowed, forbidden := p.CarrierLists(); len(allowed)+len(forbidden) > 0 {
			return label.Know(true)
		}
		return label.Known[bool]{}
	}, "the label profile lists no carriers")
)

// unlisted is a material that is no carrier by the label.
type unlisted struct {
	Name      string // of the further liquid that it may not carry; empty for the stabilizer
	Material  string
	Forbidden bool // or neither allowed nor forbidden
	Allowed   []string
}

// findCarrier holds the materials of the blend against the carriers that each label
// allows and forbids.
func findCarrier(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return onBlend(a, func(g *rx.Graded) (out []rx.Finding) {
		allowed, forbidden := g.Liquid.Label.CarrierLists()
		if len(allowed)+len(forbidden) == 0 {
			return nil
		}
		for _, m := range a.Terms.Materials() {
			switch name := g.Liquid.Further(); g.Liquid.Label.Carriers.Of(m.Name) {
			case label.Forbidden:
				out = append(out, carrier.Find(rx.Error, unlisted{name, m.Name, true, allowed}))
			case label.Unsaid:
				out = append(out, carrier.Find(rx.Warning, unlisted{name, m.Name, false, allowed}))
			}
		}
		return out
	})
}

// conflict is what speaks against materials. What is known of them, and what to do, stands
// beside its source in package equip.
type conflict struct {
	Materials   []string
	Known       string
	Remedy      string
	Impregnated bool // it speaks against impregnating them, and not against blending
}

func conflictOf(c equip.Conflict, impregnated bool) conflict {
	return conflict{c.Materials, c.Text, c.Hint, impregnated}
}

// in reports whether a plan has the materials together: those of a blend, whether or not it
// is impregnated, or what it impregnates of products side by side.
func (d conflict) in(w rx.Work) bool {
	materials := w.Plan.Materials
	if !d.Impregnated && w.Prescription.Blend() {
		materials = w.Terms.Materials()
	}
	for _, name := range d.Materials {
		if !slices.ContainsFunc(materials, func(m equip.Material) bool { return m.Name == name }) {
			return false
		}
	}
	return true
}

// findCompatible looks for materials that must not be blended with one another, and
// for those that no organic liquid may be put on.
func findCompatible(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	var out []rx.Finding
	add := func(list []equip.Conflict, impregnated bool) {
		for _, c := range list {
			severity := rx.Warning
			if c.Block || c.Stop && !a.Terms.Job.BlendTested {
				severity = rx.Error
			}
			out = append(out, compatible.Find(severity, conflictOf(c, impregnated)))
		}
	}
	add(equip.Compatibility(a.Terms.Materials()), false)
	add(equip.Impregnability(a.Terms.Materials(), rx.BaseOf(append(a.Terms.FurtherOn(equip.OnBlend), a.Terms.Stabilizer()))), true)
	return out
}

// disagreement is an analysis that names another share of N than the materials have.
type disagreement struct {
	Analysis, Blend   equip.Grade
	AnalysisN, BlendN unit.Ratio
	Material          string // the one that is meant; empty for the whole blend
	RatesOfN          bool   // rates of N became product by the analysis
}

func analysisGiven(p *rx.Prescription, _ *rx.Assessment) string {
	if len(p.Grades()) == 0 {
		return "no analysis of the prescription's products is given (--analysis)"
	}
	return ""
}

// findAnalysis holds the grades that the prescription's rates are read by against the
// materials of the blend: rates of N become product by the first, and the N of the
// ways is counted by the second.
func findAnalysis(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	var out []rx.Finding
	for _, d := range equip.Blend(a.Terms.Materials()).Disagreements(p.Grades()) {
		field := p.Fields[d.Product]
		f := analysis.Find(rx.Warning, disagreement{d.Analysis, d.Blend, d.Analysis.N, d.Blend.N, d.Name, field.Nutrient})
		f.Field = field.Name
		out = append(out, f)
	}
	return out
}

// component is a column of the file, or a material of the job, with its share of the
// weight.
type component struct {
	Name  string
	Share unit.Ratio
}

// twoBlends are the blends that file and job say.
type twoBlends struct{ Columns, Materials []component }

func columnsGiven(p *rx.Prescription, _ *rx.Assessment) string {
	if len(p.Fields) < 2 || !p.Blend() {
		return "the file does not hold the products of one blend in columns"
	}
	return ""
}

// sameShare is how far the shares of one blend may stand apart where a file and a job say
// them: people round them to whole percents. Common practice, no source.
const sameShare = 1 * unit.Percent

// findOtherBlend holds the shares of the file's columns against those of the job's
// materials. Which is which is told by the names where all of them tell it; else by the
// shares in their order of size. A column may itself be a blend, so that more materials
// than columns say nothing.
func findOtherBlend(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	var d twoBlends
	for _, f := range p.Fields {
		d.Columns = append(d.Columns, component{f.Name, f.Share})
	}
	for _, m := range a.Terms.Materials() {
		d.Materials = append(d.Materials, component{m.Name, m.Share})
	}
	if len(d.Materials) < 2 || len(d.Materials) > len(d.Columns) || len(d.Materials) == len(d.Columns) && d.same() {
		return nil
	}
	return []rx.Finding{otherBlend.Find(rx.Error, d)}
}

func (d twoBlends) same() bool {
	key := func(c component) string { return label.CarrierName(c.Name) }
	for _, c := range d.Columns {
		if !slices.ContainsFunc(d.Materials, func(m component) bool { return key(m) == key(c) }) {
			key = nil
			break
		}
	}
	sorted := func(list []component) []component {
		return slices.SortedFunc(slices.Values(list), func(x, y component) int {
			if key != nil {
				return cmp.Compare(key(x), key(y))
			}
			return cmp.Compare(x.Share, y.Share)
		})
	}
	return slices.EqualFunc(sorted(d.Columns), sorted(d.Materials), func(c, m component) bool {
		return math.Abs(float64(c.Share-m.Share)) <= float64(sameShare)
	})
}

// overN are rates of N above the most that the job allows.
type overN struct {
	Rates rx.Range[unit.DryRate]
	Most  unit.DryRate
}

var mostNGiven = given(func(t rx.Terms) (unit.DryRate, bool) {
	if t.Job == nil {
		return 0, false
	}
	return t.Job.MostN.Get()
}, "the job names no ceiling for N (job file, most-n)")

func gradesKnown(p *rx.Prescription, a *rx.Assessment) string {
	if _, ok := a.Terms.Nitrogen(p); !ok {
		return "the grade of the dry is not known (--analysis, or the blend of the job)"
	}
	return ""
}

// findMostN finds rates of N above the job's own ceiling: no recommendation asks for that,
// whatever the label says of the stabilizer.
func findMostN(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	nitrogen, _ := a.Terms.Nitrogen(p)
	d := overN{Most: a.Terms.Job.MostN.Or(0)}
	f := mostN.Find(rx.Warning, d)
	if !f.Where(p, func(z int) bool {
		n := nitrogen(z)
		over := n > d.Most*(1+1e-9)
		if over {
			d.Rates.Widen(n, d.Rates.Max == 0)
		}
		return over
	}) {
		return nil
	}
	f.Data = d
	return []rx.Finding{f}
}

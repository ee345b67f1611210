package check

import (
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
)

var (
	materialsGiven = given(func(t rx.Terms) (equip.Blend, bool) { return t.Materials(), len(t.Materials()) > 0 }, "the materials of the blend are not given (--job, blend)")
	carriersListed = given(func(t rx.Terms) ([]string, bool) {
		allowed, forbidden := t.Label.CarrierLists()
		return nil, len(allowed)+len(forbidden) > 0
	}, "the label profile lists no carriers")
)

// unlisted is a material that is no carrier by the label.
type unlisted struct {
	Material  string
	Forbidden bool // or neither allowed nor forbidden
	Allowed   []string
}

// findCarrier holds the materials of the blend against the carriers that the label
// allows and forbids.
func findCarrier(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	allowed, _ := a.Terms.Label.CarrierLists()
	var out []rx.Finding
	for _, m := range a.Terms.Materials() {
		switch a.Terms.Label.Carriers.Of(m.Name) {
		case label.Forbidden:
			out = append(out, carrier.Find(rx.Error, unlisted{m.Name, true, allowed}))
		case label.Unsaid:
			out = append(out, carrier.Find(rx.Warning, unlisted{m.Name, false, allowed}))
		}
	}
	return out
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
	add(equip.Impregnability(a.Terms.Materials(), a.Terms.Label.Base), true)
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
	if len(gradesOf(p)) == 0 {
		return "no analysis of the prescription's products is given (--analysis)"
	}
	return ""
}

// findAnalysis holds the grades that the prescription's rates are read by against the
// materials of the blend: rates of N become product by the first, and the N of the
// ways is counted by the second.
func findAnalysis(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	var out []rx.Finding
	for _, d := range equip.Blend(a.Terms.Materials()).Disagreements(gradesOf(p)) {
		field := p.Fields[d.Product]
		f := analysis.Find(rx.Warning, disagreement{d.Analysis, d.Blend, d.Analysis.N, d.Blend.N, d.Name, field.Nutrient})
		f.Field = field.Name
		out = append(out, f)
	}
	return out
}

// gradesOf lists the analyses of the rate fields; none if one is missing.
func gradesOf(p *rx.Prescription) []equip.Grade {
	var grades []equip.Grade
	for _, f := range p.Fields {
		g, err := equip.ParseGrade(f.Grade)
		if err != nil {
			return nil
		}
		grades = append(grades, g)
	}
	return grades
}

package check

import (
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// analysis holds the grades that the prescription's rates are read by against the
// materials of the blend: rates of N become product by the first, and the N of the
// ways is counted by the second.
func analysis() Rule {
	return Rule{
		Name: "analysis",
		Skip: func(p *rx.Prescription, a *rx.Assessment) string {
			if len(a.Terms.Materials()) == 0 {
				return "the materials of the blend are not given (--job, blend)"
			}
			if len(gradesOf(p)) == 0 {
				return "no analysis of the prescription's products is given (--analysis)"
			}
			return ""
		},
		Find: func(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
			var out []rx.Finding
			for _, d := range equip.Blend(a.Terms.Materials()).Disagreements(gradesOf(p)) {
				field := p.Fields[d.Product]
				f := rx.Finding{
					Rule: "analysis", Severity: rx.Warning, About: rx.AboutEquipment, Field: field.Name, Got: d.Analysis.String(), Want: d.Blend.String(),
					Text: "the analysis of field " + field.Name + ", " + d.Text() + ".",
					Hint: "correct the analysis, or the blend in the job file",
				}
				if field.Nutrient {
					f.Text += " Its rates of N became product by the analysis: if the blend is right, the dry rates are wrong."
				}
				out = append(out, f)
			}
			return out
		},
	}
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

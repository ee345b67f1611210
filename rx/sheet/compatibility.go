package sheet

import (
	"rxsplit/label"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// compatibility says what speaks against blending the materials, or against
// impregnating them.
func (d *draft) compatibility(t *treated) {
	if len(t.what) == 0 {
		return
	}
	s := rx.Section{Title: "Do the materials go together"}
	conflicts := append(equip.Impregnability(t.what), equip.Compatibility(t.what)...)
	s.Cautions = append(s.Cautions, d.conflicts(conflicts)...)
	s.Cautions = append(s.Cautions, d.carriers(t.what)...)
	if len(s.Cautions) == 0 {
		s.Notes = []string{"Nothing is known against it. A jar of the very materials, treated and left overnight, tells more (common practice, no source)."}
	}
	d.add(s)
}

func (d *draft) conflicts(list []equip.Conflict) []string {
	var lines []string
	for _, c := range list {
		word := "Take care: "
		switch {
		case c.Block:
			word = "NEVER: "
		case c.Stop && d.job.BlendTested:
			word = "Test confirmed by the job file: "
		case c.Stop:
			word = "STOP: "
		}
		lines = append(lines, word+c.Text+" "+sentence(c.Hint)+" ["+c.Source+"]")
	}
	return lines
}

// carriers holds the materials against the carriers of the label.
func (d *draft) carriers(materials equip.Blend) []string {
	allowed, forbidden := d.label.CarrierLists()
	if len(allowed)+len(forbidden) == 0 {
		d.lacks("which carriers the label allows", "label profile, carriers", "look it up on the label before you impregnate")
		return nil
	}
	var lines []string
	for _, m := range materials {
		switch d.label.Carriers.Of(m.Name) {
		case label.Forbidden:
			lines = append(lines, "NEVER: the label forbids "+m.Name+" as a carrier.")
		case label.Unsaid:
			lines = append(lines, "Take care: the label neither allows nor forbids "+m.Name+" as a carrier. Ask the supplier of the stabilizer first.")
		}
	}
	return lines
}

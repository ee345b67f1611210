package sheet

import (
	"fmt"

	"rxsplit/rx"
)

// draft is a sheet that is being written.
type draft struct {
	*crew
	sheet   rx.Sheet
	unknown []string
}

func (c *crew) begin(kind rx.SheetKind, title, layer string) *draft {
	d := &draft{crew: c, sheet: rx.Sheet{Kind: kind, Title: title, Layer: layer}}
	d.add(c.jobSection(layer))
	d.add(rx.Section{Title: "Before the work begins", Cautions: c.cautions(), Blanks: emergency(kind)})
	return d
}

func (d *draft) add(s rx.Section) { d.sheet.Sections = append(d.sheet.Sections, s) }

// lacks notes something that the sheet would need: what it is, the key of which file
// would say it, and what follows.
func (d *draft) lacks(what, where, so string) {
	d.unknown = append(d.unknown, sentence(fmt.Sprintf("%s (%s): %s", what, where, so)))
}

// end returns the sheet; what is not known stands behind the cautions, so that it is
// asked for before the work begins.
func (d *draft) end() rx.Sheet {
	if len(d.unknown) == 0 {
		return d.sheet
	}
	const after = 2
	s := rx.Section{Title: "Not known: find out and write it in", Notes: d.unknown}
	sections := append([]rx.Section{}, d.sheet.Sections[:after]...)
	sections = append(sections, s)
	d.sheet.Sections = append(sections, d.sheet.Sections[after:]...)
	return d.sheet
}

// jobSection says what the sheet belongs to.
func (c *crew) jobSection(layer string) rx.Section {
	facts := []rx.Fact{
		{What: "Customer", Value: orBlank(c.job.Customer)},
		{What: "Field", Value: orBlank(c.job.Field)},
		{What: "Date", Value: orBlank(string(c.job.Date))},
		{What: "Operator", Value: orBlank(c.job.Operator)},
		{What: "Prescription", Value: c.p.Source.Name, Note: digest(c.p.Source.SHA256())},
		{What: "Way", Value: string(c.plan.Way.Name)},
	}
	if layer != "" {
		facts = append(facts, rx.Fact{What: "Layer file", Value: layer})
	}
	return rx.Section{Facts: facts}
}

func orBlank(s string) string {
	if s == "" {
		return blank
	}
	return s
}

func digest(sum string) string {
	const shown = 12
	if len(sum) < shown {
		return ""
	}
	return "SHA-256 " + sum[:shown] + "..."
}

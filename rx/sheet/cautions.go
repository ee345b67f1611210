package sheet

import (
	"strings"

	"rxsplit/rx"
)

// cautions stand on every sheet that sends people to work.
func (c *crew) cautions() []string {
	return []string{
		"Read and follow the label in hand and the safety data sheet. They come before this sheet.",
		"PPE: " + c.ppe() + ".",
		"Restricted-entry interval: " + c.interval() + ".",
		"Lock out the blender before anybody reaches in.",
		"Never pressurize a vessel that is not built and rated for it, and never above its rating.",
		"Keep back from wells and surface water as the label and local rules say.",
		"Local codes and licensed applicators decide.",
	}
}

func (c *crew) ppe() string {
	if len(c.label.PPE) == 0 {
		return "as the label says (the profile does not say it): " + blank
	}
	return strings.Join(c.label.PPE, ", ") + ", and what else the label says"
}

func (c *crew) interval() string {
	if t, ok := c.label.EntryInterval(); ok {
		return t.Text(c.s) + ", by the label profile"
	}
	return "as the label says (the profile does not say it): " + blank
}

// emergency leaves room for whom to call; the sheets of those who handle product have
// it. No number is printed: it must be one that somebody has looked up and tried.
func emergency(kind rx.SheetKind) []string {
	if kind == rx.FieldSheet {
		return nil
	}
	return []string{
		"Emergency contact: " + blank + blank + "; Number: " + blank + blank,
		"Number on the label or safety data sheet for poisoning and spills: " + blank + blank,
	}
}

// misuse is the label statement of 40 CFR 156.10(i)(2)(ii), printed for products that
// are known to be registered.
const misuse = "It is a violation of Federal law to use this product in a manner inconsistent with its labeling. [40 CFR 156.10(i)(2)(ii)]"

// lawNotes says what follows from a registration, as far as it is known.
func (c *crew) lawNotes() []string {
	if c.label.IsRegistered() {
		return []string{misuse}
	}
	return nil
}

// sign closes a sheet: who did the work.
func sign(who string) rx.Section {
	return rx.Section{Title: "Done by", Blanks: []string{who + ": " + blank + "; Date and time: " + blank, "Checked by: " + blank}}
}

package sheet

import (
	"fmt"
	"math"

	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// rounding says how a volume was rounded to what a meter reads, and why, as what follows
// the exact volume. whyNot says what another volume would do against the label, as what
// follows "would".
func (d *draft) rounding(exact, dosed unit.Volume, whyNot func(unit.Volume) string) string {
	step := equip.MeterStep(d.s)
	near := unit.Volume(math.Round(float64(exact/step))) * step
	whole := pick(d.show, "whole fluid ounce", "whole milliliter")
	side := "up"
	if dosed < exact {
		side = "down"
	}
	off := math.Abs(float64((dosed - near) / step))
	switch {
	case off < 1e-9 && math.Abs(float64(dosed-exact)) <= 1e-9*float64(exact):
		return ", which a meter reads."
	case off < 1e-9:
		return fmt.Sprintf(", rounded %s to %s, the nearest %s.", side, d.drop(dosed), whole)
	case math.Abs(off-1) < 1e-9 && whyNot(near) != "":
		return fmt.Sprintf(", rounded %s to %s: the nearest %s, %s, would %s.", side, d.drop(dosed), whole, d.dropN(near), whyNot(near))
	}
	return fmt.Sprintf(", dosed as %s: no %s keeps all of the ground on label, so measure it finer.", d.drop(dosed), whole)
}

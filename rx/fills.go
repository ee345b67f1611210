package rx

import (
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Fills returns the tank fills that a boom takes for an area at a rate of stabilizer,
// and the same as meters read them: the stabilizer of a fill is the nearest step of a
// meter that keeps the fill's rate inside [Terms.PassRange], so that near an end of it
// the dose is rounded inward. The sheets and the cost go by the same fills.
func (t Terms) Fills(b equip.Boom, area unit.Area, rate unit.LiquidRate) (exact, metered equip.Fills, err error) {
	exact, err = b.Fills(area, rate)
	if err != nil {
		return equip.Fills{}, equip.Fills{}, err
	}
	pass, _ := t.PassRange()
	return exact, exact.Metered(t.Units, pass.Contains), nil
}

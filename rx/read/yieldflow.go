package read

import (
	"math"
	"strings"

	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
)

// market is the moisture, in percent, that yields are brought to where the map says no other:
// that of corn as it is traded. Common practice, no source.
const market = 15.5

// fromFlow reports whether yields are worked out from the flow of wet grain.
func (m *YieldMap) fromFlow() bool { return m.Columns.Yield == "" && m.Columns.Flow != "" }

// dried brings a yield at a moisture, in percent, to that of the market.
func (m *YieldMap) dried(wet, moist float64) float64 {
	return wet * ((100 - moist) / (100 - float64(m.Market.Or(market))))
}

// flowed is the yield of wet grain that flowed for some seconds from ground, in square meters.
func (m *YieldMap) flowed(flow, seconds, moist, area float64) float64 {
	return m.dried(flow*seconds*m.flow, moist) / (area / m.ground)
}

// flows reads what yields from the flow need: flow is how many of the yield's amount one of the
// flow's mass is, ground how many square meters are one of its ground.
func (m *YieldMap) flows(doc *strictyaml.Document) {
	if !m.fromFlow() {
		return
	}
	for _, want := range []struct {
		missing   bool
		key, what string
	}{
		{m.FlowUnit == "", "columns.flow", "its unit is not said: give flow-unit, such as lb/s"},
		{m.Columns.Moisture == "", "columns.flow", "is of wet grain, which can't be compared without columns: moisture"},
		{m.Columns.Distance == "", "columns.flow", "gives no yield without the ground: give columns: distance"},
		{m.Columns.Width == "" && m.HeaderOf().Meters == 0, "columns.flow", "gives no yield without the ground: give header, or columns: width"},
		{m.YieldUnit == "", "yield-unit", "is not said: give what yields are to be worked out in, such as bu/ac or t/ha"},
		{strings.HasPrefix(m.YieldUnit, "bu/") && m.Bushel == "", "bushel", "nothing says what one weighs: give it, such as 56 lb for corn"},
	} {
		if want.missing {
			doc.Fail(want.key, want.what)
			return
		}
	}
	mass, per, _ := strings.Cut(m.FlowUnit, "/")
	if per != "s" {
		doc.Fail("flow-unit", "want a weight for each second, such as lb/s or kg/s")
	}
	amount, ground, _ := strings.Cut(m.YieldUnit, "/")
	weight := one[unit.Mass](doc, "flow-unit", mass, "lb/s", 1)
	if amount == "bu" {
		m.flow = weight / weightOf(doc, m.Bushel)
	} else {
		m.flow = weight / one[unit.Mass](doc, "yield-unit", amount, "t/ha", 1)
	}
	m.ground = one[unit.Area](doc, "yield-unit", ground, "bu/ac", 1) / float64(unit.SquareMeter)
}

// weightOf reads what a bushel weighs.
func weightOf(doc *strictyaml.Document, text string) float64 {
	w, err := unit.Parse[unit.Mass](text)
	if err != nil || !(w > 0) {
		doc.Fail("bushel", "want a weight, such as 56 lb")
		return math.NaN()
	}
	return float64(w)
}

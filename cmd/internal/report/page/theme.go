package page

import (
	"fmt"
	"math"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// mapTheme is one map of a field: a class for every zone.
type mapTheme struct {
	svg.Map
	ID, Title, Note string
	classes         []mapClass
	numbered        bool // off-label zones carry their numbers
	kept            mapKeepOut
}

// mapClass is one line of a legend.
type mapClass struct {
	Text  string
	Fill  string
	Area  unit.Area
	Zones int
	key   string // of its acres, as JSON names them; may be empty
}

// classify sorts the zones into classes and adds up what each amounts to.
func (t *mapTheme) classify(p *rx.Prescription, class func(zone int) int) {
	for _, c := range t.classes {
		t.Fills = append(t.Fills, c.Fill)
	}
	t.Class = make([]uint8, len(p.Zones))
	for i, z := range p.Zones {
		c := class(i)
		if c < 0 {
			t.Class[i] = svg.NoClass
			continue
		}
		t.Class[i] = uint8(c)
		t.classes[c].Area += z.Area
		t.classes[c].Zones++
	}
}

// verdictTheme is the map of verdicts if the whole blend is impregnated.
func verdictTheme(r report.Result, q figures.Quantities) mapTheme {
	t := mapTheme{ID: "map-verdict", Title: "Verdict if impregnated", numbered: true}
	t.Blank, t.Focus = 2, true
	a := r.Assessment
	t.classes = []mapClass{{Text: report.SeasonText, Fill: svg.Season.Fill(), key: seasonKey}} // none in most fields
	var place [len(rx.Assessment{}.Shares)]int
	for i, v := range []rx.Verdict{rx.Within, rx.Below, rx.Above, rx.NoDry, rx.NoRate} {
		_, key := verdictGround(a, v)
		t.classes = append(t.classes, mapClass{Text: report.VerdictText(v), Fill: verdictFill(v), key: key})
		place[v] = i + 1
	}
	t.classify(r.Prescription, func(z int) int {
		if a.OffBySeason(z) {
			return 0
		}
		return place[a.Verdicts[z]]
	})
	if a.Loading > 0 {
		t.Note = fmt.Sprintf("As one impregnated blend at %s.", q.Loading(a.Loading))
		if i := r.Prescription.CarrierField(); i >= 0 {
			t.Note = fmt.Sprintf("With %s alone impregnated at %s.", r.Prescription.Fields[i].Name, q.Loading(a.Loading))
		}
	}
	t.Tip = func(z int) string {
		text := zoneTip(r, q, z) + ", " + report.VerdictText(a.Verdicts[z])
		if a.PassesSeason(z) {
			text += ", " + report.SeasonText
		}
		return text
	}
	t.Tips = func(zones []int, how string) string { return joinedTip(r, q, zones, how) }
	return t
}

// zoneTip says what a zone is, for a pointer that rests on it.
func zoneTip(r report.Result, q figures.Quantities, i int) string {
	z := r.Prescription.Zones[i]
	text := fmt.Sprintf("Zone %d: %s %s", z.Number(), q.Patch(z.Area), unit.Symbol[unit.Area](q.System))
	if !z.HasRate() {
		return text + ", no rate given"
	}
	text += fmt.Sprintf(", dry %s %s", q.Dry(z.Dry), unit.Symbol[unit.DryRate](q.System)) + carriedText(r.Prescription, q.Dry(z.Carrier))
	return text + fmt.Sprintf(", stabilizer %s %s if impregnated", q.SideRate(unit.StabilizerRate(r.Assessment.Loading, z.Carrier), r.Assessment.Range), unit.Symbol[unit.LiquidRate](q.System))
}

// carriedText says how much of the dry is the product that carries the stabilizer, where
// it lies beside others.
func carriedText(p *rx.Prescription, rates string) string {
	if i := p.CarrierField(); i >= 0 {
		return ", " + rates + " of it " + p.Fields[i].Name
	}
	return ""
}

// planTip says the same, with the stabilizer that the plan gives.
func planTip(r report.Result, q figures.Quantities, i int) string {
	z := r.Prescription.Zones[i]
	text := fmt.Sprintf("Zone %d: %s %s", z.Number(), q.Patch(z.Area), unit.Symbol[unit.Area](q.System))
	if z.HasRate() {
		text += fmt.Sprintf(", dry %s %s", q.Dry(z.Dry), unit.Symbol[unit.DryRate](q.System)) + carriedText(r.Prescription, q.Dry(z.Carrier))
	}
	text += fmt.Sprintf(", stabilizer %s %s by the plan", q.Rate(r.Plan.Stabilizer[i]), unit.Symbol[unit.LiquidRate](q.System))
	return text + keptOutTip(r, q, []int{i})
}

// rateTheme is a map of dry rates; unserved names the ground at rate 0.
func rateTheme(r report.Result, q figures.Quantities, s svg.Steps, unserved string, rate func(zone int) unit.DryRate) mapTheme {
	t := mapTheme{Map: svg.Map{Blank: 2}}
	for i, color := range svg.DryColors(s.N) {
		t.classes = append(t.classes, mapClass{Text: s.Text(i), Fill: color})
	}
	t.classes = append(t.classes,
		mapClass{Text: unserved, Fill: verdictFill(rx.NoDry)},
		mapClass{Text: report.VerdictText(rx.NoRate), Fill: verdictFill(rx.NoRate)})
	t.classify(r.Prescription, func(z int) int {
		switch v := rate(z); {
		case math.IsNaN(float64(v)):
			return s.N + 1
		case !(v > 0):
			return s.N
		default:
			return s.Of(v.In(q.System))
		}
	})
	t.Tip = func(z int) string { return zoneTip(r, q, z) }
	t.Tips = func(zones []int, how string) string { return joinedTip(r, q, zones, how) }
	return t
}

// drySteps returns the classes of a prescription's dry rates, all fields together.
func drySteps(p *rx.Prescription, s unit.System) svg.Steps {
	low, high := math.Inf(1), 0.0
	for _, z := range p.Zones {
		if z.Dry > 0 {
			low, high = min(low, z.Dry.In(s)), max(high, z.Dry.In(s))
		}
	}
	return svg.NewSteps(low, high)
}

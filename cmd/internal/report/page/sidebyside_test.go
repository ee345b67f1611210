package page

import (
	"strings"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// A pointer on the map is told both rates, that of all and that of the product which gets
// the stabilizer; a blend is one product, and is told one.
func TestTipsSideBySide(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 170}, rxtest.Ground{Acres: 5, Rate: 200})
	p.Fields = []rx.RateField{{Name: "UREA", Symbol: "lb/ac", Carrier: true}, {Name: "POTASH", Symbol: "lb/ac"}}
	p.Rates = []unit.DryRate{120, 50, 150, 50}
	p.Zones[0].Carrier, p.Zones[1].Carrier = 120, 150
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 400
	r := report.Result{Prescription: p, Assessment: rxtest.Grade(t, p, terms), Plan: &rx.Plan{Stabilizer: []unit.LiquidRate{24, 30}}}
	q := figures.Quantities{}
	for want, got := range map[string]string{
		"Zone 1: 10.00 ac, dry 170 lb/ac, 120 of it UREA, stabilizer 24.0 fl oz/ac if impregnated":                                                          zoneTip(r, q, 0),
		"Zone 1: 10.00 ac, dry 170 lb/ac, 120 of it UREA, stabilizer 24.0 fl oz/ac by the plan":                                                             planTip(r, q, 0),
		"2 zones joined: 15.00 ac together, dry 170 to 200 lb/ac, 120 to 150 of it UREA, stabilizer 24.0 to 30.0 fl oz/ac if impregnated, within the label": joinedTip(r, q, []int{0, 1}, "joined"),
	} {
		if got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
	p.Rates, p.Fields = nil, p.Fields[:1]
	if got := zoneTip(r, q, 0); strings.Contains(got, "UREA") {
		t.Errorf("one product is named apart: %s", got)
	}
}

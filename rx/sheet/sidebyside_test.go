package sheet_test

import (
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// sideBySide is 10 ac with 100 lb/ac of urea and 50 of potash, and 20 ac with 150 and
// none; the stabilizer rides on the urea.
func sideBySide() *rx.Prescription {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 150}, rxtest.Ground{Acres: 20, Rate: 150})
	p.Fields = []rx.RateField{{Name: "UREA", Symbol: "lb/ac", Carrier: true}, {Name: "POTASH", Symbol: "lb/ac"}}
	p.Rates = []unit.DryRate{100, 50, 150, 0}
	p.Zones[0].Carrier, p.Zones[1].Carrier = 100, 150
	return p
}

// together is a blend of two products, each in a column.
func together() *rx.Prescription {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 200}, rxtest.Ground{Acres: 20, Rate: 150})
	p.Fields = []rx.RateField{{Name: "UREA", Symbol: "lb/ac", Share: 0.8}, {Name: "POTASH", Symbol: "lb/ac", Share: 0.2}}
	p.Rates = []unit.DryRate{160, 40, 120, 30}
	return p
}

// The bin holds the blend: its sheet names the column of all products, and warns of those
// of each.
func TestColumnOfABlend(t *testing.T) {
	sheets, _ := made(t, together(), termsOf(t, bareLabel, ""), rx.OneLoad)
	s := oneOf(t, sheets, rx.SpreaderSheet)
	if got := fact(s, "Column to load"); got != "DRY_RATE" {
		t.Errorf("to load: %s", got)
	}
	if text := plainText(section(t, s, "What to load")); !strings.Contains(text, "Never load UREA or POTASH:") {
		t.Error(text)
	}
}

// TestSideBySide: only what carries the stabilizer goes through the blender, and what is
// ordered counts each product. By hand: urea 10·100 + 20·150 = 4000 lb, potash 500 lb.
func TestSideBySide(t *testing.T) {
	const job = "blend: [{name: urea, share: 80 %}, {name: potash, share: 20 %}]\nblender: {batch: 3 ton}\n"
	for _, way := range []rx.WayName{rx.OneLoad, rx.Loads, rx.Refit} {
		sheets, _ := made(t, sideBySide(), termsOf(t, bareLabel, job), way)
		if got := fact(sheets[0], "Composition"); got != "urea" {
			t.Errorf("%s: composition %s", way, got)
		}
		if got := cell(t, section(t, sheets[0], "Batches"), "urea", "1 batch"); got != "4,000" {
			t.Errorf("%s: urea %s lb", way, got)
		}
		order := section(t, oneOf(t, sheets, rx.FieldSheet), "To order")
		for name, want := range map[string]string{"urea": "4,000", "potash": "500", "dry, all together": "4,500"} {
			if got := cell(t, order, name, "that is"); got != want {
				t.Errorf("%s: %s %s lb, want %s", way, name, got, want)
			}
		}
		load := section(t, oneOf(t, sheets, rx.SpreaderSheet), "What to load")
		layer := sheets[0].Layer
		if treated, other := cell(t, load, layer+" UREA", "holds"), cell(t, load, layer+" POTASH", "holds"); treated != "TREATED" || other != "untreated" {
			t.Errorf("%s: urea %s, potash %s", way, treated, other)
		}
		verdict := section(t, sheets[0], "What this load is")
		if got := noteOf(rx.Sheet{Sections: []rx.Section{verdict}}, "On label at this loading"); got != "of dry; this layer has 100 to 150 lb/ac" {
			t.Errorf("%s: %s", way, got)
		}
	}
}

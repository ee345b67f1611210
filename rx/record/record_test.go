package record

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

const everything = `
date: 2026-05-04
begin: "09:10"
end: "11:45"
applicator: A. Nobody (invented)
license: 00-00
lots: [L1, L2]
wind: 5 mph from SW
air: 60 F
sky: clear
soil: 50 F, moist
jar-test: none needed
mixing-order: water, then stabilizer
rinsed: tank and boom
incorporated: harrow, the same day
`

// whole is a job of which everything is known.
func whole(t *testing.T) Known {
	t.Helper()
	said, err := ParseSaid("said.yaml", []byte(everything))
	if err != nil {
		t.Fatal(err)
	}
	p := &rx.Prescription{Zones: []rx.Zone{{Area: 40, Dry: 200, Carrier: 200}}}
	return Known{
		Prescription: p, Said: said,
		Plan:     &rx.Plan{Stabilizer: []unit.LiquidRate{30}, Layers: []rx.Layer{{Product: rx.Dry, Treated: true, Loading: 300}}},
		Approval: &rx.Approval{By: "B. Nobody (invented)"},
		Logged:   &Logged{Treated: 39.5, Total: 1190, Within: 39, Off: 0.5},
		Terms: rx.Terms{
			Label: &label.Profile{
				Name: "Demo inhibitor (invented)", Registration: "00000-000", Active: "invented ingredient", Restricted: label.No,
				ReEntry: label.Know(24 * 60 * unit.Minute), Incorporate: label.Know(240 * 60 * unit.Minute), Hold: label.Know(60 * unit.Minute),
				Crops: []string{"corn"}, Timing: "before planting",
			},
			Job: &equip.Job{Field: "North (invented)", Place: "section 00 (invented)", Crop: "corn", Customer: "C. Nobody (invented)", Address: "1 Nowhere Road (invented)"},
		},
	}
}

func names(rows []Row) (list []string) {
	for _, r := range rows {
		list = append(list, r.What)
	}
	return list
}

// With everything said, nothing is missing; with five things left out, those are named, with
// the rules that ask for them. Rows by 7 CFR 110.3(a) and 40 CFR 171.303(b)(7), from memory.
func TestWhatIsMissing(t *testing.T) {
	k := whole(t)
	if r := Of(k); len(r.Missing()) > 0 || r.Complete() != "Nothing that is looked for here is missing." {
		t.Errorf("missing %q: %s", names(r.Missing()), r.Complete())
	}
	k.Said.License, k.Said.Wind, k.Terms.Job.Place, k.Terms.Label.Registration, k.Logged = "", "", "", "", nil
	k.Said.Total = "1190 fl oz"
	r := Of(k)
	want := []string{"Certification number", "EPA Reg. No.", "Legal location", "Ground treated", "Wind"}
	if got := names(r.Missing()); !slices.Equal(got, want) {
		t.Errorf("missing %q, want %q", got, want)
	}
	for _, row := range r.Missing() {
		if row.Where == "" || (len(row.Asked) == 0) != (row.What == "Wind") {
			t.Errorf("%+v", row)
		}
	}
}

// All rows in their order: where each is said, which rules ask for it, who says it here and what.
// By the rules named there, from memory.
func TestEveryRow(t *testing.T) {
	k := whole(t)
	k.Logged.Outside, k.Logged.Doubts = 3, []string{"One."}
	k.Terms.Further = []rx.JobLiquid{{Name: "Aid (invented)", Label: &label.Profile{Registration: "00000-111"}}, {Name: "Dye (invented)"}}
	k.Approval.At, k.Approval.License = time.Date(2026, 5, 3, 17, 4, 0, 0, time.UTC), "11-11"
	k.Said.AppliedBy = "D. Nobody (invented)"
	var got strings.Builder
	for _, r := range Of(k).Rows {
		asked := ""
		for _, rule := range r.Asked {
			asked += map[string]string{rup: "R", state: "S"}[rule]
		}
		fmt.Fprintf(&got, "%s|%s|%s|%s|%s\n", r.What, r.Where, asked, r.From, r.Value)
	}
	const want = `Applied for|job file, customer|S|job|C. Nobody (invented)
Address|job file, address|S|job|1 Nowhere Road (invented)
Certified applicator|said file, applicator|RS|said|A. Nobody (invented)
Certification number|said file, license|RS|said|00-00
Applied by|said file, applied-by||said|D. Nobody (invented)
Plan approved by|rxsplit approve||approval|B. Nobody (invented), 2026-05-03 17:04 UTC
Product|label profile, name|RS|label|Demo inhibitor (invented)
EPA Reg. No.|label profile, registration|RS|label|00000-000
Active ingredient|label profile, active||label|invented ingredient
Restricted use pesticide|label profile, restricted-use||label|no
Lot numbers|said file, lots||said|L1, L2
EPA Reg. No. of Aid (invented)|its label profile, registration|RS|label|00000-111
EPA Reg. No. of Dye (invented)|its label profile, registration|RS||
Stabilizer in all|said file, total; or the logs, with --applied|RS|logs|1,190 fl oz
Rate, as planned|the plan||plan|30 fl oz/ac
Field|job file, field||job|North (invented)
Legal location|job file, place|RS|job|section 00 (invented)
Crop or site|job file, crop|RS|job|corn
Ground to be treated, as planned|the plan||plan|40.00 ac
Ground treated|said file, treated; or the logs, with --applied|RS|logs|39.50 ac
Inside the label's range, as logged|||logs|39.00 ac
Off the label's range, as logged|||logs|0.50 ac
In doubt, of the logs|||logs|One.
Stabilizer outside every zone, as logged|||logs|3 fl oz
Date|said file, date|RS|said|2026-05-04
Begin|said file, begin|S|said|09:10
End|said file, end||said|11:45
Wind|said file, wind||said|5 mph from SW
Air|said file, air||said|60 F
Sky|said file, sky||said|clear
Soil|said file, soil||said|50 F, moist
Restricted-entry interval|label profile, re-entry||label|24 h
Crops of the label|label profile, crops||label|corn
Timing of the label|label profile, timing||label|before planting
Incorporate within|label profile, incorporate-within||label|10 days
Incorporated|said file, incorporated||said|harrow, the same day
Treated blend may be held|label profile, hold||label|1 h
Jar test|said file, jar-test||said|none needed
Mixing order|said file, mixing-order||said|water, then stabilizer
Rinsed|said file, rinsed||said|tank and boom
`
	if got.String() != want {
		t.Errorf("got\n%s\nwant\n%s", got.String(), want)
	}
}

// Nothing is made up: without a job, an approval and a day, all of theirs is missing.
func TestNothingIsMadeUp(t *testing.T) {
	k := whole(t)
	k.Said, k.Approval, k.Logged, k.Terms.Job = nil, nil, nil, nil
	for _, row := range Of(k).Rows {
		if row.Value != "" && row.From != "plan" && row.From != "label" {
			t.Errorf("%+v", row)
		}
	}
	if _, err := ParseSaid("said.yaml", []byte("dat: x\n")); err == nil {
		t.Error("an unknown key is taken")
	}
	if _, err := ParseSaid("said.yaml", []byte(Template)); err != nil {
		t.Errorf("the template can't be read: %v", err)
	}
}

// What puts the logs in doubt stands in the record that is made of them.
func TestDoubtsAreTold(t *testing.T) {
	k := whole(t)
	k.Logged.Doubts = []string{"One.", "Two."}
	if !slices.ContainsFunc(Of(k).Rows, func(r Row) bool { return r.What == "In doubt, of the logs" && r.Value == "One. Two." }) {
		t.Errorf("got %+v", Of(k).Rows)
	}
}

// What fell beyond every zone is told beside the ground that was treated, and only if some did.
func TestOutsideIsTold(t *testing.T) {
	const row = "Stabilizer outside every zone, as logged"
	for outside, want := range map[unit.Volume]string{0: "", 40: "40 fl oz"} {
		k := whole(t)
		k.Logged.Outside = outside
		got := ""
		for _, r := range Of(k).Rows {
			if r.What == row {
				got = r.Value
			}
		}
		if got != want {
			t.Errorf("of %v: got %q, want %q", float64(outside), got, want)
		}
	}
}

// valueOf is what a record says of something, and who says it.
func valueOf(k Known, what string) (value, from string) {
	for _, r := range Of(k).Rows {
		if r.What == what {
			return r.Value, r.From
		}
	}
	return "", "no row"
}

// What stands in the rows that are put together of several: logs count before what was said, which
// stands beside them, and who drove is the applicator unless another one is named.
func TestWhatRowsSay(t *testing.T) {
	for _, c := range []struct {
		name, row, value, from string
		set                    func(*Known)
	}{
		{"one rate", "Rate, as planned", "30 fl oz/ac", "plan", func(k *Known) { k.Plan.Stabilizer = []unit.LiquidRate{0, 30, 30} }},
		{"rates, none first", "Rate, as planned", "22 fl oz/ac to 38 fl oz/ac", "plan", func(k *Known) { k.Plan.Stabilizer = []unit.LiquidRate{0, 30, 22, 38, 0} }},
		{"rates that fall", "Rate, as planned", "22 fl oz/ac to 38 fl oz/ac", "plan", func(k *Known) { k.Plan.Stabilizer = []unit.LiquidRate{38, 22} }},
		{"as logged", "Stabilizer in all", "1,190 fl oz", "logs", func(*Known) {}},
		{"as logged and said", "Stabilizer in all", "1,190 fl oz; as said: 9 gal", "logs", func(k *Known) { k.Said.Total = "9 gal" }},
		{"weighed", "Stabilizer in all", "1,200 fl oz weighed or filled, 1,190 fl oz as logged", "logs", func(k *Known) { k.Logged.Weighed = 1200 }},
		{"said alone", "Stabilizer in all", "9 gal", "said", func(k *Known) { k.Logged, k.Said.Total = nil, "9 gal" }},
		{"ground as logged", "Ground treated", "39.50 ac", "logs", func(*Known) {}},
		{"ground as logged and said", "Ground treated", "39.50 ac; as said: 40 ac", "logs", func(k *Known) { k.Said.Treated = "40 ac" }},
		{"ground as said", "Ground treated", "40 ac", "said", func(k *Known) { k.Logged, k.Said.Treated = nil, "40 ac" }},
		{"ground as planned", "Ground to be treated, as planned", "40.00 ac", "plan", func(*Known) {}},
		{"inside", "Inside the label's range, as logged", "39.00 ac", "logs", func(*Known) {}},
		{"off", "Off the label's range, as logged", "0.50 ac", "logs", func(*Known) {}},
		{"no logs", "Off the label's range, as logged", "", "no row", func(k *Known) { k.Logged = nil }},
		{"no doubts", "In doubt, of the logs", "", "no row", func(*Known) {}},
		{"the label's number", "EPA Reg. No.", "00000-000", "label", func(k *Known) { k.Terms.Job.Registration = "11111-111" }},
		{"the job's number", "EPA Reg. No.", "11111-111", "label", func(k *Known) { k.Terms.Label.Registration, k.Terms.Job.Registration = "", "11111-111" }},
		{"who drove", "Applied by", "A. Nobody (invented)", "said", func(*Known) {}},
		{"who else drove", "Applied by", "D. Nobody (invented)", "said", func(k *Known) { k.Said.AppliedBy = "D. Nobody (invented)" }},
		{"the approval's license", "Certification number", "11-11", "approval", func(k *Known) { k.Said.License, k.Approval.License = "", "11-11" }},
		{"restricted", "Restricted use pesticide", label.No.String(), "label", func(*Known) {}},
		{"nobody knows", "Restricted use pesticide", "", "", func(k *Known) { k.Terms.Label.Restricted = label.Unknown }},
		{"lots", "Lot numbers", "L1, L2", "said", func(*Known) {}},
		{"held", "Treated blend may be held", (60 * unit.Minute).Brief(unit.US), "label", func(*Known) {}},
		{"not held", "Treated blend may be held", "", "no row", func(k *Known) { k.Plan.Layers[0].Treated = false }},
		{"re-entry", "Restricted-entry interval", (24 * 60 * unit.Minute).Brief(unit.US), "label", func(*Known) {}},
		{"no re-entry", "Restricted-entry interval", "", "", func(k *Known) { k.Terms.Label.ReEntry = label.Known[unit.Time]{} }},
		{"a further liquid without a label", "EPA Reg. No. of Other (invented)", "", "", func(k *Known) {
			k.Terms.Further = []rx.JobLiquid{{Name: "Other (invented)"}}
		}},
		{"a further liquid", "EPA Reg. No. of Other (invented)", "22222-222", "label", func(k *Known) {
			k.Terms.Further = []rx.JobLiquid{{Name: "Other (invented)", Label: &label.Profile{Registration: "22222-222"}}}
		}},
	} {
		k := whole(t)
		c.set(&k)
		if value, from := valueOf(k, c.row); value != c.value || from != c.from {
			t.Errorf("%s: %q by %q, want %q by %q", c.name, value, from, c.value, c.from)
		}
	}
}

// How many entries are missing, and how many of these are asked for.
func TestHowMuchIsMissing(t *testing.T) {
	k := whole(t)
	all := len(Of(k).Rows)
	k.Said.License, k.Said.Wind, k.Said.Air = "", "", ""
	if got, want := Of(k).Complete(), fmt.Sprintf("3 of %d entries are missing, 1 of them asked for by 7 CFR 110.3 or 40 CFR 171.303(b)(7).", all); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

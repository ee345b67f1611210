package record

import (
	"slices"
	"testing"

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

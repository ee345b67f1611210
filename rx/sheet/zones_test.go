package sheet_test

import (
	"math"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// TestZonesWithoutARate: the field sheet names them and their acres.
func TestZonesWithoutARate(t *testing.T) {
	none := unit.DryRate(math.NaN())
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 200}, rxtest.Ground{Acres: 3, Rate: none}, rxtest.Ground{Acres: 4, Rate: none}, rxtest.Ground{Acres: 2.5, Rate: none}, rxtest.Ground{Acres: 20, Rate: 210}, rxtest.Ground{Acres: 1, Rate: none})
	sheets, _ := made(t, p, termsOf(t, bareLabel, ""), rx.OneLoad)
	field := oneOf(t, sheets, rx.FieldSheet)
	if got := fact(field, "Without a rate") + " | " + noteOf(field, "Without a rate"); got != "10.50 ac | 4 zones: 2-4, 6" {
		t.Errorf("got %s", got)
	}
	if text := strings.Join(section(t, field, "What else to know").Cautions, "\n"); !strings.Contains(text, "10.50 ac have no rate, in 4 zones: 2-4, 6.") {
		t.Error(text)
	}
	sheets, _ = made(t, rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 200}), termsOf(t, bareLabel, ""), rx.OneLoad)
	if got := fact(oneOf(t, sheets, rx.FieldSheet), "Without a rate"); got != "" {
		t.Errorf("got %s where every zone has one", got)
	}
}

// TestLeftOffZones: all numbers that fit on a page, in runs; the rest by file and column.
func TestLeftOffZones(t *testing.T) {
	var grounds []rxtest.Ground
	for i := range 200 { // every other zone can't be reached, the first 20 in a row
		rate := unit.DryRate(200)
		if i < 20 || i%2 == 0 {
			rate = 60
		}
		grounds = append(grounds, rxtest.Ground{Acres: 1 + 2*unit.Area(min(1, rate/200)), Rate: rate})
	}
	terms := termsOf(t, bareLabel, "")
	terms.LeaveOff = true
	sheets, plan := made(t, rxtest.Plain(grounds...), terms, rx.OneLoad)
	field := oneOf(t, sheets, rx.FieldSheet)
	note := noteOf(field, "Left untreated")
	for _, want := range []string{"110 zones: 1-21, 23, 25, 27, ", `more: zones.csv, where "dry rate lb/ac" is above 0 and "stabilizer by plan fl oz/ac" is 0`} {
		if len(plan.Way.LeftZones) != 110 || !strings.Contains(note, want) {
			t.Errorf("%d left: %q is not in %s", len(plan.Way.LeftZones), want, note)
		}
	}
}

// refitOf makes the field sheet of a refit of so many zones at rates from 90 to 310.
func refitOf(t *testing.T, zones, rates int) rx.Sheet {
	t.Helper()
	var grounds []rxtest.Ground
	for i := range zones {
		grounds = append(grounds, rxtest.Ground{Acres: 2, Rate: unit.DryRate(90 + 220*float64(i%rates)/float64(rates-1))})
	}
	sheets, _ := made(t, rxtest.Plain(grounds...), termsOf(t, bareLabel, ""), rx.Refit)
	return oneOf(t, sheets, rx.FieldSheet)
}

// TestRefitLists: zone by zone on one page, else rate by rate, else where to find it.
// Each list's changes add up to what the plan adds and removes.
func TestRefitLists(t *testing.T) {
	small := section(t, refitOf(t, 12, 12), "Dry rates that were changed")
	if len(small.Tables) != 1 || small.Tables[0].Head[0] != "zone" {
		t.Errorf("got %+v", small)
	}
	large := section(t, refitOf(t, 300, 12), "Dry rates that were changed")
	if len(large.Tables) != 1 || large.Tables[0].Head[0] != "zones" || !strings.Contains(strings.Join(large.Notes, " "), `zones.csv holds every zone: columns "dry rate lb/ac" and "dry rate by plan lb/ac".`) {
		t.Errorf("got %+v", large)
	}
	for _, s := range []rx.Section{small, large} {
		var sum float64
		for _, row := range s.Tables[0].Rows {
			sum += numberOf(t, strings.TrimPrefix(row[4], "+"))
		}
		added, removed := s.Facts[1], s.Facts[2]
		want := numberOf(t, strings.TrimSuffix(added.Value, " lb")) - numberOf(t, strings.TrimSuffix(removed.Value, " lb"))
		if math.Abs(sum-want) > float64(len(s.Tables[0].Rows)) { // rounded to a pound each
			t.Errorf("the list adds up to %v lb, the plan to %v", sum, want)
		}
	}
	huge := section(t, refitOf(t, 300, 300), "Dry rates that were changed")
	if len(huge.Tables) != 0 || !strings.Contains(strings.Join(huge.Notes, " "), `more than a page takes. zones.csv holds every zone`) {
		t.Errorf("got %+v", huge)
	}
}

// TestRefitOfFourZones: by hand, a band of 125 to 250 lb/ac lifts zone 1 from 100 by 25
// on 40 ac and lowers zone 4 from 300 by 50 on 15 ac.
func TestRefitOfFourZones(t *testing.T) {
	sheets, _ := made(t, rxtest.Plain(rxtest.FourGrounds()...), termsOf(t, bareLabel, ""), rx.Refit)
	s := section(t, oneOf(t, sheets, rx.FieldSheet), "Dry rates that were changed")
	for zone, want := range map[string][]string{"1": {"40.00", "100", "125", "+1,000"}, "4": {"15.00", "300", "250", "-750"}} {
		for i, column := range []string{"ac", "prescribed lb/ac", "to spread", "change lb"} {
			if got := cell(t, s, zone, column); got != want[i] {
				t.Errorf("zone %s, %s: got %s, want %s", zone, column, got, want[i])
			}
		}
	}
	if len(s.Tables[0].Rows) != 2 {
		t.Errorf("got %v", s.Tables[0].Rows)
	}
}

// TestEmergencyAndWind: whoever handles product has room for numbers to call, and none
// is printed; the sprayer has the label's limits to write in.
func TestEmergencyAndWind(t *testing.T) {
	p := fourZones(t)
	terms := termsOf(t, file(t, "label.yaml"), file(t, "job.yaml"))
	for _, way := range []rx.WayName{rx.WetBoom, rx.Loads} {
		sheets, _ := madeAll(t, p, terms, way)
		for _, s := range sheets {
			text, want := "", "Emergency contact: ________________; Number: ____"
			if s.Card != nil {
				text = strings.Join(s.Sections[1].Blanks, "\n")
			} else {
				text, want = strings.Join(section(t, s, "Before the work begins").Blanks, "\n"), "poisoning and spills: ____"
			}
			if got := strings.Contains(text, want); got != (s.Kind != rx.FieldSheet) {
				t.Errorf("%s: %v: %s", s.Title, got, text)
			}
			if strings.ContainsAny(strings.ReplaceAll(strings.ReplaceAll(text, "ft3", ""), "m3", ""), "0123456789") {
				t.Errorf("a number is printed: %s", text)
			}
			if s.Kind == rx.BoomSheet && s.Card == nil {
				wind := section(t, s, "Wind, drift")
				if len(wind.Cautions) < 2 || !strings.Contains(wind.Cautions[0], "The label's limits on wind") || !strings.Contains(wind.Blanks[0], "By the label, wind: ____") {
					t.Errorf("got %+v", wind)
				}
			}
		}
	}
}

package sheet_test

import (
	"fmt"
	"strings"
	"testing"

	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// TestCardsStandForThemselves: a card has its dose, a line to sign, few dangers and no more
// lines than a page has room for; the same mark stands on all cards of a load.
func TestCardsStandForThemselves(t *testing.T) {
	for _, s := range oddSheets(t) {
		if s.Card == nil || s.Kind == rx.ReleaseSheet {
			continue
		}
		if s.Card.Dose.Value == "" || len(s.Card.Log.Rows) == 0 || len(s.Card.Log.Rows) > 12 || s.Heads.Load != "load "+s.Card.Mark {
			t.Errorf("%s: %+v, %d lines, %s", s.Title, s.Card.Dose, len(s.Card.Log.Rows), s.Heads.Load)
		}
		// Beside the label and the safety data sheet, which come first.
		if n := len(s.Sections[0].Cautions); n < 2 || n > 5 || !strings.Contains(s.Sections[0].Cautions[0], "label in hand") {
			t.Errorf("%s: dangers %q", s.Title, s.Sections[0].Cautions)
		}
		signed := 0
		for _, line := range s.Sections[1].Blanks {
			signed += strings.Count(line, strings.Repeat("_", 24))
		}
		if signed != 1 {
			t.Errorf("%s: %d lines to sign", s.Title, signed)
		}
	}
}

// TestCardsOfManyFills by hand: 30.3 ac at 16 gal/ac from a tank of 24 gal are 20 fills of 1.5
// ac, and one of 0.3; 12 and 9 lines on two cards.
func TestCardsOfManyFills(t *testing.T) {
	terms := termsOf(t, bareLabel, `boom: {width: 60 ft, spacing: 30 in, volume: 16 gal/ac, tank: 24 gal, nozzles: ["08"], pressure: {min: 18 psi, max: 65 psi}, speed: {low: 12 mph, usual: 12 mph, high: 12 mph}}
`)
	terms.Intended = 26
	sheets, _ := madeAll(t, rxtest.Read(t, rxtest.Strip(rxtest.Ground{Acres: 30.3, Rate: 160})), terms, rx.WetBoom)
	var got []string
	for _, s := range sheets {
		if s.Kind == rx.BoomSheet && s.Card != nil {
			rows := s.Card.Log.Rows
			got = append(got, fmt.Sprint(s.Title, " ", rows[0][1], " to ", rows[len(rows)-1][1], ", ", rows[len(rows)-1][4]))
		}
	}
	want := "Boom card, card 1 of 2 1 to 12, 39; Boom card, card 2 of 2 13 to 21 last, 8" // 1.5 and 0.3 ac at 26 fl oz
	if strings.Join(got, "; ") != want {
		t.Errorf("got %s\nwant %s", strings.Join(got, "; "), want)
	}
}

// TestCardsComeFirst, and the appendix behind them.
func TestCardsComeFirst(t *testing.T) {
	p := fourZones(t)
	terms := termsOf(t, file(t, "label.yaml"), file(t, "job.yaml"))
	for way, want := range map[rx.WayName]string{
		rx.Loads:   "blender A, blender B, spreader A, spreader B",
		rx.WetBoom: "spreader A, boom B",
		rx.Base:    "blender A, spreader A, spreader B",
	} {
		sheets, _ := madeAll(t, p, terms, way)
		var got []string
		behind := false
		for _, s := range sheets {
			if behind = behind || s.Card == nil; behind != (s.Card == nil) {
				t.Errorf("%s: %s stands behind a sheet", way, s.Title)
			}
			if s.Card != nil {
				got = append(got, string(s.Kind)+" "+s.Card.Mark)
			}
		}
		if strings.Join(got, ", ") != want {
			t.Errorf("%s: got %s, want %s", way, strings.Join(got, ", "), want)
		}
	}
}

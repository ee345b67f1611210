package sheet_test

import (
	"fmt"
	"slices"
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
		if s.Card.Dose.Value == "" || len(s.Card.Log.Rows) == 0 || len(s.Card.Log.Rows) > 12 || !slices.Contains([]string{"load " + s.Card.Mark, "boom " + s.Card.Mark}, s.Heads.Load) || strings.HasPrefix(s.Heads.Load, "boom ") != (s.Kind == rx.BoomSheet) {
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

// TestTrucksOfOneLoad: the spreader's card has the trucks that the plant's sheet loads, whole
// batches. By hand, five batches of 6000 lb at 320 fl oz/ton, treated 6127.5 lb each
// (22.5 lb of liquid and 20 lb of drying agent a ton): two, two and one on trucks of 8 ton.
func TestTrucksOfOneLoad(t *testing.T) {
	terms := termsOf(t, bareLabel+"density: 9 lb/gal\n", "blender: {batch: 3 ton}\nspreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}, truck: 8 ton}\n")
	terms.Loading = 320
	trucks := func() (text []string, facts string) {
		sheets, _ := madeAll(t, rxtest.Plain(rxtest.Ground{Acres: 150, Rate: 200}), terms, rx.OneLoad)
		for _, s := range sheets {
			if s.Kind == rx.SpreaderSheet && s.Card != nil {
				for _, row := range s.Card.Log.Rows {
					text = append(text, row[2])
				}
				return text, fact(s, "Trucks") + ", " + noteOf(s, "Trucks")
			}
		}
		return nil, ""
	}
	if got, of := trucks(); !slices.Equal(got, []string{"12,255", "12,255", "6,128"}) || of != "3 truck loads, 2 batches on each, 1 batch on the last" {
		t.Errorf("got %q, %s", got, of)
	}
	terms.Job.Run = "run 2" // its batches are parted among fields, and the day's cards tell the trucks
	if got, of := trucks(); len(got) != 8 || got[0] != "_____" || of != "by the day's truck cards for this field, each with a ticket of the run" {
		t.Errorf("in a day's run: got %q, %s", got, of)
	}
}

// TestUntreatedDryIsNamed: a wet boom's plan has no blender sheet; the spreader's pages say
// what the dry is.
func TestUntreatedDryIsNamed(t *testing.T) {
	terms := termsOf(t, bareLabel, "blend: [{name: urea, grade: 46-0-0, share: 75 %}, {name: potash, grade: 0-0-60, share: 25 %}]\n")
	sheets, _ := madeAll(t, fourZones(t), terms, rx.WetBoom)
	const want = "urea 46-0-0 75 %, potash 0-0-60 25 % (together 34.5-0-15)"
	found := 0
	for _, s := range sheets {
		if s.Kind != rx.SpreaderSheet {
			continue
		}
		found++
		if got := fact(s, "Dry product"); got != want {
			t.Errorf("%s: got %s", s.Title, got)
		}
		if s.Card != nil && noteOf(s, "Rate trim") != "no liquid goes on this dry" {
			t.Errorf("trim: got %s", noteOf(s, "Rate trim"))
		}
	}
	if found != 2 {
		t.Errorf("%d pages of the spreader", found)
	}
}

// TestNoNozzleOnTheCard: the card of a boom that no nozzle fits says so, where whoever mounts
// them reads it.
func TestNoNozzleOnTheCard(t *testing.T) {
	terms := termsOf(t, bareLabel, "boom: {width: 70 ft, spacing: 20 in, volume: 10 gal/ac, tank: 500 gal, nozzles: [\"04\"], pressure: {min: 15 psi, max: 70 psi}, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}}\n")
	sheets, _ := madeAll(t, fourZones(t), terms, rx.WetBoom)
	for _, s := range sheets {
		if s.Kind == rx.BoomSheet && s.Card != nil {
			if got := noteOf(s, "Nozzle"); !strings.HasPrefix(got, "no size of the job file holds 10 gal/ac") {
				t.Errorf("got %q", got)
			}
			return
		}
	}
	t.Error("no card of the boom")
}

// TestConditionalCards: each card of a way that has something to be met first sends to the
// card that says it; those of a way that is ready don't.
func TestConditionalCards(t *testing.T) {
	const ask = "The Release card says what has to be met"
	for way, p := range map[rx.WayName]*rx.Prescription{rx.WetBoom: fourZones(t), rx.OneLoad: rxtest.Plain(rxtest.Ground{Acres: 150, Rate: 200})} {
		sheets, plan := madeAll(t, p, termsOf(t, bareLabel, "blender: {batch: 3 ton}\n"), way) // there is no boom
		for _, s := range sheets {
			if s.Card == nil || s.Kind == rx.ReleaseSheet {
				continue
			}
			notes := strings.Join(s.Sections[0].Notes, "\n")
			if got, want := strings.Contains(notes, ask), plan.Way.State == rx.Conditional; got != want || want != (way == rx.WetBoom) {
				t.Errorf("%s, %s, %s: %s", way, plan.Way.State, s.Title, notes)
			}
		}
	}
}

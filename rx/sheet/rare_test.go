package sheet

import (
	"fmt"
	"strings"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// What sheets say where a plan or a day is larger, or stranger, than most.
func TestWhatSheetsRarelySay(t *testing.T) {
	d := &document{inputs: &inputs{show: show{unit.US}}}
	boom := equip.Boom{Pressure: label.Range[unit.Pressure]{Min: 20 * unit.PSI, Max: 70 * unit.PSI}}
	standing := func(low, high unit.Pressure, holds bool) string {
		f := equip.Fit{Holds: holds, Speeds: label.Range[unit.Speed]{Min: 11.04 * unit.MilePerHour, Max: 15.76 * unit.MilePerHour}}
		f.At[0].Pressure, f.At[2].Pressure = low*unit.PSI, high*unit.PSI
		return d.standing(boom, f)
	}
	var c DayCards
	for i := range 9 {
		c.Fields = append(c.Fields, DayField{Name: string(rune('a' + i))})
	}
	for _, c := range []struct{ what, got, want string }{
		{"the last letter", mark(25), "Z"}, {"the first with a number", mark(26), "A1"}, {"the last of these", mark(51), "Z1"}, {"the next", mark(52), "A2"},
		{"no sentence", sentence(""), ""}, {"a sentence", sentence("it is so"), "It is so."}, {"one with its stop", sentence("it is so."), "It is so."},
		{"holds", standing(30, 60, true), "holds at every speed"},
		{"over all pressures", standing(70.1, 90, false), "too small"}, {"up to the highest", standing(70, 90, false), "only 11.1 to 15.7 mph"},
		{"under all pressures", standing(10, 19.9, false), "too large"}, {"down to the lowest", standing(10, 20, false), "only 11.1 to 15.7 mph"},
		{"fields that have room", c.names([]int{0, 1, 2, 3, 4, 5, 6, 7}), "1 a; 2 b; 3 c; 4 d; 5 e; 6 f; 7 g; 8 h"},
		{"more of them", c.names([]int{0, 1, 2, 3, 4, 5, 6, 7, 8}), "fields 1, 2, 3, 4, 5, 6, 7, 8, 9"}, {"one", c.names([]int{4}), "5 e"},
		{"a note that has room", shortened(strings.Repeat("é", 120)), strings.Repeat("é", 120)}, {"a longer one", shortened(strings.Repeat("é", 121)), strings.Repeat("é", 119) + "…"},
	} {
		if c.got != c.want {
			t.Errorf("%s: got %q, want %q", c.what, c.got, c.want)
		}
	}
}

// What an omission lands, by verdict: both ends of a label are on it.
func TestLandedByVerdict(t *testing.T) {
	var n landed
	for i, rate := range []unit.LiquidRate{30, 19.9, 20, 40, 40.1, 55} {
		n.add(rx.Range[unit.LiquidRate]{Min: 20, Max: 40}, rate, unit.Area(int(1)<<i))
	}
	if want := (landed{19.9, 55, 2, 1 + 4 + 8, 16 + 32}); n != want {
		t.Errorf("%+v, want %+v", n, want)
	}
}

// A log has columns for two liquids; of three, those after the first stand with the lot.
func TestLogOfManyLiquids(t *testing.T) {
	one := rx.Portion{Count: 2, Dry: 5000, Liquid: 750, Agent: 47, Further: []rx.Metered{{Liquid: 100, Agent: 6}, {Liquid: 60, Agent: 4}}}
	lot := rx.Lot{Fields: []int{0}, Batched: true, Portion: one, Parts: []rx.LotPart{{Batch: 0, Dry: 5000}, {Batch: 1, Dry: 5000}}, Load: rx.Load{Loading: 300, Further: []unit.Loading{40, 24}}}
	for further, want := range []struct{ head, lot string }{
		{"[ no. field dry lb weighed fl oz dosed agent lb time by]", "north"},
		{"[ no. field dry lb weighed fl oz first dosed agent lb time]", "north"},
		{"[ no. field dry lb weighed fl oz dosed agent lb time by]", "each 100 fl oz first, 60 fl oz second; north"},
	} {
		run := rx.Run{Lots: []rx.Lot{lot}, Terms: rx.Terms{Label: &label.Profile{}}}
		for _, name := range []string{"first", "second"}[:further] {
			run.Terms.Further = append(run.Terms.Further, rx.JobLiquid{Name: name, On: equip.OnBlend})
		}
		run.Lots[0].Load.Further, run.Lots[0].Portion.Further = lot.Load.Further[:further], one.Further[:further]
		c := DayCards{Runs: []rx.Run{run}, Fields: []DayField{{Name: "north"}}}
		d := c.begin("x", "A", 0, run.Terms)
		liquids := liquidsOf(run)
		if got := fmt.Sprint(d.runLog(batchesOf(run), liquids).Head); got != want.head {
			t.Errorf("%d further: the log has %s, want %s", further, got, want.head)
		}
		if got := c.lot(d, run.Lots[0], liquids)["what each is made of"]; got != want.lot {
			t.Errorf("%d further: the lot has %q, want %q", further, got, want.lot)
		}
	}
}

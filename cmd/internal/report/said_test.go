package report

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
	"rxsplit/rx/equip"
	"rxsplit/rx/ground"
	"rxsplit/rx/readout"
)

// What is said where things are not as they mostly are: a sentence, and the words that it has to hold.
func TestWhatIsRarelySaid(t *testing.T) {
	const hour = 60 * unit.Minute
	window := &day.Window{Min: 100, Max: 300}
	none, money := DayField{Path: "b/none.shp", Shared: -1, Blend: -1}, &DayCost{Low: 50, High: 60}
	own := DayField{Path: "a/own.shp", Way: "loads", Shared: -1, Loadings: []unit.Loading{200, 250}, Blend: 1, Window: window, DayDiffers: DayDiffers{Priority: 2}}
	boom := DayField{Path: "c/boom.shp", Way: "wet-boom", Shared: -1}
	one, two := DayField{Path: "d/s.shp", Way: "one-load", Shared: 0, Loadings: []unit.Loading{200}}, DayField{Path: "e/s.shp", Way: "one-load", Shared: 0, Loadings: []unit.Loading{200}}
	shares := func(d Day) Day { d.Loadings = make([]DayLoading, 1); return d }
	ends := own
	ends.Ends = [2]string{"the least of the spreader", "the most of the drum"}
	late := Day{Fields: []DayField{{Path: "late.shp", DayDiffers: DayDiffers{Priority: 3}, Hours: day.Hours{Blender: 2 * hour, Spreader: 3 * hour}}}, Has: day.Hours{Blender: 1 * hour, Spreader: 1 * hour}}
	free := late
	free.Has.Blender, free.Has.Spreader = unit.Time(math.Inf(1)), 1*hour
	left := func(l DayLeft, asks ...rx.RunAsk) string {
		l.Weighed, l.Load = 2000, rx.Load{Loading: 300}
		return DayLeftText(Day{Left: []DayLeft{l}, Asks: asks}, 0)
	}
	layer := &rx.Layer{Name: "dry"}
	course := func(c ground.Course) string {
		return (Ground{}).CourseText(Course{layer, c})
	}
	lots := func(l rx.Lot) string {
		_, rows := DayRuns(Day{Runs: []rx.Run{{Shared: -1, Lots: []rx.Lot{l}}}})
		return strings.Join(rows[0], "|")
	}
	_, rows := DayRuns(Day{Runs: []rx.Run{{Shared: 0, Lots: make([]rx.Lot, 1)}, {Shared: -1, Lots: make([]rx.Lot, 2)}}})
	runs := fmt.Sprint(rows[0][:2], rows[1][:1], rows[2][:1])
	liquid := func(over unit.Area) *rx.Graded {
		g := &rx.Graded{Liquid: rx.JobLiquid{Name: "aid", On: equip.OnBlend, Label: &label.Profile{}}, Loading: 40, Stabilizer: rx.Range[unit.LiquidRate]{Min: 1, Max: 6}, Range: rx.Range[unit.LiquidRate]{Min: 2, Max: 5}, OverSeason: rx.Share{Area: over}}
		g.Shares[rx.Below].Area, g.Shares[rx.Within].Area, g.Shares[rx.Above].Area = 7, 8, 9
		return g
	}
	reading := func(a, b float64) (r readout.Result) { // of two replicates, 8 more on average
		r.Readings, r.Estimate.Mean = make([]readout.Reading, 2), 8
		r.Readings[0].Untreated.Value, r.Readings[1].Untreated.Value = a, b
		return r
	}
	for _, c := range []struct{ what, got, want string }{
		{"runs from 1, each lot a row", runs, "[1 A, 0 fl oz/ton] [2] [2]"},
		{"the last letter", DayLetter(51), "z"},
		{"beyond the letters", DayLetter(52), "*"},
		{"one loading for one", DayText(shares(Day{Fields: []DayField{one}, Opened: 1})), "1 of 1 field served: 1 takes 1 loading."},
		{"own loadings", DayText(shares(Day{Fields: []DayField{one, two, own, boom, none}, Opened: 3})), "4 of 5 fields served: 2 share 1 loading, 1 by wet boom, 1 with 2 loadings of their own. Not served: 5 none.shp."},
		{"a cost that is known", DayText(Day{Cost: &DayCost{Low: 60, High: 60}}), " Whole cost $60.00."},
		{"a cost between", DayText(Day{Cost: money}), " Whole cost $50.00 to $60.00."},
		{"a gap in money", DayText(Day{Cost: money, Gap: 60}), " Not proved to be the best: another day may be better by 60 at most."},
		{"a gap of more than all costs", DayText(Day{Cost: money, Gap: 60.5}), " Not proved to be the best: another day may serve more fields, or larger ones."},
		{"a gap in loadings", DayText(Day{Opened: 2, Gap: 2}), " may be better by 2 at most."},
		{"a gap of more than all loadings", DayText(Day{Opened: 2, Gap: 2.5}), " may serve more fields, or larger ones."},
		{"late", DayLateText(late, 0), "late.shp, priority 3: takes 2.0 h of the blender and 3.0 h of a spreader"},
		{"late for one machine", DayLateText(free, 0), "takes 3.0 h of a spreader"},
		{"rates off", DayWindowsText(Day{RateError: rx.Range[unit.Ratio]{Min: 0.05, Max: 0.1}}), "rates off by 5 % to 10 %"},
		{"what begins a window", strings.Join(DayEnds(Day{Fields: []DayField{none, ends, ends}})[1:], " "), "Begins at the least of the spreader: fields 2, 3. Ends at the most of the drum: fields 2, 3."},
		{"no end named", strings.Join(DayEnds(Day{Fields: []DayField{none, own}})[1:], " "), ""},
		{"takes loadings", DayTakes(Day{}, own), rx.WayName("loads").Words() + ", 2 loadings"},
		{"takes a blend", DayTakes(Day{Blends: make([]day.Blend, 2)}, own), "2 loadings, blend 2"},
		{"takes none", DayTakes(Day{}, none), "not served"},
		{"failed", DayTakes(Day{}, DayField{Err: errors.New("x")}), "failed"},
		{"not served, once for all", fmt.Sprint(DayReasons(Day{Fields: []DayField{
			{Path: "a.shp", Shared: -1, Why: []string{"x", "y"}, Hint: "wait"}, {Path: "b.shp", Shared: -1, Err: errors.New("b.shp: no"), Hint: "mend it"},
			{Path: "c.shp", Shared: -1, Why: []string{"x", "y"}, Hint: "wait"}, {Path: "d.shp", Shared: -1, Why: []string{"z"}, Hint: "wait"},
		}})), "[{Fields 1, 3 [x y] } {2 b.shp [no] mend it} {4 d.shp [z] fields 1, 3, 4: wait}]"},
		{"not served, by a hint of its own number", fmt.Sprint(DayReasons(Day{Fields: []DayField{one, {Path: "a.shp", Err: errors.New("job.yaml: no"), Hint: "mend it"}}})[0].Of), "2"},
		{"one name twice", strings.Join(DayNames(Day{Fields: []DayField{one, two, own}}), " "), "d/s.shp e/s.shp own.shp"},
		{"intended between", DaySharedText(shares(Day{Intended: rx.Range[unit.LiquidRate]{Min: 20, Max: 30}})), "Intended is 20 fl oz/ac to 30 fl oz/ac."},
		{"rough left-over", left(DayLeft{Left: day.Left{Rough: true}}), "its weight counts as dry, and it is not re-dosed. Not used: no field of its customer"},
		{"weighed left-over", left(DayLeft{Made: label.Date("2026-05-01")}), ", made 2026-05-01. Not used: no field of its customer that shares a loading of its blend has room for it on label."},
		{"left-over of nobody", left(DayLeft{}, rx.RunAsk{About: rx.AskLeft, Left: 1, Fields: []int{0}}, rx.RunAsk{About: rx.AskLeft, Left: 0, Fields: []int{4, 2}}), "Not used: nobody says that it was made for the customer of fields 3, 5."},
		{"left-over of one of two blends", DayLeftText(Day{Blends: make([]day.Blend, 2), Left: []DayLeft{{Left: day.Left{Blend: 0}}}}, 0), ", of blend 1 as the day's own job has it, since no job is named for it. "},
		{"left-over of another job's blend", DayLeftText(Day{Blends: make([]day.Blend, 2), Left: []DayLeft{{Left: day.Left{Blend: 1}, Job: 1}}}, 0), " of it dry, of blend 2. "},
		{"left-over of no blend", DayLeftText(Day{Blends: make([]day.Blend, 2), Left: []DayLeft{{Left: day.Left{Blend: -1}}}}, 0), " of it dry. "},
		{"left-over that can't be so", left(DayLeft{Failed: true, Why: "too much"}), "Not used, since it can't be so: too much. Correct"},
		{"many fields", fieldsText([]int{11, 1, 2, 7, 8, 9, 10, 4}), "fields 2, 3, 5, 8 to 12"},
		{"batches kept apart", askText(rx.RunAsk{About: rx.AskHold, Run: 1, Fields: []int{1, 0}, Now: 5, Then: 4}), "Run 2, fields 1, 2: 4 batches would do instead of 5, but"},
		{"left-over alone in a lot", lots(rx.Lot{Fields: []int{0}, Left: &rx.LotLeft{Of: 1}, Portion: rx.Portion{Count: 1, Liquid: 10}}), "|1||L2|10 fl oz"},
		{"left-over with dry", lots(rx.Lot{Fields: []int{0}, Left: &rx.LotLeft{Of: 1}, Portion: rx.Portion{Count: 1, Dry: 100, Liquid: 10}}), "|1||L2 + 100 lb|10 fl oz"},
		{"changes called for early", course(ground.Course{Dead: 2 * unit.Second, Ramp: 1 * unit.Second, Ahead: 4 * unit.Second}), "; a change of rate takes 3 s and is called for 4 s early."},
		{"changes called for in place", course(ground.Course{Dead: 2 * unit.Second}), "; a change of rate takes 2 s and is called for where the zone begins."},
		{"laps", course(ground.Course{Laps: 2, Sections: 2}), "; 2 laps around the field, then passes at 0° from north; shut by 2 sections."},
		{"look-ahead beside what was asked", LookAheadText(Ground{}, ground.LookAhead{Layer: layer, OffNow: 3, Asked: 2 * unit.Second, OffAsked: 5}), "3.00 ac miss their target by more than a tenth; 5.00 ac with the 2 s asked for."},
		{"no verdict", VerdictText(rx.NotGraded), "not graded: no label"},
		{"a liquid without a label", LiquidText(&rx.Graded{Liquid: rx.JobLiquid{Name: "aid", On: equip.OnBoom}, Stabilizer: rx.Range[unit.LiquidRate]{Min: 3, Max: 3}}, figures.In(unit.US)), "aid, in the boom's tank: 3.00 fl oz/ac, not graded: no label"},
		{"a liquid by its label", LiquidText(liquid(0), figures.In(unit.US)), "aid, on the blend at 40 fl oz/ton: 1.00 to 6.00 fl oz/ac, label 2.00 to 5.00: 7.00 ac below, 8.00 within, 9.00 above"},
		{"a liquid over its season", LiquidText(liquid(3), figures.In(unit.US)), "9.00 above, 3.00 of it " + SeasonText},
		{"a cost", "=" + CostText(&rx.Cost{High: 1234.5, PerAcre: 10}, figures.In(unit.US)), "=$1,234.50, $10.00/ac spread"},
		{"a cost without prices", CostText(&rx.Cost{High: 1, PerAcre: 1, Missing: []string{"a", "b"}, NotCounted: []string{"c", "d"}}, figures.In(unit.US)), "spread without a, b, not counted: c; d"},
		{"a cost in metric", CostText(&rx.Cost{High: 1, PerAcre: 10}, figures.In(unit.Metric)), ", $24.71/ha spread"},
		{"added alone", "=" + ChangeText(5, 0, figures.In(unit.US)) + "=", "=+5 lb="},
		{"removed alone", "=" + ChangeText(0, 5, figures.In(unit.US)) + "=", "=−5 lb="},
		{"added and removed", ChangeText(5, 6, figures.In(unit.US)), "+5 lb, −6 lb"},
		{"no share of nothing", "x" + ofUntreated(reading(0, 0)) + "x", "xx"},
		{"no share below nothing", "x" + ofUntreated(reading(-10, 5)) + "x", "xx"},
		{"a share of the untreated", ofUntreated(reading(150, 250)), " (+4.00 % of the untreated)"},
		{"a little liquid", figures.In(unit.Metric).Volume(unit.Liter / 2), "500 mL"},
		{"a liter", figures.In(unit.Metric).Volume(unit.Liter), "1.0 L"},
	} {
		if !strings.Contains(c.got, c.want) || c.want == "" && c.got != "" {
			t.Errorf("%s: got %q, want %q", c.what, c.got, c.want)
		}
	}
}

package data

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/geo/invent"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/readout"
)

// Of fields together, the chance that treating pays stands where the break-even is known, and
// there alone: at a break-even of the mean it is one half.
func TestChanceOfFieldsTogether(t *testing.T) {
	one := readout.Estimate{Differences: []float64{1, 2, 3, 4}, Mean: 2.5, SD: 1.2909944, SE: 0.6454972, Level: 0.95, Interval: &readout.Range{Low: 0.4457, High: 4.5543}}
	other, third := one, one
	other.Mean, third.Mean = 3.5, 3
	pooled, err := readout.Pool([]readout.Estimate{one, other, third}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	for _, even := range []*float64{nil, &pooled.Mean} {
		text, err := ReadoutManifest(report.Readout{Unit: "bu/ac", Pooled: &pooled, BreakEven: even, Fields: []report.ReadoutField{{Name: "north", Estimate: one}, {Name: "south", Estimate: other}}}, nil, "")
		var doc struct {
			Fields []struct{ What, Name, Unit string }
			Pooled struct {
				PPays *float64 `json:"p_pays"`
			}
		}
		if err == nil {
			err = json.Unmarshal(text, &doc)
		}
		if got := fmt.Sprint(doc.Fields); got != "[{yield north bu/ac} {yield south bu/ac}]" {
			t.Errorf("fields %s", got)
		}
		if got := doc.Pooled.PPays; err != nil || (got != nil) != (even != nil) || even != nil && math.Abs(*got-0.5) > 1e-9 {
			t.Errorf("%v: %s", err, text)
		}
	}
}

// A further liquid has the ground on which it passes its season maximum.
func TestSeasonOfAFurtherLiquid(t *testing.T) {
	r := reporttest.Plan(t, invent.FourZones(), "")
	r.Assessment.Further = []rx.Graded{{OverSeason: rx.Share{Area: 7 * unit.Acre}}}
	if list := liquidsOf(r); len(list) != 1 || list[0].Area.Season != 7 {
		t.Errorf("%+v", list)
	}
}

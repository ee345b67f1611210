package data

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

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

// Of each replicate first what is untreated, then what lies beside it, to the last digit.
func TestStripsAreThreePolygonsEach(t *testing.T) {
	ring := func(x float64) orb.Polygon {
		return orb.Polygon{{{x, 47}, {x + 0.5, 47}, {x, 47.123456789012}, {x, 47}}}
	}
	var b strings.Builder
	if err := StripsGeoJSON(&b, &rx.Strips{List: []rx.Strip{{Rep: 1, Read: ring(1), Beside: [2]orb.Polygon{ring(2), ring(3)}}, {Rep: 7, Read: ring(-4), Beside: [2]orb.Polygon{ring(5), ring(6)}}}}); err != nil {
		t.Fatal(err)
	}
	var lines []string
	for _, c := range []struct{ rep, treated, x int }{{1, 0, 1}, {1, 1, 2}, {1, 1, 3}, {7, 0, -4}, {7, 1, 5}, {7, 1, 6}} {
		half := fmt.Sprint(float64(c.x) + 0.5)
		lines = append(lines, fmt.Sprintf(`{"type":"Feature","properties":{"rep":%d,"treated":%d},"geometry":{"type":"Polygon","coordinates":[[[%[3]d,47],[%s,47],[%[3]d,47.123456789012],[%[3]d,47]]]}}`, c.rep, c.treated, c.x, half))
	}
	if want := "{\"type\":\"FeatureCollection\",\"features\":[\n" + strings.Join(lines, ",\n") + "\n]}\n"; b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

// A day that was written has its form, how it was made and what it was asked; anything else is none.
func TestOnlyAWrittenDayIsRead(t *testing.T) {
	text, err := dayDocument(report.Day{}, &DayMade{Parameters: json.RawMessage("{}")})
	if err != nil {
		t.Fatal(err)
	}
	marshaled, err := json.Marshal(json.RawMessage(text))
	if err != nil {
		t.Fatal(err)
	}
	whole := string(marshaled)
	if _, err := ParseDay([]byte(whole)); err != nil {
		t.Fatalf("%v: %s", err, whole)
	}
	shown, err := dayDocument(report.Day{}, nil) // on the screen
	for what, text := range map[string]string{
		"nothing": "", "no object": "[]", "torn": whole[:len(whole)-1], "of another form": strings.Replace(whole, daySchema, daySchema+"0", 1),
		"without its parameters": strings.Replace(whole, `"parameters":`, `"others":`, 1), "not written": string(shown),
	} {
		if f, got := ParseDay([]byte(text)); err != nil || got == nil || f != nil || got.Error() != "does not hold a day with its plans" {
			t.Errorf("%s: %v, %v", what, got, err)
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

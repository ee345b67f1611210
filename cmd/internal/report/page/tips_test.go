package page

import (
	"html"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// blocks are 450 zones in a row: three blocks of equal verdicts, and in the last one
// two zones of the first one's rate, too small to be pointed at.
func blocks() []rxtest.Ground {
	var list []rxtest.Ground
	for i := range 450 {
		g := rxtest.Ground{Acres: 0.4, Rate: 100}
		switch {
		case i == 300 || i == 400:
		case i >= 250:
			g.Rate = 180
		case i >= 200:
			g.Rate = 290 + 10*unit.DryRate(i%2)
		}
		list = append(list, g)
	}
	return list
}

// tips returns the titles of the shapes of a map, those of joined ones and those of
// the rest of a class.
func tips(t testing.TB, page []byte, id string) (joined, rest []string) {
	t.Helper()
	for _, m := range regexp.MustCompile(`<path[^>]* class="(r|z j)"[^>]*><title>([^<]*)</title>|<path class="(z j)"[^>]*><title>([^<]*)</title>`).FindAllStringSubmatch(mapOf(t, page, id), -1) {
		if m[1] == "r" {
			rest = append(rest, html.UnescapeString(m[2]))
			continue
		}
		joined = append(joined, html.UnescapeString(m[2]+m[4]))
	}
	return joined, rest
}

// TestJoinedShapesTell: stabilizer = loading x rate / 2000, 280 fl oz/ton given, so
// 14 at 100 lb/ac, 25.2 at 180, 40.6 and 42 at 290 and 300.
func TestJoinedShapesTell(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 280
	r := reporttest.PlanFor(t, rxtest.Read(t, rxtest.Strip(blocks()...)), terms, rx.WetBoom)
	page := pageOf(t, r)
	for _, test := range []struct {
		id           string
		joined, rest []string
	}{
		{"map-verdict", []string{
			"200 zones joined: 80.00 ac together, dry 100 lb/ac, stabilizer 14.0 fl oz/ac if impregnated, below the label",
			"99 zones joined: 39.60 ac together, dry 180 lb/ac, stabilizer 25.2 fl oz/ac if impregnated, within the label",
			"50 zones joined: 20.00 ac together, dry 180 lb/ac, stabilizer 25.2 fl oz/ac if impregnated, within the label",
			"49 zones joined: 19.60 ac together, dry 180 lb/ac, stabilizer 25.2 fl oz/ac if impregnated, within the label",
			"50 zones joined: 20.00 ac together, dry 290 to 300 lb/ac, stabilizer 40.6 to 42.0 fl oz/ac if impregnated, above the label",
		}, []string{"2 zones in smaller shapes of this class: 0.80 ac together, dry 100 lb/ac, stabilizer 14.0 fl oz/ac if impregnated, below the label"}},
		{"map-layer-liquid", []string{
			"450 zones joined: 180.00 ac together, dry 100 to 300 lb/ac, stabilizer 30.0 fl oz/ac by the plan, within the label",
		}, nil},
	} {
		joined, rest := tips(t, page, test.id)
		slices.Sort(joined)
		slices.Sort(test.joined)
		if !slices.Equal(joined, test.joined) || !slices.Equal(rest, test.rest) {
			t.Errorf("%s:\n got %s\n and %s\nwant %s\n and %s", test.id, strings.Join(joined, "\n     "), strings.Join(rest, "\n     "), strings.Join(test.joined, "\n     "), strings.Join(test.rest, "\n     "))
		}
	}
}

// TestJoinedShapesAddUp: each zone of a grid is counted in one shape of each map.
func TestJoinedShapesAddUp(t *testing.T) {
	r := reporttest.Plan(t, reporttest.Grid(t, 2500, 12), rx.Loads)
	page := pageOf(t, r)
	for _, id := range []string{"map-dry", "map-verdict", "map-layer-dry-1", "map-layer-dry-2", "map-ground"} {
		joined, rest := tips(t, page, id)
		zones, area := 0, 0.0
		for _, text := range append(joined, rest...) {
			if layer := strings.HasPrefix(id, "map-layer-"); layer && !strings.Contains(text, "no rate given") != strings.Contains(text, ", this layer ") || strings.Contains(text, " by the plan") != (layer || id == "map-ground") {
				t.Errorf("%s: %q", id, text)
			}
			m := regexp.MustCompile(`^(?:([\d,]+) zones (?:joined|in smaller shapes of this class)|Zone \d+): (?:under )?([\d.]+) ac`).FindStringSubmatch(text)
			if m == nil {
				t.Fatalf("%s: %q", id, text)
			}
			n, err := strconv.Atoi(strings.ReplaceAll(m[1], ",", ""))
			if err != nil {
				n = 1
			}
			acres, _ := strconv.ParseFloat(m[2], 64)
			zones, area = zones+n, area+acres
		}
		if zones != len(r.Prescription.Zones) || len(joined) < 3 {
			t.Errorf("%s: %d zones in %d shapes and the rest, want %d", id, zones, len(joined), len(r.Prescription.Zones))
		}
		if want := float64(r.Prescription.Area()); area < want-0.005*float64(len(joined)+len(rest)) || area > want+0.01*float64(len(joined)+len(rest)) {
			t.Errorf("%s: %.2f ac in all, want %.2f", id, area, want)
		}
	}
}

func TestTogetherCountsVerdicts(t *testing.T) {
	for _, test := range []struct {
		verdicts map[rx.Verdict]int
		want     string
	}{
		{map[rx.Verdict]int{rx.Within: 7}, "within the label"},
		{map[rx.Verdict]int{rx.Within: 1200, rx.Below: 3}, "3 below the label and 1,200 within the label"},
	} {
		var s together
		for v, n := range test.verdicts {
			s.verdicts[v] = n
			s.zones += n
		}
		parts := strings.Split(s.verdictsText(), " and ")
		want := strings.Split(test.want, " and ")
		slices.Sort(parts)
		slices.Sort(want)
		if !slices.Equal(parts, want) {
			t.Errorf("%v: %q, want %q", test.verdicts, s.verdictsText(), test.want)
		}
	}
	s := together{zones: 3, rated: 2, area: 0.001, dry: rx.Range[unit.DryRate]{Min: 90, Max: 95}}
	if got, want := s.start(rxtest.Plain(), figures.Quantities{}, "joined"), "3 zones joined: under 0.01 ac together, dry 90 to 95 lb/ac (1 without a rate)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// A pointer on the map is told both rates, that of all and that of the product which gets
// the stabilizer; a blend is one product, and is told one.
func TestTipsSideBySide(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 170}, rxtest.Ground{Acres: 5, Rate: 200})
	p.Fields = []rx.RateField{{Name: "UREA", Symbol: "lb/ac", Carrier: true}, {Name: "POTASH", Symbol: "lb/ac"}}
	p.Rates = []unit.DryRate{120, 50, 150, 50}
	p.Zones[0].Carrier, p.Zones[1].Carrier = 120, 150
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 400
	r := report.Result{Prescription: p, Assessment: rxtest.Grade(t, p, terms), Plan: &rx.Plan{Stabilizer: []unit.LiquidRate{24, 30}}}
	q := figures.Quantities{}
	for want, got := range map[string]string{
		"Zone 1: 10.00 ac, dry 170 lb/ac, 120 of it UREA, stabilizer 24.0 fl oz/ac if impregnated":                                                          zoneTip(r, q, 0),
		"Zone 1: 10.00 ac, dry 170 lb/ac, 120 of it UREA, stabilizer 24.0 fl oz/ac by the plan":                                                             planTip(r, q, 0),
		"2 zones joined: 15.00 ac together, dry 170 to 200 lb/ac, 120 to 150 of it UREA, stabilizer 24.0 to 30.0 fl oz/ac if impregnated, within the label": joinedTip(r, q, []int{0, 1}, "joined"),
	} {
		if got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
	// Each has a bin of its own, so the sum may be more than the spreader can.
	for want, limits := range map[reach]rx.Range[unit.DryRate]{asDrawn: {Min: 40, Max: 160}, outOfReach: {Min: 60, Max: 160}} {
		terms.Job = &equip.Job{Spreader: &equip.Spreader{Rates: label.Know(label.Range[unit.DryRate](limits))}}
		r.Assessment, r.Plan = rxtest.Grade(t, p, terms), nil
		layer := rx.Layer{Product: rx.Dry, Columns: []rx.RateColumn{{Field: 0}, {Field: 1}}}
		prescribed := reachOf(r, 0)
		if r.Plan = (&rx.Plan{Layers: []rx.Layer{layer}}); reachOf(r, 0) != want || prescribed != want {
			t.Errorf("%v lb/ac: %v as prescribed and %v as planned, want %v", limits, prescribed, reachOf(r, 0), want)
		}
	}
	p.Rates, p.Fields = nil, p.Fields[:1]
	if got := zoneTip(r, q, 0); strings.Contains(got, "UREA") {
		t.Errorf("one product is named apart: %s", got)
	}
}

// The tip of a joined shape has the lowest and the highest rate of a layer, whichever zone
// comes first.
func TestJoinedTipHasTheRangeOfALayer(t *testing.T) {
	r := reporttest.PlanFor(t, rxtest.Read(t, rxtest.Strip(blocks()...)), rxtest.Terms(rxtest.Label(t, "")), rx.WetBoom)
	for _, zones := range [][]int{{0, 260, 1}, {260, 0, 261}, {1, 0, 260}} {
		tip := joinedLayerTip(r, figures.In(r.Units), &r.Plan.Layers[0], zones, "joined")
		if !strings.HasSuffix(tip, ", this layer 100 to 180 lb/ac") {
			t.Errorf("zones %v: %q", zones, tip)
		}
	}
}

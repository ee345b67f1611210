package data

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/geo/invent"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// leaves lists the values of a JSON document by their paths: "ways[0].cost.low".
func leaves(t *testing.T, text []byte) map[string]string {
	t.Helper()
	var doc any
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	if err := dec.Decode(&doc); err != nil {
		t.Fatal(err)
	}
	list := map[string]string{}
	var walk func(at string, v any)
	walk = func(at string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for name, one := range v {
				walk(strings.TrimPrefix(at+"."+name, "."), one)
			}
		case []any:
			for i, one := range v {
				walk(fmt.Sprintf("%s[%d]", at, i), one)
			}
			list[at+".length"] = fmt.Sprint(len(v))
		default:
			list[at] = fmt.Sprint(v)
		}
	}
	walk("", doc)
	return list
}

// FourZones has 40, 60, 45 and 15 ac at 100, 180, 250 and 300 lb/ac; the label allows 20 to
// 40 fl oz/ac and 30 are meant. By hand: 40·100 + 60·180 + 45·250 + 15·300 = 30,550 lb over
// 160 ac are 190.9375 lb/ac; 30/190.9375·2000 = 314.24, by a meter of tenths 314.2 fl oz/ton,
// so that a zone gets 0.1571 fl oz a pound; 30,550·0.1571 = 4,799.405 fl oz. On label are
// 512 at most (20·2000/100 = 400 at least for the lowest, 40·2000/300 = 266.7 at most for the
// highest: no window). The boom takes 160·30 = 4,800 fl oz = 37.5 gal at $40, 160 ac of dry
// spreading at $7.50 and of boom at $4.
func TestCheckByHand(t *testing.T) {
	r := reporttest.Plan(t, invent.FourZones(), "")
	var out bytes.Buffer
	if err := Check(&out, r); err != nil {
		t.Fatal(err)
	}
	got := byWay(leaves(t, out.Bytes()))
	for path, want := range map[string]any{
		"schema": "rxsplit.check/2", "units.area": "ac", "units.dry_rate": "lb/ac", "units.dry_mass": "lb", "units.stabilizer_rate": "fl oz/ac", "units.stabilizer_volume": "fl oz", "units.loading": "fl oz/ton", "units.length": "ft",
		"label.min": 20, "label.max": 40, "loading.value": 314.2, "loading.from": "field-mean",
		"area.total": 160, "area.treated": 160, "area.below": 40, "area.within": 105, "area.above": 15, "area.no_dry": 0, "area.no_rate": 0, "area.over_season": 0,
		"dry.min": 100, "dry.max": 300, "dry.mean": 190.9375, "dry.mass": 30550,
		"stabilizer.min": 15.71, "stabilizer.max": 47.13, "stabilizer.mean": 29.99628125, "stabilizer.volume": 4799.405,
		"window": "<nil>", "window_with_room": "<nil>", "rate_error.value": 0, "rate_error.assumed": "false",
		"decision.impregnate": "false", "decision.best_way": "wet-boom", "decision.off_label_area": 55, "decision.room": "<nil>",
		"ways.length": len(equip.Ways()), "patches.length": 2, "zones.length": 4,
		"patches[0].verdict": "below", "patches[0].zones[0]": 1, "patches[0].area": 40, "patches[0].dry_min": 100, "patches[0].dry_max": 100, "patches[0].over_season": "false",
		"patches[1].verdict": "above", "patches[1].zones[0]": 4, "patches[1].area": 15, "patches[1].dry_min": 300, "patches[1].dry_max": 300,
		"zones[0].zone": 1, "zones[0].area": 40, "zones[0].dry_rate": 100, "zones[0].stabilizer_rate": 15.71, "zones[0].verdict": "below", "zones[0].tight": "false", "zones[0].over_season": "false",
		"zones[1].zone": 2, "zones[1].area": 60, "zones[1].dry_rate": 180, "zones[1].stabilizer_rate": 28.278, "zones[1].verdict": "within", "zones[1].tight": "false",
		"zones[2].zone": 3, "zones[2].area": 45, "zones[2].dry_rate": 250, "zones[2].stabilizer_rate": 39.275, "zones[2].verdict": "within", "zones[2].tight": "false",
		"zones[3].zone": 4, "zones[3].area": 15, "zones[3].dry_rate": 300, "zones[3].stabilizer_rate": 47.13, "zones[3].verdict": "above", "zones[3].tight": "false",
		"ways[wet-boom].way": "wet-boom", "ways[wet-boom].possible": "true", "ways[wet-boom].off_label_area": 0, "ways[wet-boom].left_off_area": 0, "ways[wet-boom].undeliverable_area": 0, "ways[wet-boom].passes": 1, "ways[wet-boom].loads": 0, "ways[wet-boom].fills": 4,
		"ways[wet-boom].rate_min": 30, "ways[wet-boom].rate_max": 30, "ways[wet-boom].stabilizer_volume": 4800, "ways[wet-boom].room": 1.0 / 3, "ways[wet-boom].dry_added": 0, "ways[wet-boom].dry_removed": 0,
		"ways[wet-boom].cost.low": 1500 + 1200 + 640, "ways[wet-boom].cost.area": 160, "ways[wet-boom].cost.items.length": 3,
		"ways[one-load].way": "one-load", "ways[one-load].possible": "false", "ways[one-load].state": "impossible", "ways[one-load].off_label_area": 55, "ways[one-load].room": "<nil>",
	} {
		if !near(got[path], want) {
			t.Errorf("%s is %q, want %v", path, got[path], want)
		}
	}
}

// byWay names what is said of a way by the way, not by its place.
func byWay(leaves map[string]string) map[string]string {
	named := maps.Clone(leaves)
	for i := 0; leaves[fmt.Sprintf("ways[%d].way", i)] != ""; i++ {
		place := fmt.Sprintf("ways[%d].", i)
		for path, text := range leaves {
			if rest, ok := strings.CutPrefix(path, place); ok {
				named["ways["+leaves[place+"way"]+"]."+rest] = text
			}
		}
	}
	return named
}

// near reports whether a value is the one that is wanted, a number within the rounding of
// acres.
func near(got string, want any) bool {
	var w, g float64
	switch v := want.(type) {
	case string:
		return got == v
	case int:
		w = float64(v)
	case float64:
		w = v
	}
	if _, err := fmt.Sscanf(got, "%g", &g); err != nil {
		return false
	}
	return g-w <= 1e-7*max(1, w) && w-g <= 1e-7*max(1, w)
}

// Every member of a way is the one that the way has, by a list that knows nothing of the
// struct: two that were exchanged, or one that was forgotten, is seen.
func TestEveryMemberOfAWay(t *testing.T) {
	for _, s := range []unit.System{unit.US, unit.Metric} {
		r := reporttest.Plan(t, invent.FourZones(), "")
		for i := range r.Ways {
			w := odd(r.Ways[i])
			text, err := Way(w, s)
			if err != nil {
				t.Fatal(err)
			}
			got := leaves(t, text)
			want := membersOf(w, s)
			for path, v := range want {
				if !near(got[path], v) {
					t.Errorf("%s: %s is %q, want %v", w.Name, path, got[path], v)
				}
			}
			for path := range got {
				if _, ok := want[path]; !ok && !strings.HasPrefix(path, "conditions") && !strings.HasPrefix(path, "same_as") && !strings.HasPrefix(path, "cost.missing") && !strings.HasPrefix(path, "cost.not") {
					t.Errorf("%s: no test knows %s, %q", w.Name, path, got[path])
				}
			}
		}
	}
}

// odd gives figures that are alike in most ways a value of their own.
func odd(w rx.Way) rx.Way {
	w.OffLabel, w.LeftOff, w.Undeliverable = 11*unit.Acre, 12*unit.Acre, 13*unit.Acre
	w.LeftZones, w.Batches, w.Fills, w.Passes, w.Minutes = []int{3, 5}, 21, 22, 23, 24
	w.DryAdded, w.DryRemoved, w.NAdded, w.NRemoved, w.NKnown = 31*unit.Pound, 32*unit.Pound, 33*unit.Pound, 34*unit.Pound, true
	w.Rate = rx.Range[unit.LiquidRate]{Min: 41 * unit.FluidOuncePerAcre, Max: 42 * unit.FluidOuncePerAcre}
	w.Stabilizer, w.Metered = 51*unit.FluidOunce, 52*unit.FluidOunce
	w.Driving = &rx.Driving{Length: 61 * unit.Foot, Turns: 62, Time: 63 * unit.Hour}
	w.Further = []rx.FurtherAmount{{Name: "x", Volume: 71 * unit.FluidOunce, Metered: 72 * unit.FluidOunce, Rate: rx.Range[unit.LiquidRate]{Min: 73 * unit.FluidOuncePerAcre, Max: 74 * unit.FluidOuncePerAcre}}}
	w.Cost = &rx.Cost{Low: 81, High: 82, PerAcre: 83, Area: 84 * unit.Acre, Items: []rx.CostItem{{What: "a", Of: "b", At: "e", Amount: 85}, {What: "c", Of: "d", At: "f", Amount: 86}}}
	return w
}

func membersOf(w rx.Way, s unit.System) map[string]any {
	want := map[string]any{
		"way": string(w.Name), "state": w.State.String(), "possible": fmt.Sprint(w.Possible()), "why": w.Why,
		"off_label_area": w.OffLabel.In(s), "left_off_area": w.LeftOff.In(s), "undeliverable_area": w.Undeliverable.In(s),
		"left_off_zones[0]": 3, "left_off_zones[1]": 5, "left_off_zones.length": 2, "loads": len(w.Loads), "batches": 21, "fills": 22, "passes": 23, "minutes": 24,
		"dry_added": w.DryAdded.In(s), "dry_removed": w.DryRemoved.In(s), "n_added": w.NAdded.In(s), "n_removed": w.NRemoved.In(s),
		"rate_min": w.Rate.Min.In(s), "rate_max": w.Rate.Max.In(s), "stabilizer_volume": w.Stabilizer.In(s), "stabilizer_metered": w.Metered.In(s),
		"driving.length": w.Driving.Length.In(s), "driving.turns": 62, "driving.hours": 63,
		"liquids.length": 1, "liquids[0].name": "x", "liquids[0].volume": w.Further[0].Volume.In(s), "liquids[0].metered": w.Further[0].Metered.In(s),
		"liquids[0].rate_min": w.Further[0].Rate.Min.In(s), "liquids[0].rate_max": w.Further[0].Rate.Max.In(s),
		"cost.low": 81, "cost.high": 82, "cost.per_area_high": 83 / unit.Acre.In(s), "cost.area": w.Cost.Area.In(s), "cost.items.length": 2,
		"cost.items[0].what": "a", "cost.items[0].of": "b", "cost.items[0].at": "e", "cost.items[0].amount": 85, "cost.items[1].what": "c", "cost.items[1].of": "d", "cost.items[1].at": "f", "cost.items[1].amount": 86,
		"room": "<nil>",
	}
	if w.Possible() {
		want["room"] = float64(w.Room)
	}
	if len(w.Loads) > 0 {
		want["loadings.length"] = len(w.Loads)
	}
	for i, l := range w.Loads {
		want[fmt.Sprintf("loadings[%d]", i)] = l.Loading.In(s)
	}
	return want
}

// The row of the summary counts what the check holds.
func TestRow(t *testing.T) {
	r := reporttest.Plan(t, invent.FourZones(), "")
	row := RowOf("field.shp", r)
	flagged := 0
	for _, f := range r.Findings {
		if f.Severity != rx.Note {
			flagged++
		}
	}
	if row.Status != "off label" || row.Path != "field.shp" || row.Zones != 4 || row.Findings != flagged || flagged == 0 || row.Errors != report.FileErrors(r.Findings) || row.Error != "" {
		t.Errorf("got %+v, want 4 zones off label, %d findings", row, flagged)
	}
	for v, want := range map[*float64]float64{&row.Area.Below: 40, &row.Area.Within: 105, &row.Area.Above: 15, &row.Area.Total: 160, &row.Loading.Value: 314.2} {
		if !near(fmt.Sprint(*v), want) {
			t.Errorf("got %v, want %v", *v, want)
		}
	}
}

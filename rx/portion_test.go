package rx_test

import (
	"reflect"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// A dose is the nearest whole fluid ounce that stays on label, by hand at 320 fl oz/ton
// and 20 to 40 fl oz/ac: 250 lb/ac allow no more than that, 125 lb/ac no less.
func TestDoseStaysOnLabel(t *testing.T) {
	terms := rx.Terms{Label: &label.Profile{Rate: label.Range[unit.LiquidRate]{Min: 20, Max: 40}}}
	for _, c := range []struct {
		mass  unit.Mass
		rates rx.Range[unit.DryRate]
		want  unit.Volume
	}{
		{1003, rx.Range[unit.DryRate]{Min: 150, Max: 240}, 160},   // 160.48
		{1005, rx.Range[unit.DryRate]{Min: 150, Max: 240}, 161},   // 160.8
		{1005, rx.Range[unit.DryRate]{Min: 150, Max: 250}, 160},   // 161 is 320.4 fl oz/ton
		{1003, rx.Range[unit.DryRate]{Min: 125, Max: 200}, 161},   // 160 is 319.04 fl oz/ton
		{1005, rx.Range[unit.DryRate]{Min: 125, Max: 250}, 160.8}, // 320 alone: a tenth
	} {
		_, one, _ := terms.Batches(rx.Load{Loading: 320, Mass: c.mass, Rates: c.rates})
		if off := one.Liquid - c.want; off > 1e-9 || off < -1e-9 || one.Dry != c.mass || one.Count != 1 {
			t.Errorf("%v at %v: got %+v, want %v", c.mass, c.rates, one, c.want)
		}
	}
}

// What all batches make is that of one, as often as there are batches; the one stays as it is.
func TestTotalOfBatches(t *testing.T) {
	one := rx.Portion{
		Count: 3, Dry: 2000, Liquid: 320, Agent: 10,
		Further: []rx.Metered{{Liquid: 16, Agent: 2}, {Liquid: 5}}, Materials: []unit.Mass{1500, 500},
	}
	want := rx.Portion{
		Count: 3, Dry: 6000, Liquid: 960, Agent: 30,
		Further: []rx.Metered{{Liquid: 48, Agent: 6}, {Liquid: 15}}, Materials: []unit.Mass{4500, 1500},
	}
	if got := one.Total(); !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if one.Further[0].Liquid != 16 || one.Materials[0] != 1500 {
		t.Errorf("one batch was changed: %+v", one)
	}
	if got := one.AgentInAll(); got != 12 {
		t.Errorf("agent for all liquids of a batch: got %v, want 12 lb", got)
	}
}

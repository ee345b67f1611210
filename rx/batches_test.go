package rx_test

import (
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// A drum is filled by the bulk density that treated product may have in humid weather,
// 48 less 8 lb/ft³: 100 ft³ hold 4000 lb, so that 9000 lb are 3 batches. At 48 it would
// be 2.
func TestDrumIsFilledByTreatedDensity(t *testing.T) {
	load := rx.Load{
		Loading: 320, Mass: 9000, Rates: rx.Range[unit.DryRate]{Min: 150, Max: 200},
		Materials: equip.Blend{{Name: "urea", Share: 1, Density: label.Know(48 * unit.PoundPerCubicFoot)}},
	}
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Job = &equip.Job{Blender: &equip.Blender{Batch: 5 * unit.Ton, Drum: label.Know(100 * unit.CubicFoot)}}
	batches, one, ok := terms.Batches(load)
	if !ok || batches.Count != 3 || batches.Limit != equip.ByDrum || one.Dry != 3000 || one.Liquid != 480 {
		t.Errorf("got %+v of %+v", batches, one)
	}
	half, one, ok := terms.HalfBatches(load) // of 2000 lb at most
	if !ok || half.Count != 5 || one.Dry != 1800 {
		t.Errorf("half batches: got %+v of %+v", half, one)
	}
}

// The drum holds treated product: liquid and drying agent take part of its weight, and no
// room is left for as much dry. By hand: 320 fl oz/ton at 9 lb/gal is 22.5 lb a ton, with
// 1 lb of agent a pint 42.5 lb; 4000 lb of treated product hold 3916.8 lb of dry, so that
// 7900 lb are 3 batches. A further 64 fl oz/ton at 10 lb/gal is 9 lb more: 3899.6 lb.
func TestDrumHoldsTheLiquidToo(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "density: 9 lb/gal\n"))
	terms.Job = &equip.Job{Blender: &equip.Blender{Batch: 5 * unit.Ton, Drum: label.Know(100 * unit.CubicFoot)}}
	load := rx.Load{
		Loading: 320, Rates: rx.Range[unit.DryRate]{Min: 150, Max: 200},
		Materials: equip.Blend{{Name: "urea", Share: 1, Density: label.Know(48 * unit.PoundPerCubicFoot)}},
	}
	second := rxtest.Further(64)
	second[0].Density = label.Know(10 * unit.PoundPerGallon)
	for _, c := range []struct {
		mass   unit.Mass
		second []rx.JobLiquid
		want   int
	}{
		{7830, nil, 2},
		{7900, nil, 3},
		{7830, second, 3},
		{7790, second, 2},
	} {
		load.Mass, terms.Further = c.mass, c.second
		load.Further = terms.Fixed(320)[1:]
		if batches, _, ok := terms.Batches(load); !ok || batches.Count != c.want || batches.Limit != equip.ByDrum {
			t.Errorf("%v lb, further liquid %v: got %+v, want %d", float64(c.mass), c.second != nil, batches, c.want)
		}
	}
}

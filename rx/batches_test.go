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

package equip_test

import (
	"fmt"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Sixty acres take one full tank and a partial one; the stabilizer is part of the
// volume.
func ExampleBoom_Fills() {
	boom := equip.Boom{Volume: 10 * unit.GallonPerAcre, Tank: 500 * unit.Gallon}
	fills, err := boom.Fills(60*unit.Acre, 30*unit.FluidOuncePerAcre)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range []equip.Fill{fills.Full, fills.Last} {
		fmt.Printf("%v, %v of stabilizer, %.2f gal of water\n", f.Area, f.Product, float64(f.Water/unit.Gallon))
	}
	// Output:
	// 50 ac, 1500 fl oz of stabilizer, 488.28 gal of water
	// 10 ac, 300 fl oz of stabilizer, 97.66 gal of water
}

// Ten tons in a blender of three are four equal batches.
func ExampleBlender_Batches() {
	blender := equip.Blender{Batch: 3 * unit.Ton, Drum: label.Know(150 * unit.CubicFoot)}
	batches, err := blender.Batches(10*unit.Ton, label.Know(43*unit.PoundPerCubicFoot))
	if err != nil {
		fmt.Println(err)
		return
	}
	loading := 320 * unit.FluidOuncePerTon
	fmt.Println(batches.Count, "batches of", batches.Each, "with", unit.Uptake(loading, batches.Each))
	// Output: 4 batches of 5000 lb with 800 fl oz
}

package equip

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// testBoom is invented: 15 gal/ac at 6 mph, 20 in apart, is 0.30303 gal/min a nozzle,
// which a 0.40 gal/min nozzle gives at 22.957 psi.
func testBoom() Boom {
	return Boom{
		Width: 60 * unit.Foot, Spacing: 20 * unit.Inch, Volume: 15 * unit.GallonPerAcre, Tank: 500 * unit.Gallon,
		Nozzles:  []nozzle{"04", "03", "02"},
		Pressure: label.Range[unit.Pressure]{Min: 15, Max: 60},
		Speed:    Speeds{Low: 5, Usual: 6, High: 8},
	}
}

func TestFits(t *testing.T) {
	fits := testBoom().Fits(WaterDensity)
	for i, want := range []struct {
		nozzle       nozzle
		holds, usual bool
		pressure     float64 // at 6 mph
	}{
		// 40·(0.30303/0.4)² is 22.957; from 5 to 8 mph it is 15.94 to 40.81 psi.
		{"04", true, true, 22.957},
		// 40·(0.30303/0.3)² is 40.812; at 8 mph 72.56 psi, over 60.
		{"03", false, true, 40.812},
		// 40·(0.30303/0.2)² is 91.827; at 5 mph 63.77 psi, over 60.
		{"02", false, false, 91.827},
	} {
		f := fits[i]
		if f.Nozzle != want.nozzle || f.Holds != want.holds || f.Usual != want.usual {
			t.Errorf("got %+v, want %+v", f, want)
		}
		if math.Abs(float64(f.At[1].Pressure)-want.pressure) > 5e-4 {
			t.Errorf("%s: got %v, want %v psi", f.Nozzle, f.At[1].Pressure, want.pressure)
		}
	}
}

func TestFitTooLarge(t *testing.T) {
	f := testBoom().fit("10", WaterDensity) // 40·(0.40404/1.0)² is 6.53 psi at 8 mph
	if f.Holds || f.Usual || math.Abs(float64(f.At[2].Pressure)-6.53) > 5e-3 {
		t.Errorf("got %+v", f)
	}
}

// TestFitOfHeavyMix: pressure grows with specific gravity, P·SG, since the flow of
// water that gives the same is √SG times as much.
func TestFitOfHeavyMix(t *testing.T) {
	f := testBoom().fit("04", 1.2*WaterDensity)
	if got := float64(f.At[1].Pressure); math.Abs(got-22.957*1.2) > 1e-3 {
		t.Errorf("got %v, want %v psi", got, 22.957*1.2)
	}
}

// TestFitAgrees: at the ends of the speeds that a fit promises, the pressure is at
// the ends of its range; and over the whole speed range at the ends of the volumes it
// promises (the boom's pressure range spans more than the square of its speeds).
func TestFitAgrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := testBoom()
		b.Volume = unit.LiquidRate(rapid.Float64Range(500, 4000).Draw(t, "volume"))
		mix := unit.Density(rapid.Float64Range(7, 12).Draw(t, "mix"))
		f := b.fit(rapid.SampledFrom(nozzleSizes).Draw(t, "nozzle"), mix)
		atSpeeds := b
		atSpeeds.Speed.Low, atSpeeds.Speed.High = f.Speeds.Min, f.Speeds.Max
		g := atSpeeds.fit(f.Nozzle, mix)
		if math.Abs(float64(g.At[0].Pressure)-15) > 1e-6 || math.Abs(float64(g.At[2].Pressure)-60) > 1e-6 || !g.Holds {
			t.Fatalf("speeds %v: got %+v", f.Speeds, g)
		}
		for _, volume := range []unit.LiquidRate{f.Volume.Min, f.Volume.Max} {
			b.Volume = volume
			if g := b.fit(f.Nozzle, mix); !g.Holds {
				t.Fatalf("volume %v: got %+v", volume, g)
			}
		}
	})
}

func TestOthers(t *testing.T) {
	b := testBoom()
	b.Nozzles = []nozzle{"02"}
	var got []string
	for _, f := range b.Others(WaterDensity) {
		got = append(got, string(f.Nozzle))
	}
	if strings.Join(got, " ") != "04" {
		t.Errorf("got %v, want 04 alone", got)
	}
}

func TestSpansTooMuch(t *testing.T) {
	b := testBoom()
	b.Speed = Speeds{Low: 5, Usual: 7, High: 10} // 4 times the pressure, as the range has
	if b.SpansTooMuch() {
		t.Error("twice the speed is too much for four times the pressure")
	}
	b.Speed.High = 10.01
	if !b.SpansTooMuch() {
		t.Error("more than twice the speed is not too much for four times the pressure")
	}
}

func TestNozzle(t *testing.T) {
	for text, want := range map[string]unit.Flow{"01": 0.1, "015": 0.15, "025": 0.25, "03": 0.3, " 10 ": 1, "20": 2} {
		var n nozzle
		if err := n.UnmarshalText([]byte(text)); err != nil || n.Flow() != want {
			t.Errorf("%q: got %v, %v", text, n.Flow(), err)
		}
	}
	for _, text := range []string{"", "3", "33", "11003", "red"} {
		var n nozzle
		if err := n.UnmarshalText([]byte(text)); err == nil {
			t.Errorf("%q was taken", text)
		}
	}
	if got := testBoom().NozzleCount(); got != 36 {
		t.Errorf("got %d nozzles on 60 ft, want 36", got)
	}
}

// TestFills: exact arithmetic; 500 gal at 5 gal/ac are 100 ac, with 3000 fl oz of
// product and 476.5625 gal of water.
func TestFills(t *testing.T) {
	b := Boom{Volume: 5 * unit.GallonPerAcre, Tank: 500 * unit.Gallon}
	full := Fill{Area: 100, Product: 3000, Water: 476.5625 * unit.Gallon}
	for _, c := range []struct {
		area  unit.Area
		count int
		last  Fill
	}{
		{160, 1, Fill{Area: 60, Product: 1800, Water: 285.9375 * unit.Gallon}},
		{200, 2, Fill{}},
		{40, 0, Fill{Area: 40, Product: 1200, Water: 190.625 * unit.Gallon}},
		{0, 0, Fill{}},
	} {
		got, err := b.Fills(c.area, 30*unit.FluidOuncePerAcre)
		if err != nil || !reflect.DeepEqual(got.Full, full) || got.Count != c.count || !nearFill(got.Last, c.last) {
			t.Errorf("%v: got %+v, %v", c.area, got, err)
		}
		if !nearFill(got.Total(), Fill{Area: c.area, Product: 30 * unit.Volume(c.area), Water: 610 * unit.Volume(c.area)}) {
			t.Errorf("%v: the fills make %+v", c.area, got.Total())
		}
		if want := c.count + int(math.Ceil(math.Min(float64(c.last.Area), 1))); got.Number() != want {
			t.Errorf("%v: got %d fills, want %d", c.area, got.Number(), want)
		}
	}
}

func nearFill(a, b Fill) bool {
	return math.Abs(float64(a.Area-b.Area)) < 1e-9 && math.Abs(float64(a.Product-b.Product)) < 1e-9 && math.Abs(float64(a.Water-b.Water)) < 1e-9
}

func TestFillsRefuse(t *testing.T) {
	for _, c := range []struct {
		boom    Boom
		area    unit.Area
		product unit.LiquidRate
		want    string
	}{
		{Boom{Volume: 20, Tank: 500}, 1, 30, "30 fl oz/ac of product is more than the volume of the whole mix, 20 fl oz/ac"},
		{Boom{Volume: 640, Tank: 0}, 1, 30, "a tank of 0 fl oz can't be emptied at 640 fl oz/ac"},
		{Boom{Volume: 0, Tank: 500}, 1, 0, "can't be emptied"},
		{Boom{Volume: 640, Tank: 0.5}, 1000, 30, "a tank of 0.5 fl oz takes more than 1000000 fillings for 1000 ac"},
		{Boom{Volume: 640, Tank: 500}, unit.Area(math.NaN()), 30, "takes more than 1000000 fillings"},
	} {
		got, err := c.boom.Fills(c.area, c.product)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("want %q: got %+v, %v", c.want, got, err)
		}
	}
}

// TestMixDensity: 30 fl oz of 9 lb/gal in 640 fl oz, by hand: (30·9 + 610·8.3454)/640.
func TestMixDensity(t *testing.T) {
	if got := MixDensity(640, 30, 9); math.Abs(float64(got)-8.376088) > 1e-5 {
		t.Errorf("got %v, want 8.376088 lb/gal", got)
	}
	if got := MixDensity(640, 0, 9); got != WaterDensity {
		t.Errorf("got %v of water alone", got)
	}
}

// 60 ft at 5 mph and a field efficiency of 65 % are 23.6 ac/h, a worked example of Iowa State University
// Extension, "Estimating the Field Capacity of Farm Machines" (from memory): 36.36 ac/h without turns.
func TestCovers(t *testing.T) {
	boom := Boom{Width: 60 * unit.Foot, Speed: Speeds{Usual: 5 * unit.MilePerHour}}
	spreader := Spreader{Swath: 60 * unit.Foot, Speed: Speeds{Usual: 5 * unit.MilePerHour}}
	for _, took := range []unit.Time{boom.Covers(23.6 * unit.Acre), spreader.Covers(23.6 * unit.Acre)} {
		if share := float64(took / unit.Hour); math.Abs(share-0.65) > 0.0015 { // a tenth of an acre an hour
			t.Errorf("23.6 ac take %v h of an hour, want 0.65", share)
		}
	}
}

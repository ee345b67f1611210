package equip

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"rxsplit/label/unit"
)

// Both ends of the volumes of a size are held, in whole steps, and a step further out is
// not, whatever the mix weighs; a size that spans too little has none.
func TestVolumesAreHeld(t *testing.T) {
	boom := Boom{Width: 60, Spacing: 15 * unit.Inch, Volume: 8 * unit.GallonPerAcre, Tank: 350, Speed: Speeds{Low: 9, Usual: 13, High: 17}}
	boom.Pressure.Min, boom.Pressure.Max = 18, 65
	for _, s := range []unit.System{unit.US, unit.Metric} {
		for _, heavy := range []unit.Density{WaterDensity, 8.6 * unit.PoundPerGallon, 16 * unit.PoundPerGallon} {
			mix := func(volume unit.LiquidRate) unit.Density { return MixDensity(volume, 2*unit.GallonPerAcre, heavy) }
			for _, n := range []nozzle{"03", "04", "10"} {
				step := VolumeStep(s)
				r, ok := boom.Volumes(n, step, mix)
				if !ok {
					t.Errorf("%s: none", n)
					continue
				}
				for volume, want := range map[unit.LiquidRate]bool{r.Min: true, r.Max: true, r.Min - step: false, r.Max + step: false} {
					if got := boom.holdsAt(n, volume, mix); got != want {
						t.Errorf("%s of %v: %v gal/ac is held: %v, want %v", n, float64(heavy), float64(volume/unit.GallonPerAcre), got, want)
					}
				}
			}
		}
	}
	boom.Pressure.Max = 30 // (17/9)² is 3.57
	if r, ok := boom.Volumes("03", VolumeStep(unit.US), func(unit.LiquidRate) unit.Density { return WaterDensity }); ok {
		t.Errorf("got %v", r)
	}
}

// What the check of a job file suggests is accepted by it.
func TestSuggestedVolumesPass(t *testing.T) {
	for _, pressure := range []string{"{min: 20 psi, max: 70 psi}", "{min: 21 psi, max: 71 psi}", "{min: 22.5 psi, max: 73 psi}"} {
		text := strings.Replace(job, "nozzles: [04, 05, \"06\"]\n  pressure: {min: 15 psi, max: 70 psi}", "nozzles: [05]\n  pressure: "+pressure, 1)
		_, odd, err := CheckJob("j", []byte(text))
		if err != nil || len(odd) != 1 {
			t.Fatalf("%s: %v %+v", pressure, err, odd)
		}
		m := regexp.MustCompile(`05 would hold ([0-9.]+) gal/ac to ([0-9.]+) gal/ac`).FindStringSubmatch(odd[0].Text)
		if m == nil {
			t.Fatalf("%s: nothing is suggested: %s", pressure, odd[0].Text)
		}
		for _, volume := range m[1:] {
			set := regexp.MustCompile(`volume: [0-9.]+ gal/ac`).ReplaceAllString(text, fmt.Sprintf("volume: %s gal/ac", volume))
			if _, odd, err := CheckJob("j", []byte(set)); set == text || err != nil || len(odd) > 0 {
				t.Errorf("%s: %s gal/ac is suggested, and then: %v %+v", pressure, volume, err, odd)
			}
		}
	}
}

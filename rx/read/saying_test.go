package read

import (
	"slices"
	"testing"

	"rxsplit/rx/equip"
)

// What names of fields say, in every spelling that is known: of N, of a material, of neither.
func TestWhatNamesSay(t *testing.T) {
	for name, want := range map[string]string{
		"N": "N", "n_rate": "N", "RATE_N": "N", "NITRO": "N", "nitrogen": "N", "TotalNitrogen": "N", "Acten": "N", "NH3": "N", "nh": "N", "NRATE": "N", "NLBSAC": "N", "NITROLBS": "N", "nitrorate": "N",
		"LBSN": "N", "rateN": "N", "UNITSN": "N", "TargetN": "N", "lbacn": "N", "nrx": "N",
		"NAME": "", "NUMBER": "", "Zone": "", "PLAN": "", "NOTE": "", "nitrous": "", "nhx": "", "grain": "", "nit": "",
		"UREA": "urea", "UREALBS": "urea", "urea_rate": "urea", "UREAX": "", "MAP": "map", "DAP_lbac": "dap", "potash": "potash", "Ammonium Sulfate": "ammonium sulfate", "ammonium": "", "UREA_N": "N", "K": "",
	} {
		got := namedMaterial(name)
		if speaksOfN(name) {
			got += "N"
		}
		if got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	for word, want := range map[string]bool{"": false, "rate": true, "lbac": true, "ratelbac": true, "xrate": false, "ratex": false, "kgha": true, "peracre": true, "r": false} {
		if got := ofRate(word); got != want {
			t.Errorf("of rates and units alone: %q: %v", word, got)
		}
	}
	names := []string{"Time Stamp", "TIME_STAMP", "time-stamp", "time.stamp", "time/stamp", "Speed"}
	if got := meant(names, "timestamp date"); len(got) != 4 {
		t.Errorf("%q are meant", got)
	}
}

// A place lies on the earth, its ends with it.
func TestPlacesThatAreSaid(t *testing.T) {
	for words, want := range map[string]bool{
		"47.5 -90.25": true, "90.0, 180.0": true, "-90.0 -180.0": true, "90.1 0.0": false, "0.0 180.1": false, "-90.1 10.0": false, "10.0 -180.1": false, "91.0 181.0": false, "north": false, "47 90": false,
	} {
		if p, ok := placeSaid(words); ok != want {
			t.Errorf("%s: %v, %v", words, p, ok)
		}
	}
	for text, want := range map[string]int{"1": 0, "1.": 0, "1.25": 2, "12.5e3": 15, "12.5E3": 15, "1e3": 15, "-0.125": 3} {
		if got := decimals([]byte(text)); got != want {
			t.Errorf("%s has %d decimals, want %d", text, got, want)
		}
	}
}

// The shares of N that rates are held against are those of the grades in use: urea, ammonium nitrate, two
// solutions, calcium ammonium nitrate, ammonium sulfate, DAP and MAP (common grades, no source).
func TestSharesOfN(t *testing.T) {
	shares := nitrogenShares()
	for _, grade := range []string{"46-0-0", "34-0-0", "32-0-0", "28-0-0", "27-0-0", "21-0-0-24S", "18-46-0", "11-52-0"} {
		g, err := equip.ParseGrade(grade)
		if err != nil || !slices.Contains(shares, float64(g.N)) {
			t.Errorf("%s: %v, %v", grade, g, err)
		}
	}
	if len(shares) != 8 {
		t.Errorf("%v", shares)
	}
}

package read

import (
	"strings"
	"testing"
)

// A name in other capitals stands for a field only where no field is spelled so, and
// where no other is as near.
func TestNamed(t *testing.T) {
	for _, c := range []struct {
		meant   string
		names   []string
		at      int
		several bool
	}{
		{"Rate", []string{"RATE", "Rate", "rate"}, 1, false},
		{"rate", []string{"A", "RATE"}, 1, false},
		{"Rate", []string{"RATE", "rate"}, -1, true},
		{"RATE", []string{"RATE", "A", "RATE"}, -1, true},
		{"B", []string{"A"}, -1, false},
	} {
		if at, several := named(c.names, c.meant); at != c.at || several != c.several {
			t.Errorf("%q of %q: %d, %v, want %d, %v", c.meant, c.names, at, several, c.at, c.several)
		}
	}
}

// Two fields whose names differ in capitals alone are two products, and the carrier is
// the one that is spelled as it was named.
func TestCarrierIsSpelledAsNamed(t *testing.T) {
	fields := Options{RateFields: []string{"Urea_a", "Urea_A"}, RateUnit: "lb/ac"}
	for carrier, want := range map[string]float64{"Urea_a": 100, "Urea_A": 50} {
		opt := fields
		opt.Carrier = carrier
		p := prescription(t, field(`"Urea_a":100,"Urea_A":50`, `"Urea_a":250,"Urea_A":0`), opt)
		if got := float64(p.Zones[0].Carrier); got != want {
			t.Errorf("--carrier %s: %v lb/ac, want %v", carrier, got, want)
		}
	}
}

func TestNamesThatAreTwoFields(t *testing.T) {
	text := field(`"Rate":100,"rate":50`, `"Rate":250,"rate":0`)
	for _, c := range []struct {
		opt  Options
		want string
	}{
		{Options{RateFields: []string{"RATE"}}, "--rate-field RATE can be more than one field"},
		{Options{RateFields: []string{"Rate", "rate"}, Carrier: "RATE"}, "--carrier RATE can be more than one field"},
	} {
		if _, err := Prescription(open(t, text), c.opt); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: %v, want %q", c.opt, err, c.want)
		}
	}
}

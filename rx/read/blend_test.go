package read

import (
	"math"
	"strings"
	"testing"

	"rxsplit/label/unit"
)

// Several fields are one blend only if each one's share is the same in every
// zone, within a millionth.
func TestBlend(t *testing.T) {
	for _, c := range []struct {
		name, text string
		shares     []unit.Ratio // nil where the carrier is asked for
	}{
		{"in proportion", field(`"A":100,"B":50`, `"A":200,"B":100`, `"A":0,"B":0`), []unit.Ratio{2. / 3, 1. / 3}},
		{"within a millionth", field(`"A":100,"B":50`, `"A":200.0003,"B":100`), []unit.Ratio{2. / 3, 1. / 3}},
		{"beyond a millionth", field(`"A":100,"B":50`, `"A":200.002,"B":100`), nil},
		{"one of them alone somewhere", field(`"A":100,"B":50`, `"A":200,"B":0`), nil},
		{"a null decides nothing", field(`"A":100,"B":50`, `"A":null,"B":70`), []unit.Ratio{2. / 3, 1. / 3}},
		{"one of them never", field(`"A":100,"B":0`, `"A":200,"B":0`), []unit.Ratio{1, 0}},
	} {
		p, err := Prescription(open(t, c.text), Options{RateFields: []string{"A", "B"}, RateUnit: "lb/ac"})
		if err != nil {
			if c.shares != nil || !strings.Contains(err.Error(), "side by side") {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		if c.shares == nil {
			t.Errorf("%s: taken as a blend", c.name)
			continue
		}
		if !p.Blend() || p.CarrierField() != -1 {
			t.Errorf("%s: no blend", c.name)
		}
		for i, want := range c.shares {
			if got := p.Fields[i].Share; math.Abs(float64(got-want)) > 1e-6 {
				t.Errorf("%s: share %d is %v, want %v", c.name, i, got, want)
			}
		}
		if z := p.Zones[0]; z.Carrier != z.Dry {
			t.Errorf("%s: carrier %v of %v", c.name, z.Carrier, z.Dry)
		}
	}
}

// Spread side by side, the stabilizer rides on the carrier; the dry rate is the
// sum, and a null in any field makes it a null.
func TestSideBySide(t *testing.T) {
	text := field(`"A":100,"B":50`, `"A":250,"B":0`, `"A":null,"B":70`, `"A":80,"B":null`, `"A":0,"B":60`)
	p := prescription(t, text, Options{RateFields: []string{"A", "B"}, RateUnit: "lb/ac", Carrier: "b"})
	if p.Blend() || p.CarrierField() != 1 || !p.Fields[1].Carrier || p.Fields[0].Carrier {
		t.Fatalf("fields %+v, want B as the carrier", p.Fields)
	}
	nan := math.NaN()
	for i, want := range []struct{ dry, carrier, a, b float64 }{
		{150, 50, 100, 50}, {250, 0, 250, 0}, {nan, nan, nan, 70}, {nan, nan, 80, nan}, {60, 60, 0, 60},
	} {
		z := p.Zones[i]
		got := []float64{float64(z.Dry), float64(z.Carrier), float64(p.FieldRate(i, 0)), float64(p.FieldRate(i, 1))}
		for j, w := range []float64{want.dry, want.carrier, want.a, want.b} {
			if got[j] != w && !(math.IsNaN(got[j]) && math.IsNaN(w)) {
				t.Errorf("zone %d: %v, want %v", i+1, got, want)
				break
			}
		}
		if z.HasRate() == math.IsNaN(want.dry) || z.Treated() != (want.carrier > 0) {
			t.Errorf("zone %d: has a rate %v, is treated %v", i+1, z.HasRate(), z.Treated())
		}
	}
}

// Each product has its own analysis, in the order of the fields.
func TestBlendOfNutrients(t *testing.T) {
	p := prescription(t, field(`"A":46,"B":18`, `"A":92,"B":36`), Options{
		RateFields: []string{"A", "B"}, RateUnit: "lb/ac", RateOf: "N", Analysis: []string{"46-0-0", "18-46-0"},
	})
	if !about(p.Zones[0].Dry, 200) || !about(p.Zones[1].Dry, 400) || !about(p.FieldRate(1, 1), 200) || math.Abs(float64(p.Fields[0].Share)-0.5) > 1e-9 {
		t.Errorf("zones %v, fields %+v: want 200 and 400 lb/ac, half and half", p.Zones, p.Fields)
	}
}

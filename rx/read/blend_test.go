package read

import (
	"math"
	"slices"
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
		{"beyond a millionth", field(`"A":100.0001,"B":50.0001`, `"A":200.0052,"B":100.0002`), nil},
		{"beyond what its digits hide", field(`"A":100,"B":50`, `"A":202,"B":100`, `"A":301,"B":152`), nil},
		{"low rates, whose digits hide anything", field(`"A":1,"B":1`, `"A":2,"B":1`), nil},
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

// One product is all of its blend, also where it is named as the carrier.
func TestCarrierOfOneProduct(t *testing.T) {
	for _, carrier := range []string{"", "A"} {
		p := prescription(t, field(`"A":100`, `"A":200`), Options{RateFields: []string{"A"}, RateUnit: "lb/ac", Carrier: carrier})
		if !p.Blend() || p.CarrierField() != -1 || p.Fields[0].Share != 1 || p.Zones[1].Carrier != 200 {
			t.Errorf("carrier %q: fields %+v, zones %+v", carrier, p.Fields, p.Zones)
		}
	}
}

// Spread side by side, the stabilizer rides on the carrier; the dry rate is the
// sum, and a null in any field makes it a null, and the rates of the others too.
func TestSideBySide(t *testing.T) {
	text := field(`"A":100,"B":50`, `"A":250,"B":0`, `"A":null,"B":70`, `"A":80,"B":null`, `"A":0,"B":60`)
	p := prescription(t, text, Options{RateFields: []string{"A", "B"}, RateUnit: "lb/ac", Carrier: "b"})
	if p.Blend() || p.CarrierField() != 1 || !p.Fields[1].Carrier || p.Fields[0].Carrier {
		t.Fatalf("fields %+v, want B as the carrier", p.Fields)
	}
	nan := math.NaN()
	for i, want := range []struct{ dry, carrier, a, b float64 }{
		{150, 50, 100, 50}, {250, 0, 250, 0}, {nan, nan, nan, nan}, {nan, nan, nan, nan}, {60, 60, 0, 60},
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

// Whole pounds of 60, 25 and 15 % are one blend, as are they with zeros behind the point;
// of 133 lb they are 79.8, 33.25 and 19.95.
func TestBlendOfRoundedRates(t *testing.T) {
	for _, rows := range [][]string{
		{`"A":80,"B":33,"C":20`, `"A":120,"B":50,"C":30`, `"A":106,"B":44,"C":27`},
		{`"A":80.00,"B":33.00,"C":20.00`, `"A":120.00,"B":50.00,"C":30.00`, `"A":106.00,"B":44.00,"C":27.00`},
	} {
		p := prescription(t, field(rows...), Options{RateFields: []string{"A", "B", "C"}, RateUnit: "lb/ac"})
		for i, want := range []float64{0.6, 0.25, 0.15} {
			if got := float64(p.Fields[i].Share); math.Abs(got-want) > 0.005 {
				t.Errorf("share %d is %v, want %v", i, got, want)
			}
		}
		if got := rules(p.Findings); got != "blend-rounded note" {
			t.Errorf("findings %q", got)
		}
	}
}

// A rate ten times that of all ground around, or a tenth, is questioned; a field of two
// halves is not, nor is low ground.
func TestTenfold(t *testing.T) {
	for _, c := range []struct {
		name  string
		rates []string
		want  string // rules
		zones []int
	}{
		{"ten times", []string{"150", "180", "1600", "170", "140"}, "rate-tenfold warning", []int{3}},
		{"two of them side by side", []string{"150", "180", "1600", "1700", "140", "160", "150"}, "rate-tenfold warning", []int{3, 4}},
		{"two of them apart", []string{"1500", "180", "160", "1700", "140", "160"}, "rate-tenfold warning", []int{1, 4}},
		{"a tenth", []string{"150", "180", "17", "170", "140"}, "rate-tenfold warning", []int{3}},
		{"low ground", []string{"150", "180", "30", "170", "140"}, "", nil},
		{"no dry", []string{"150", "180", "0", "170", "140"}, "", nil},
		{"up in steps", []string{"40", "80", "200", "500", "500", "500"}, "", nil},
		{"ten times, by one step between", []string{"150", "600", "1600", "170", "140"}, "", nil},
	} {
		p := prescription(t, field(rates("R", c.rates...)...), Options{RateUnit: "lb/ac"})
		if got := rules(p.Findings); got != c.want {
			t.Errorf("%s: findings %q, want %q", c.name, got, c.want)
			continue
		}
		if c.want != "" && (!slices.Equal(p.Findings[0].Zones, c.zones) || !p.Findings[0].Doubt() || p.Findings[0].Place == nil) {
			t.Errorf("%s: got %+v, want zones %v", c.name, p.Findings[0], c.zones)
		}
	}
}

package equip

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rxsplit/label"
	"rxsplit/label/unit"
)

func TestWeighed(t *testing.T) {
	unknown := label.Known[unit.Density]{}
	for _, c := range []struct {
		most, each, step, want unit.Mass
	}{
		{6000, 5091.67, 1, 5092},
		{6000, 5092, 1, 5092},
		{6000, 5092.0000000001, 1, 5092}, // a float's last bits are no pound
		{5999.6, 5999.6, 1, 5999},        // 6000 would not fit
		{6000, 0.4, 1, 1},
		{0.5, 0.4, 1, 1}, // never a batch of nothing
	} {
		if got := (Blender{Batch: c.most}).Weighed(c.each, c.step, unknown); got != c.want {
			t.Errorf("%v of at most %v: got %v, want %v", c.each, c.most, got, c.want)
		}
	}
	drum := Blender{Batch: 6000, Drum: label.Know(120.5 * unit.CubicFoot)}
	if got := drum.Weighed(4819.9, 1, label.Know(40*unit.PoundPerCubicFoot)); got != 4820 {
		t.Errorf("a drum of 4820 lb: got %v", got)
	}
}

// TestWeigh: by hand, thirds of 100 lb are 33.33 each; the pound that is left goes to
// the first. Of 10 lb at 55, 35 and 10 %, the remainders of 5.5 and 3.5 are equal.
func TestWeigh(t *testing.T) {
	for _, c := range []struct {
		shares []unit.Ratio
		batch  unit.Mass
		want   []unit.Mass
	}{
		{[]unit.Ratio{1.0 / 3, 1.0 / 3, 1.0 / 3}, 100, []unit.Mass{34, 33, 33}},
		{[]unit.Ratio{0.55, 0.35, 0.1}, 10, []unit.Mass{6, 3, 1}},
		{[]unit.Ratio{0.6, 0.4}, 5, []unit.Mass{3, 2}},
		{[]unit.Ratio{1}, 5092, []unit.Mass{5092}},
	} {
		for i, got := range blendOf(c.shares).Weigh(c.batch, 1) {
			if got != c.want[i] {
				t.Errorf("%v of %v: material %d is %v, want %v", c.shares, c.batch, i+1, got, c.want[i])
			}
		}
	}
}

// TestWeighAddsUp: the masses are whole steps, make the batch, and none is a step or
// more away from its share.
func TestWeighAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SliceOfN(rapid.IntRange(1, 1000), 1, 6).Draw(t, "parts")
		sum := 0
		for _, p := range parts {
			sum += p
		}
		var shares []unit.Ratio
		for _, p := range parts {
			shares = append(shares, unit.Ratio(p)/unit.Ratio(sum))
		}
		batch := unit.Mass(rapid.IntRange(1, 20000).Draw(t, "batch"))
		var total unit.Mass
		for i, m := range blendOf(shares).Weigh(batch, 1) {
			total += m
			if m != unit.Mass(math.Round(float64(m))) || math.Abs(float64(m-batch*unit.Mass(shares[i]))) >= 1 {
				t.Fatalf("material %d of %v at %v weighs %v", i+1, batch, shares[i], m)
			}
		}
		if total != batch {
			t.Fatalf("%v make %v, not %v", shares, total, batch)
		}
	})
}

func blendOf(shares []unit.Ratio) Blend {
	b := make(Blend, len(shares))
	for i, s := range shares {
		b[i].Share = s
	}
	return b
}

// Where no step is allowed the dose is rounded down, never up: above the label is a
// violation, and below is not.
func TestDoseIsNeverRoundedUpOffTheLabel(t *testing.T) {
	never := func(unit.Volume) bool { return false }
	for exact, want := range map[unit.Volume]unit.Volume{600.625: 600.62, 821.449: 821.44, 750: 750, 0.999: 0.99} {
		if got := Metered(exact, unit.FluidOunce, never); math.Abs(float64(got-want)) > 1e-9 {
			t.Errorf("%v is dosed as %v, want %v", float64(exact), float64(got), float64(want))
		}
	}
}

// Steps of scales and meters in both systems, prices of a crop by the bushel and by weight, and what a material
// is by its grade where its name tells nothing. A kilogram is 2.2046226 lb, a liter 33.814023 fl oz (NIST
// Handbook 44, appendix C).
func TestStepsAndPricesInBothSystems(t *testing.T) {
	price := func(text string, s unit.System) string {
		var p cropPrice
		if err := p.UnmarshalText([]byte(text)); err != nil {
			return err.Error()
		}
		return p.Text(s)
	}
	kind := func(name, grade string) string {
		m := Material{Name: name}
		if grade != "" {
			g, err := ParseGrade(grade)
			if err != nil {
				t.Fatal(err)
			}
			m.Grade = label.Know(g)
		}
		return m.kind()
	}
	for _, c := range []struct{ what, got, want string }{
		{"scale", fmt.Sprintf("%.5g %.5g", float64(ScaleStep(unit.US)), float64(ScaleStep(unit.Metric))), "1 2.2046"}, {"agent", fmt.Sprintf("%.5g %.5g", float64(AgentStep(unit.US)), float64(AgentStep(unit.Metric))), "0.01 0.022046"},
		{"by the bushel", price("4.25 $/bu", unit.US), "$4.25/bu"}, {"by weight", price("180 $/t", unit.Metric), "$180.00/t"}, {"by the ton", price("180 $/ton", unit.US), "$180.00/ton"}, {"by the acre", price("180 $/ac", unit.US), `"180 $/ac" is a price by area: want a price of grain such as "4.25 $/bu"`},
		{"urea by name", kind("prilled urea", "0-0-60"), "urea"}, {"urea by grade", kind("ours", "46-0-0"), "urea"}, {"nearly", kind("ours", "45.5-0-0"), "urea"}, {"not quite", kind("ours", "45.4-0-0"), "ours"}, {"potash by grade", kind("red", "0-0-60"), "potash"}, {"neither", kind("ours", ""), "ours"},
	} {
		if c.got != c.want {
			t.Errorf("%s: %q, want %q", c.what, c.got, c.want)
		}
	}
}

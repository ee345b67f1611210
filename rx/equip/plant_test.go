package equip

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rxsplit/label"
	"rxsplit/label/unit"
)

func TestParseGrade(t *testing.T) {
	for text, want := range map[string]Grade{
		"46-0-0": {N: 0.46}, "18-46-0": {N: 0.18, P2O5: 0.46}, "21-0-0-24S": {N: 0.21, S: 0.24}, "21-0-0-24": {N: 0.21, S: 0.24},
		" 33.5-0-0 ": {N: 0.335},
	} {
		got, err := ParseGrade(text)
		if err != nil || got != want {
			t.Errorf("%q: got %v, %v", text, got, err)
		}
		if again, err := ParseGrade(got.String()); err != nil || again != got {
			t.Errorf("%q prints as %q, which reads back as %v, %v", text, got, again, err)
		}
	}
	for _, text := range []string{"100-0-0", "0-0-0", "60-30-10"} { // the most, and the least
		if g, err := ParseGrade(text); err != nil || g.String() != text {
			t.Errorf("%q is read as %v, %v", text, g, err)
		}
	}
	const form, percentage, sum = "want N-P2O5-K2O such as \"46-0-0\"", "%q is not a percentage", "it adds up to more than 100 %"
	for text, want := range map[string]string{
		"": form, "46": form, "46-0": form, "46-0-0-0-0": form, "-46-0-0": fmt.Sprintf(percentage, ""), "46-x-0": fmt.Sprintf(percentage, "x"), "101-0-0": fmt.Sprintf(percentage, "101"), "NaN-0-0": fmt.Sprintf(percentage, "NaN"), "46--0": fmt.Sprintf(percentage, ""),
		"60-30-20": sum, "60-30-10-1S": sum,
	} {
		if g, err := ParseGrade(text); err == nil || !strings.HasSuffix(err.Error(), want) || !strings.HasPrefix(err.Error(), fmt.Sprintf("%q is not a grade: ", text)) {
			t.Errorf("%q is read as %v, %v, want %s", text, g, err, want)
		}
	}
}

func TestBlend(t *testing.T) {
	b := Blend{
		{Name: "Urea", Grade: label.Know(Grade{N: 0.46}), Share: 0.75, Density: label.Know(48 * unit.PoundPerCubicFoot)},
		{Name: "MOP", Grade: label.Know(Grade{K2O: 0.60}), Share: 0.25, Density: label.Know(64 * unit.PoundPerCubicFoot)},
	}
	if g, ok := b.Grade(); !ok || g.String() != "34.5-0-15" {
		t.Errorf("got %v", g)
	}
	if d, ok := b.BulkDensity(); !ok || math.Abs(float64(d/unit.PoundPerCubicFoot)-51.2) > 1e-9 { // 1/(0.75/48+0.25/64)
		t.Errorf("got %v", unit.BulkDensity(d).Text(unit.US))
	}
	if b.Share("potash") != 0.25 || b.Share("dap") != 0 {
		t.Errorf("got %v and %v", b.Share("potash"), b.Share("dap"))
	}
	b[1].Grade, b[1].Density = label.Known[Grade]{}, label.Known[unit.Density]{}
	if _, ok := b.Grade(); ok {
		t.Error("a blend with an unknown grade has one")
	}
	if _, ok := b.BulkDensity(); ok {
		t.Error("a blend with an unknown density has one")
	}
	if _, ok := Blend(nil).Grade(); ok {
		t.Error("no blend has a grade")
	}
	if _, ok := Blend(nil).BulkDensity(); ok {
		t.Error("no blend has a density")
	}
}

func TestBatches(t *testing.T) {
	light := label.Know(40 * unit.PoundPerCubicFoot)
	for _, c := range []struct {
		name    string
		blender Blender
		dry     unit.Mass
		density label.Known[unit.Density]
		count   int
		each    unit.Mass
		limit   batchLimit
	}{
		{"fits exactly", Blender{Batch: 3 * unit.Ton}, 9 * unit.Ton, light, 3, 3 * unit.Ton, byWeight},
		{"one pound more", Blender{Batch: 3 * unit.Ton}, 18001, light, 4, 18001.0 / 4, byWeight},
		{"equal, not full and a rest", Blender{Batch: 3 * unit.Ton}, 10 * unit.Ton, light, 4, 2.5 * unit.Ton, byWeight},
		{"drum decides", Blender{Batch: 3 * unit.Ton, Drum: label.Know(100 * unit.CubicFoot)}, 9 * unit.Ton, light, 5, 3600, ByDrum},
		{"drum does not decide", Blender{Batch: 1 * unit.Ton, Drum: label.Know(100 * unit.CubicFoot)}, 2 * unit.Ton, light, 2, unit.Ton, byWeight},
		{"density unknown", Blender{Batch: 3 * unit.Ton, Drum: label.Know(100 * unit.CubicFoot)}, 9 * unit.Ton, label.Known[unit.Density]{}, 3, 3 * unit.Ton, byWeight},
		{"less than one", Blender{Batch: 3 * unit.Ton}, 100, light, 1, 100, byWeight},
		{"nothing", Blender{Batch: 3 * unit.Ton}, 0, light, 0, 0, byWeight},
	} {
		got, err := c.blender.Batches(c.dry, c.density)
		if err != nil || got.Count != c.count || math.Abs(float64(got.Each-c.each)) > 1e-9 || got.Limit != c.limit {
			t.Errorf("%s: got %+v, %v", c.name, got, err)
		}
	}
}

func TestBatchesRefuse(t *testing.T) {
	for _, c := range []struct {
		batch, dry unit.Mass
	}{{0, 1}, {1e-9, 1e9}, {1, -1}, {1, unit.Mass(math.NaN())}, {1, unit.Mass(math.Inf(1))}} {
		if got, err := (Blender{Batch: c.batch}).Batches(c.dry, label.Known[unit.Density]{}); err == nil {
			t.Errorf("%v in batches of %v: got %+v", c.dry, c.batch, got)
		}
	}
}

func TestHalfBatches(t *testing.T) {
	b := Blender{Batch: 3 * unit.Ton, BatchTime: label.Know(8 * unit.Minute)}
	full, _ := b.Batches(12*unit.Ton, label.Known[unit.Density]{})
	half, err := b.HalfBatches(12*unit.Ton, label.Known[unit.Density]{})
	if err != nil || half.Count != 8 || half.Each != 1.5*unit.Ton {
		t.Errorf("got %+v, %v", half, err)
	}
	if full.Time != label.Know(32*unit.Minute) || half.Time != full.Time {
		t.Errorf("got %v and %v, want 32 min for both", full.Time, half.Time)
	}
}

// TestHalfBatchesByDrum: half batches fill half the drum. At 40 lb/ft³ 50 ft³ hold 2000
// lb, so that 9 tons are 9 batches; full ones, of 4000 lb, are 5.
func TestHalfBatchesByDrum(t *testing.T) {
	b := Blender{Batch: 3 * unit.Ton, Drum: label.Know(100 * unit.CubicFoot)}
	light := label.Know(40 * unit.PoundPerCubicFoot)
	full, _ := b.Batches(9*unit.Ton, light)
	half, err := b.HalfBatches(9*unit.Ton, light)
	if err != nil || full.Count != 5 || half.Count != 9 || half.Each != unit.Ton || half.Limit != ByDrum {
		t.Errorf("got %+v and half %+v, %v", full, half, err)
	}
}

// TestBatchesAddUp: the batches make the mass, none is over the limit, and one
// batch fewer would be.
func TestBatchesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		batch := unit.Mass(rapid.Float64Range(100, 20000).Draw(t, "batch"))
		dry := unit.Mass(rapid.Float64Range(1, 1e7).Draw(t, "dry"))
		got, err := Blender{Batch: batch}.Batches(dry, label.Known[unit.Density]{})
		if err != nil {
			t.Fatal(err)
		}
		if sum := got.Each * unit.Mass(got.Count); math.Abs(float64(sum-dry)) > 1e-9*float64(dry) {
			t.Fatalf("%d batches of %v make %v, not %v", got.Count, got.Each, sum, dry)
		}
		if got.Each > batch*(1+1e-8) || got.Count > 1 && dry/unit.Mass(got.Count-1) <= batch {
			t.Fatalf("got %+v for %v in %v", got, dry, batch)
		}
	})
}

// TestTreatedDensity: the falls are common practice, no source.
func TestTreatedDensity(t *testing.T) {
	usual, humid := TreatedDensity(48 * unit.PoundPerCubicFoot)
	for _, c := range []struct {
		got  unit.Density
		want float64
	}{{usual.Min, 43}, {usual.Max, 44}, {humid, 40}} {
		if math.Abs(float64(c.got/unit.PoundPerCubicFoot)-c.want) > 1e-9 {
			t.Errorf("got %s, want %v lb/ft3", unit.BulkDensity(c.got).Text(unit.US), c.want)
		}
	}
}

func TestRaisedSetting(t *testing.T) {
	added := WeightShare(320, 9) + WeightShare(320, UsualDryingAgent)
	if got := RaisedSetting(200, added); math.Abs(float64(got)-204.25) > 1e-9 { // 200·2042.5/2000
		t.Errorf("got %v, want 204.25 lb/ac", got)
	}
	if got := Unraised(unit.StabilizerRate(320, RaisedSetting(200, added)), added); math.Abs(float64(got)-32) > 1e-12 {
		t.Errorf("got %v, want 32 fl oz/ac back", got)
	}
}

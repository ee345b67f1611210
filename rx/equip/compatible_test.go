package equip

import (
	"strings"
	"testing"

	"rxsplit/label"
)

func materials(names ...string) []Material {
	list := make([]Material, len(names))
	for i, n := range names {
		list[i].Name = n
	}
	return list
}

func graded(name, grade string) Material {
	g, err := ParseGrade(grade)
	if err != nil {
		panic(err)
	}
	return Material{Name: name, Grade: label.Know(g)}
}

// TestCompatibility asserts which level each pair has, with the published figure
// that its text must hold; critical relative humidities at 30 °C from IFDC data
// (Clayton 1984, as reproduced in public tables).
func TestCompatibility(t *testing.T) {
	for _, c := range []struct {
		blend       []Material
		block, stop bool
		figure      string // empty if there is no conflict
	}{
		{materials("urea", "ammonium nitrate"), true, false, "18.1 %"},
		{materials("AN", "potash", "Granular Urea"), true, false, "18.1 %"},
		{materials("urea", "CAN"), true, false, "18.1 %"},
		{[]Material{graded("product A", "46-0-0"), graded("product B", "34-0-0")}, true, false, "18.1 %"},
		{[]Material{graded("product A", "46-0-0"), graded("product B", "33.5-0-0")}, true, false, "18.1 %"},
		{materials("urea", "TSP"), false, true, "superphosphate"},
		{materials("single superphosphate", "urea"), false, true, "superphosphate"},
		{materials("urea", "ams"), false, false, "56.4 %"},
		{materials("urea", "muriate of potash"), false, false, "60.3 %"},
		{materials("urea", "map"), false, false, ""},
		{materials("dap", "potash"), false, false, ""},
		{materials("urea"), false, false, ""},
		{nil, false, false, ""},
	} {
		got := Compatibility(c.blend)
		if c.figure == "" {
			if len(got) > 0 {
				t.Errorf("%v: got %+v", c.blend, got)
			}
			continue
		}
		if len(got) == 0 || got[0].Block != c.block || got[0].Stop != c.stop || !strings.Contains(got[0].Text, c.figure) {
			t.Errorf("%v: got %+v, want block %v, stop %v, %q", c.blend, got, c.block, c.stop, c.figure)
			continue
		}
		if got[0].Source == "" || got[0].Hint == "" || len(got[0].Materials) != 2 {
			t.Errorf("%v: got %+v", c.blend, got[0])
		}
	}
}

func TestCompatibilityWorstFirst(t *testing.T) {
	got := Compatibility(materials("potash", "urea", "tsp", "an"))
	if len(got) != 3 || !got[0].Block || !got[1].Stop || got[2].Block || got[2].Stop {
		t.Errorf("got %+v", got)
	}
}

func TestImpregnability(t *testing.T) {
	for _, name := range []string{"ammonium nitrate", "potassium nitrate", "sodium nitrate"} {
		for _, base := range []label.Base{label.Water, label.Solvent, 0} {
			got := Impregnability(materials("urea", name), base)
			if len(got) != 1 || !got[0].Block || got[0].Materials[0] != name {
				t.Errorf("%s, %v: got %+v", name, base, got)
			}
		}
	}
	for _, name := range []string{"CAN", "calcium nitrate", "ASN", "magnesium nitrate"} {
		if got := Impregnability(materials("urea", name), label.Solvent); len(got) != 1 || !got[0].Block || got[0].Materials[0] != name {
			t.Errorf("%s in solvent: got %+v", name, got)
		}
		if got := Impregnability(materials("urea", name), 0); len(got) != 1 || got[0].Block || got[0].Stop || got[0].Hint == "" {
			t.Errorf("%s, nobody knows in what: got %+v", name, got)
		}
		if got := Impregnability(materials("urea", name), label.Water); len(got) > 0 {
			t.Errorf("%s in water: got %+v", name, got)
		}
	}
	if got := Impregnability([]Material{graded("product A", "27-0-0")}, label.Solvent); len(got) != 1 || !got[0].Block {
		t.Errorf("CAN by its grade: got %+v", got)
	}
	if got := Impregnability(materials("urea", "dap", "potash"), label.Solvent); len(got) > 0 {
		t.Errorf("got %+v", got)
	}
}

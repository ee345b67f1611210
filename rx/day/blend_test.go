package day_test

import (
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
	"rxsplit/rx/equip"
)

// Blends are one where all that goes into them is: each case changes one thing.
func TestSameBlend(t *testing.T) {
	urea, sulfate := equip.Grade{N: 0.46}, equip.Grade{N: 0.21, S: 0.24}
	of := func() day.Blend {
		return day.Blend{
			Materials:  equip.Blend{{Name: "urea", Grade: label.Know(urea), Share: 0.75}, {Name: "sulfate", Grade: label.Know(sulfate), Share: 0.25}},
			Stabilizer: &label.Profile{Name: "stabilizer"},
			Further:    []rx.JobLiquid{{Name: "dye", Loading: 32, Label: &label.Profile{Name: "dye"}}},
		}
	}
	for name, c := range map[string]struct {
		change func(*day.Blend)
		same   bool
	}{
		"nothing":            {func(*day.Blend) {}, true},
		"order":              {func(b *day.Blend) { b.Materials[0], b.Materials[1] = b.Materials[1], b.Materials[0] }, true},
		"digits of a share":  {func(b *day.Blend) { b.Materials[0].Share += 5e-10 }, true},
		"share":              {func(b *day.Blend) { b.Materials[0].Share += 2e-9 }, false},
		"lower share":        {func(b *day.Blend) { b.Materials[0].Share -= 2e-9 }, false},
		"density":            {func(b *day.Blend) { b.Materials[0].Density = label.Know(unit.Density(5)) }, true},
		"name":               {func(b *day.Blend) { b.Materials[0].Name = "prills" }, false},
		"grade":              {func(b *day.Blend) { b.Materials[0].Grade = label.Know(sulfate) }, false},
		"grade left out":     {func(b *day.Blend) { b.Materials[0].Grade = label.Known[equip.Grade]{} }, false},
		"material less":      {func(b *day.Blend) { b.Materials = b.Materials[:1] }, false},
		"unnamed":            {func(b *day.Blend) { b.Unnamed = "field 2" }, false},
		"label":              {func(b *day.Blend) { b.Stabilizer = &label.Profile{Name: "other"} }, false},
		"no label":           {func(b *day.Blend) { b.Stabilizer = nil }, false},
		"no further liquid":  {func(b *day.Blend) { b.Further = nil }, false},
		"further liquid":     {func(b *day.Blend) { b.Further[0].Name = "oil" }, false},
		"its loading":        {func(b *day.Blend) { b.Further[0].Loading = 33 }, false},
		"its label":          {func(b *day.Blend) { b.Further[0].Label = nil }, false},
		"its price, no more": {func(b *day.Blend) { b.Further[0].Price = label.Know(unit.VolumePrice(1)) }, true},
	} {
		b := of()
		c.change(&b)
		if of().Same(b) != c.same || b.Same(of()) != c.same {
			t.Errorf("%s: same %v and %v, want %v", name, of().Same(b), b.Same(of()), c.same)
		}
	}
}

package rx_test

import (
	"slices"
	"strings"
	"testing"

	"rxsplit/rx"
)

// A dBASE III table keeps ten bytes of a column's name and a zero: Ashton-Tate's file
// layout, as the shapefile white paper (ESRI, 1998) takes it over.
func TestShortNames(t *testing.T) {
	for _, c := range []struct{ fields, want []string }{
		{[]string{"DRY_LBAC"}, []string{"DRY_LBAC"}},
		{[]string{"TENCHARS10"}, []string{"TENCHARS10"}},
		{[]string{"Urea_rate_lb_per_ac"}, []string{"Urea_rate_"}},
		{[]string{"Urea_rate_lb_per_ac", "Urea_rate_kg_per_ha"}, []string{"Urea_rate_", "Urea_rat_2"}},
		{[]string{"urea_rate_lb_per_ac", "UREA_RATE_"}, []string{"urea_rat_2", "UREA_RATE_"}},
		{[]string{"Düngergabe je ha"}, []string{"Düngergab"}}, // an ü has two bytes
		{[]string{"施肥量施肥量"}, []string{"施肥量"}},
		{[]string{"ZONE"}, []string{"ZONE"}}, // the layer's own steps aside
		{[]string{"Rate", "RATE"}, []string{"Rate", "RATE_2"}},
		{[]string{"a\nb"}, []string{"a_b"}},
		{[]string{""}, []string{"RATE"}},
		{[]string{"RATE "}, []string{"RATE"}}, // a reader can't tell the space from padding
		{[]string{"Urea rate lb/ac"}, []string{"Urea rate"}},
		{[]string{"rate\x00", "rate_"}, []string{"rate__2", "rate_"}},
	} {
		p := &rx.Prescription{}
		for _, name := range c.fields {
			p.Fields = append(p.Fields, rx.RateField{Name: name})
		}
		if got := p.ShortNames(); !slices.Equal(got, c.want) {
			t.Errorf("%q: got %q, want %q", c.fields, got, c.want)
		}
	}
	many := &rx.Prescription{}
	for range 120 {
		many.Fields = append(many.Fields, rx.RateField{Name: "the same long name"})
	}
	seen := map[string]bool{}
	for _, name := range many.ShortNames() {
		if len(name) > 10 || seen[strings.ToUpper(name)] {
			t.Fatalf("%q is too long or there twice", name)
		}
		seen[strings.ToUpper(name)] = true
	}
}

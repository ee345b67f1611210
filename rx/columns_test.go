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
		if got := shortNames(p); !slices.Equal(got, c.want) {
			t.Errorf("%q: got %q, want %q", c.fields, got, c.want)
		}
	}
	many := &rx.Prescription{}
	for range 120 {
		many.Fields = append(many.Fields, rx.RateField{Name: "the same long name"})
	}
	seen := map[string]bool{}
	for _, name := range shortNames(many) {
		if len(name) > 10 || seen[strings.ToUpper(name)] {
			t.Fatalf("%q is too long or there twice", name)
		}
		seen[strings.ToUpper(name)] = true
	}
}

func shortNames(p *rx.Prescription) (names []string) {
	for _, c := range p.DryColumns() {
		names = append(names, c.Short)
	}
	return names
}

// A bin holds a blend, or a product beside others: each has one column to load, which
// comes first and is called by nothing that it does not hold.
func TestColumnsToLoad(t *testing.T) {
	n := func(name string) rx.RateField { return rx.RateField{Name: name, Nutrient: true, SaysN: true} }
	blended := func(name string) rx.RateField { return rx.RateField{Name: name, Share: 0.5} }
	for _, c := range []struct {
		fields []rx.RateField
		want   string // those to load before the bar
	}{
		{[]rx.RateField{{Name: "RATE"}}, "RATE |"},
		{[]rx.RateField{{Name: "N_kg_ha", SaysN: true}}, "N_kg_ha |"}, // taken as product, and somebody said so
		{[]rx.RateField{n("N_kg_ha")}, "PRODUCT |"},
		{[]rx.RateField{{Name: "UREA", Nutrient: true}}, "UREA |"},
		{[]rx.RateField{{Name: "UREA"}, {Name: "POTASH"}}, "UREA POTASH |"},
		{[]rx.RateField{n("N1"), {Name: "Product"}, n("N2")}, "PRODUCT_2 Product PRODUCT_3 |"},
		{[]rx.RateField{blended("UREA"), blended("AMS")}, "DRY_RATE | UREA AMS"},
		{[]rx.RateField{blended("dry_rate"), blended("AMS")}, "DRY_RATE_2 | dry_rate AMS"},
	} {
		var load, others []string
		for i, column := range (&rx.Prescription{Fields: c.fields}).DryColumns() {
			if column.Load && i > len(load) {
				t.Errorf("%v: those to load do not come first", c.fields)
			}
			if column.Load {
				load = append(load, column.Name)
			} else {
				others = append(others, column.Name)
			}
		}
		if got := strings.TrimSpace(strings.Join(load, " ") + " | " + strings.Join(others, " ")); got != c.want {
			t.Errorf("%v: got %s, want %s", c.fields, got, c.want)
		}
	}
}

package write

import (
	"fmt"
	"reflect"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Totals lists what the layers of a plan amount to.
func Totals(p *rx.Prescription, plan *rx.Plan, units unit.System) []LayerTotals {
	out := make([]LayerTotals, len(plan.Layers))
	for i, l := range plan.Layers {
		t := LayerTotals{Name: l.Name, Product: string(l.Product), Treated: l.Treated, Zones: l.Zones, Area: l.Area.In(units)}
		if l.Treated {
			t.Loading = number(l.Loading.In(units))
		}
		if l.Product == rx.Liquid {
			t.Load, t.RateFields, t.RateShort, t.RateUnits = []string{"STAB_RATE"}, []string{"STAB_RATE"}, []string{"STAB_RATE"}, []string{unit.Symbol[unit.LiquidRate](units)}
			t.Volume = number(l.Volume.In(units))
			t.RateMin, t.RateMax = l.Liquid.Min.In(units), l.Liquid.Max.In(units)
		} else {
			t.addDry(p, &l, units)
		}
		for _, f := range l.Further {
			one := liquidTotals{Name: f.Name, Volume: f.Volume.In(units)}
			if l.Treated {
				one.Loading = number(f.Loading.In(units))
			} else {
				one.Rate = number(f.Rate.In(units))
			}
			t.Liquids = append(t.Liquids, one)
		}
		out[i] = t
	}
	return out
}

func (t *LayerTotals) addDry(p *rx.Prescription, l *rx.Layer, units unit.System) {
	t.Mass = number(l.Mass.In(units))
	t.RateMin, t.RateMax = l.Dry.Min.In(units), l.Dry.Max.In(units)
	if l.RxRate {
		t.RxRateUnit = p.Fields[0].Counts()
	}
	for _, c := range p.DryColumns() {
		if c.Load {
			t.Load = append(t.Load, c.Name)
		}
		t.RateShort = append(t.RateShort, c.Short)
		t.RateFields = append(t.RateFields, c.Name)
		t.RateUnits = append(t.RateUnits, c.Unit+" of product")
		if c.Field == rx.AllFields {
			continue
		}
		if s := l.Columns[c.Field].Spread; s != nil {
			t.Products = append(t.Products, productTotals{
				RateField: c.Name, Treated: s.Treated, Zones: s.Zones, Area: s.Area.In(units), Mass: s.Mass.In(units),
				RateMin: s.Dry.Min.In(units), RateMax: s.Dry.Max.In(units),
			})
		}
	}
}

func number(v float64) *float64 { return &v }

// CompareTotals holds the layers' totals in a manifest against those of a plan.
func CompareTotals(m *Manifest, p *rx.Prescription, plan *rx.Plan, units unit.System) []Mismatch {
	want := Totals(p, plan, units)
	if len(m.Layers) != len(want) {
		return []Mismatch{{File: manifestName, What: fmt.Sprintf("lists %d layers, want %d", len(m.Layers), len(want))}}
	}
	var out []Mismatch
	for i, w := range want {
		if !reflect.DeepEqual(m.Layers[i], w) {
			out = append(out, Mismatch{File: manifestName, What: "the totals of layer " + w.Name + " are not those of the plan"})
		}
	}
	return out
}

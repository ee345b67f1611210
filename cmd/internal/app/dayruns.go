package app

import (
	"cmp"
	"slices"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
	"rxsplit/rx/equip"
	"rxsplit/rx/sheet"
)

// works lists what is blended for the fields.
func works(d *report.Day, fields []*dayField) (list []day.Work) {
	for i, f := range fields {
		if f.way == nil {
			continue
		}
		one := day.Work{Field: i, Priority: f.shown.Priority, Blend: f.shown.Blend, Shared: f.shown.Shared, Customer: f.shown.Customer, Terms: f.terms}
		if f.terms.Job != nil {
			one.Customer = cmp.Or(one.Customer, f.terms.Job.Customer)
		}
		if f.way.Driving != nil {
			one.Spreading = f.way.Driving.Time
		}
		for _, l := range f.way.Loads {
			if one.Load = l; f.shares {
				one.Load.Loading = d.Loadings[f.shown.Shared].Value
			}
			list = append(list, one)
		}
	}
	return list
}

// runs lays out the blend runs of a day and what trucks carry; loadings then count the batches
// of their runs.
func runs(d *report.Day, fields []*dayField) {
	all := works(d, fields)
	d.Runs, d.Asks = day.Runs(all)
	for n, r := range d.Runs {
		for _, l := range r.Lots {
			for _, i := range l.Fields {
				w := day.Work{Field: i, Terms: fields[i].terms, Load: l.Load}
				if len(l.Fields) > 1 {
					w = all[slices.IndexFunc(all, func(w day.Work) bool { return w.Field == i && w.Shared == r.Shared })]
				}
				d.Hauls = append(d.Hauls, day.HaulOf(w, n, "treated "+fields[i].carries()))
			}
			if r.Shared >= 0 && len(l.Fields) > 1 {
				d.Loadings[r.Shared].Batches -= l.Apart - l.Portion.Count
				saved := l.Time * unit.Time(l.Apart-l.Portion.Count) / unit.Time(l.Portion.Count)
				d.Loadings[r.Shared].Time -= saved
				d.Blending, d.Hours.Blender = d.Blending-saved, d.Hours.Blender-saved
			}
		}
	}
	for i, f := range fields {
		if f.way == nil {
			continue
		}
		for _, p := range f.products {
			for _, l := range f.way.Loads {
				if p.treated {
					p.mass -= l.Mass
				}
			}
			if p.mass > equip.ScaleStep(d.Units)/2 {
				d.Hauls = append(d.Hauls, day.Untreated(f.terms, i, "untreated "+p.name, p.mass))
			}
		}
	}
}

// product is dry that is carried to a field by itself.
type product struct {
	name    string
	mass    unit.Mass
	treated bool // unless the way leaves it, or a part of it, untreated
}

func productsOf(p *rx.Prescription) (list []product) {
	if p.Blend() {
		return []product{{"dry", p.DryMass(), true}}
	}
	for n, field := range p.Fields {
		list = append(list, product{field.Name, massOf(p, n), n == p.CarrierField()})
	}
	return list
}

// carries names the product that is impregnated.
func (f *dayField) carries() string {
	return f.products[max(0, slices.IndexFunc(f.products, func(p product) bool { return p.treated }))].name
}

// pooled has the first field of batches that are shared take all of them, and the others none.
func (d *Day) pooled(plans *dayPlans) {
	for _, r := range d.Shown.Runs {
		for _, l := range r.Lots {
			if len(l.Fields) < 2 {
				continue
			}
			all := l.Portion.Total()
			for k, i := range l.Fields {
				f, takes := d.fields[i], plans.takes[i]
				a := amounts{dry: slices.Clone(takes.exact), further: slices.Clone(takes.amounts.further)}
				for n, liquid := range f.terms.FurtherOn(equip.OnBlend) {
					for j := range a.further {
						if a.further[j].Name == liquid.Name {
							a.further[j].Volume = 0
							if k == 0 {
								a.further[j].Volume = all.Further[n].Liquid
							}
						}
					}
				}
				if k == 0 {
					a.stabilizer = all.Liquid
					a.weighed(l.Load, all, takes.oneDry)
				}
				f.amounts = a
			}
		}
	}
}

// cards are those of the day, once its orders are known.
func dayCards(d report.Day) []rx.Sheet {
	c := sheet.DayCards{Units: d.Units, Runs: d.Runs, Hauls: d.Hauls, Served: report.DayServed(d), By: report.DayOrdersBy(d)}
	named := report.DayNames(d)
	for i, f := range d.Fields {
		c.Fields = append(c.Fields, sheet.DayField{Name: report.Name(named[i]), Customer: report.Name(f.Customer)})
	}
	for _, o := range d.Orders {
		c.Orders = append(c.Orders, [2]string{o.What, report.DayOrderText(o)})
	}
	return c.List()
}

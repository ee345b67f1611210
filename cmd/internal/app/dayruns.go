package app

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
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
		if f.shares {
			one.Window = *f.shown.Window
		}
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

// runs lays out the blend runs of a day, what trucks carry, and what of left-over blend is used. Each field has
// its part of the time of the batches that it shares.
func runs(d *report.Day, fields []*dayField) {
	left := make([]day.Left, len(d.Left))
	for i, l := range d.Left {
		left[i] = l.Left
	}
	all := works(d, fields)
	d.Runs, d.Asks = day.Runs(all, left)
	for n, r := range d.Runs {
		for _, l := range r.Lots {
			d.Blending += l.Time
			for _, i := range l.Fields {
				fields[i].blending += unit.Time(l.Time * unit.Time(l.Gets(i)/l.Weighed()))
			}
			if l.Left != nil {
				d.Left[l.Left.Of].Used += unit.Mass(l.Left.Weighed * unit.Mass(l.Portion.Count))
			}
			if r.Shared >= 0 {
				d.Loadings[r.Shared].Time += l.Time
			}
		}
		if r.Shared >= 0 {
			d.Loadings[r.Shared].Batches = r.Batches()
		}
		d.Hauls = append(d.Hauls, treated(n, d.Runs, all, fields)...)
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

// treated lists what trucks carry from a run: to each field what is blended for it and, by itself, left-over
// blend as it came back.
func treated(n int, runs []rx.Run, all []day.Work, fields []*dayField) (hauls []rx.Haul) {
	r := runs[n]
	for _, l := range r.Lots {
		for _, i := range l.Fields {
			w := day.Work{Field: i, Terms: fields[i].terms, Load: l.Load}
			product := "treated " + fields[i].carries()
			switch {
			case l.AsIs():
				product = fmt.Sprintf("left-over blend L%d", l.Left.Of+1)
			case len(l.Fields) > 1:
				w = all[slices.IndexFunc(all, func(w day.Work) bool { return w.Field == i && w.Shared == r.Shared })]
				w.Load.Mass -= givenTo(r, i)
			}
			h := day.HaulOf(w, n, product)
			if runOf(runs, i) == "" && len(fields[i].products) == 1 {
				h = day.Whole(w.Terms, h, l)
			}
			if l.AsIs() {
				h.Left = l.Left
				h.Weight = unit.Mass(l.Left.Weighed * unit.Mass(l.Portion.Count))
				h = day.Hauled(w.Terms, h)
			}
			at := slices.IndexFunc(hauls, func(o rx.Haul) bool { return o.Field == i && o.Product == product && h.Left == nil })
			if at >= 0 && r.Shared >= 0 { // re-dosed, and the same product
				hauls[at].Weight += h.Weight
				hauls[at] = day.Hauled(w.Terms, hauls[at])
				continue
			}
			hauls = append(hauls, h)
		}
	}
	return hauls
}

// givenTo is the dry that a field gets in lots of left-over blend.
func givenTo(r rx.Run, field int) (dry unit.Mass) {
	for _, l := range r.Lots {
		if l.Left != nil && l.Fields[0] == field {
			dry += l.Load.Mass
		}
	}
	return dry
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

// lessen takes off what fields take what left-over blend brings them, and counts it where rates on the ground are told.
func (d *Day) lessen() {
	for i, f := range d.fields {
		for _, l := range d.leftLots(i) {
			shown := &d.Shown.Fields[i]
			stands := d.Shown.Loadings[shown.Shared].Value
			f.amounts.further = slices.Clone(f.amounts.further)
			f.amounts.blended(f, l, stands)
			area := unit.Area(0)
			for _, g := range f.grounds {
				area += g.Area
				shown.Rate.Widen(unit.StabilizerRate(l.Lands(), g.Dry), false)
			}
			shown.Mean += unit.LiquidRate(float64(unit.Uptake(l.Lands()-stands, l.Load.Mass)) / float64(area))
		}
	}
}

// pooled has the first field of batches that are shared take all of them, and the others none; and fields that get
// left-over blend what is added to it and blended besides.
func (d *Day) pooled(plans *dayPlans) {
	for _, r := range d.Shown.Runs {
		left := slices.ContainsFunc(r.Lots, func(l rx.Lot) bool { return l.Left != nil })
		begun := map[int]bool{}
		for _, l := range r.Lots {
			if len(l.Fields) < 2 && !left {
				continue
			}
			for _, i := range l.Fields {
				if f := d.fields[i]; !begun[i] {
					begun[i] = true
					takes := plans.takes[i]
					f.amounts = amounts{dry: slices.Clone(takes.exact), carrier: takes.amounts.carrier, further: slices.Clone(takes.amounts.further)}
					for _, liquid := range f.terms.FurtherOn(equip.OnBlend) {
						f.amounts.ofFurther(liquid.Name, func(v *unit.Volume) { *v = 0 })
					}
				}
			}
			f := d.fields[l.Fields[0]]
			f.amounts.blended(f, l, 0)
		}
	}
}

// blended adds what a lot takes of products, less what stands for it already: liquids at their loadings,
// that of the stabilizer as it is given, if it is not 0.
func (a *amounts) blended(f *dayField, l rx.Lot, stands unit.Loading) {
	all, stood := l.Portion.Total(), unit.Uptake(stands, l.Load.Mass)
	a.stabilizer += all.Liquid - stood
	a.agent -= agentFor(f.terms, stood)
	for n, liquid := range f.terms.FurtherOn(equip.OnBlend) {
		a.ofFurther(liquid.Name, func(v *unit.Volume) {
			if *v += all.Further[n].Liquid; stands > 0 {
				*v -= unit.Uptake(liquid.Loading, l.Load.Mass)
			}
		})
	}
	a.weighed(l.Load, all)
}

// ofFurther changes the amount of a further liquid.
func (a *amounts) ofFurther(name string, change func(*unit.Volume)) {
	for j := range a.further {
		if a.further[j].Name == name {
			change(&a.further[j].Volume)
		}
	}
}

// cards are those of the day, once its orders are known.
func dayCards(d report.Day) []rx.Sheet {
	c := sheet.DayCards{Units: d.Units, Date: string(d.Date), Runs: d.Runs, Hauls: d.Hauls, Served: report.DayServed(d), By: report.DayOrdersBy(d)}
	named := report.DayNames(d)
	for i, f := range d.Fields {
		one := sheet.DayField{Name: report.Name(named[i]), Customer: report.Name(f.Customer), Place: report.Name(Values(f.Values).one("place")), Plan: f.Folder}
		if file := filepath.Base(f.Path); Values(f.Values).one("field") == named[i] {
			one.Name += ", " + report.Name(file)
		}
		if f.Err == nil {
			one.Somewhere = figures.Place(f.Spot)
		}
		c.Fields = append(c.Fields, one)
	}
	for i := range d.Left {
		c.Left = append(c.Left, sheet.DayLeft{Text: report.DayLeftText(d, i), Made: string(d.Left[i].Made), SpreadBy: string(d.Left[i].SpreadBy)})
	}
	for _, b := range d.Blends {
		c.Blends = append(c.Blends, report.DayBlendText(b))
	}
	for _, o := range d.Orders {
		c.Orders = append(c.Orders, [2]string{o.What, report.DayOrderText(o)})
	}
	return c.List()
}

package sheet

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// settings gives the spreader setting that delivers the prescription with treated
// product, which weighs more for the same dry: R·(1+m/2000); and what reaches the
// ground if nobody raises it.
func (d *draft) settings(t *treated) {
	s := rx.Section{Title: "The spreader's setting: treated product weighs more"}
	added, known := t.added.Get()
	if !known {
		d.lacksWeight()
		s.Notes = []string{
			fmt.Sprintf("Weigh %s of treated product made from 100 %s of dry, and raise every rate by what it is over 100: setting = rate x treated / dry.", blank, d.massUnit()),
		}
		s.Blanks = []string{"Treated weight over dry weight: " + blank + "; Rate trim: + " + blank + " %"}
		d.add(s)
		return
	}
	perTon := d.bulkOne() * unit.Mass(added)
	s.Facts = []rx.Fact{
		{What: "Liquid and drying agent add", Value: num(perTon.In(d.s), 1) + " " + d.massUnit() + " a " + d.bulkUnit(), Note: percent(added)},
		{What: "Rate trim on the controller", Value: "+" + percent(added), Note: "the layer file holds pounds of untreated dry"},
	}
	if d.s == unit.Metric {
		s.Facts[1].Note = "the layer file holds kilograms of untreated dry"
	}
	table := rx.Table{
		Head: []string{"", "dry " + d.dryUnit(), "set to", d.rateUnit(), "if not raised"},
		Left: []bool{true, false, false, false, false},
	}
	for _, r := range t.threeRates() {
		rate := unit.StabilizerRate(t.layer.Loading, r.rate)
		table.Rows = append(table.Rows, []string{r.name, d.dryN(r.rate), d.dryN(equip.RaisedSetting(r.rate, added)), d.rateN(rate), d.rateN(equip.Unraised(rate, added))})
	}
	s.Tables = []rx.Table{table}
	s.Notes = []string{"If nobody raises the setting, stabilizer and nutrients both fall short by the same factor. Raise it once: by the trim, or rate by rate, never both."}
	d.add(s)
}

func (d *draft) lacksWeight() {
	const so = "what the liquid adds to the weight is not worked out"
	if _, ok := d.label.LiquidDensity(); !ok {
		d.lacks("the density of the stabilizer", "label profile, density", so)
		return
	}
	d.lacks("the density of "+d.job.SecondLiquid.Name, "job file, second-liquid.density", so)
}

// namedRate is a dry rate that stands for others.
type namedRate struct {
	name string
	rate unit.DryRate
}

// threeRates returns the lowest, mean and highest rate of the product that is
// impregnated; one where they are equal.
func (t *treated) threeRates() []namedRate {
	return threeRates(t.rates, t.mass, t.area)
}

func threeRates(r rx.Range[unit.DryRate], mass unit.Mass, area unit.Area) []namedRate {
	if r.Max-r.Min <= 1e-9*r.Max {
		return []namedRate{{"every zone", r.Max}}
	}
	return []namedRate{{"lowest", r.Min}, {"mean", unit.DryRate(float64(mass) / float64(area))}, {"highest", r.Max}}
}

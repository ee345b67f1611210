package sheet

import (
	"math"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// namedRate is a dry rate that stands for others.
type namedRate struct {
	name string
	rate unit.DryRate
}

// threeRates returns the lowest, mean and highest rate; one where they are equal.
func threeRates(r rx.Range[unit.DryRate], mass unit.Mass, area unit.Area) []namedRate {
	if r.Max-r.Min <= 1e-9*r.Max {
		return []namedRate{{"every zone", r.Max}}
	}
	return []namedRate{{"lowest", r.Min}, {"mean", unit.DryRate(float64(mass) / float64(area))}, {"highest", r.Max}}
}

// setting gives the spreader setting that delivers the prescription with treated
// product, which weighs more for the same dry: R·(1+m/2000); and what reaches the
// ground if nobody raises it.
func (d *document) setting(t *treated) {
	added, known := t.added.Get()
	table := rx.Table{
		Head: []string{"", "dry " + d.dryUnit(), "set to", d.rateUnit(), "if not raised"},
		Left: []bool{true, false, false, false, false},
	}
	for _, r := range threeRates(t.rates, t.mass, t.area) {
		rate := unit.StabilizerRate(t.first().loading, r.rate)
		table.Rows = append(table.Rows, []string{r.name, d.dryN(r.rate), d.dryN(equip.RaisedSetting(r.rate, added)), d.rateN(rate), d.rateN(equip.Unraised(rate, added))})
	}
	d.write("The spreader's setting: treated product weighs more", values{
		"added weight known": known,
		"added to a ton":     num((d.bulkOne() * unit.Mass(added)).In(d.s), 1), "added share": percent(added),
	}, only(known, table)...)
}

// densities are the bulk densities that are reckoned with before and after impregnation.
type densities struct{ before, usual, humid unit.Density }

// meter says how impregnation lowers the bulk density, and the setting of a meter
// that goes by volume.
func (d *document) meter(t *treated) {
	before, known := t.density.Get()
	usual, humid := equip.TreatedDensity(before)
	d.write("The meter: treated product is lighter for its room", values{
		"density known": known, "density before": d.bulkDensity(before), "humid density": d.bulkDensity(humid),
		"usual densities": between(d.bulkDensity(usual.Min), d.bulkDensity(usual.Max)), "usual density": d.bulkDensity(usual.Middle()),
	}, only(known, d.meterTable(t, densities{before, usual.Middle(), humid}))...)
}

// meterTable gives, for a meter that stays set for the untreated density, what it
// delivers of a set rate, and what to set so that the raised rate comes out.
func (d *document) meterTable(t *treated, f densities) rx.Table {
	table := rx.Table{
		Title: "Meter still set for " + d.bulkDensity(f.before) + ", in " + d.dryUnit() + " of treated product",
		Head:  []string{"set", "delivers", "humid", "wanted", "set to", "humid"},
		Left:  make([]bool, 6),
	}
	added := t.added.Or(0)
	for _, r := range threeRates(t.rates, t.mass, t.area) {
		raised := equip.RaisedSetting(r.rate, added)
		table.Rows = append(table.Rows, []string{
			d.dryN(r.rate), d.dry2N(equip.MeterDelivers(r.rate, f.before, f.usual)), d.dry2N(equip.MeterDelivers(r.rate, f.before, f.humid)),
			d.dryN(raised), d.dryN(equip.MeterSetting(raised, f.before, f.usual)), d.dryN(equip.MeterSetting(raised, f.before, f.humid)),
		})
	}
	return table
}

// omission is something that nobody did, and by which factor everything then falls short.
type omission struct {
	text   string
	factor float64
}

// omissions lists what is usually forgotten, after what is planned.
func (t *treated) omissions() []omission {
	list := []omission{{"as planned", 1}}
	added, weighed := t.added.Get()
	short := float64(equip.Unraised(1, added))
	if weighed {
		list = append(list, omission{"setting not raised for weight", short})
	}
	before, known := t.density.Get()
	if !known {
		return list
	}
	density, least := equip.TreatedDensity(before)
	usual, humid := float64(equip.MeterDelivers(1, before, density.Middle())), float64(equip.MeterDelivers(1, before, least))
	list = append(list, omission{"meter not recalibrated", usual}, omission{"  the same, humid weather", humid})
	if weighed {
		list = append(list, omission{"neither done", usual * short}, omission{"  the same, humid weather", humid * short})
	}
	return list
}

// ifNobodyDoes shows what the verdicts of each liquid become if nobody raises the setting
// or recalibrates the meter, zone by zone.
func (d *document) ifNobodyDoes(t *treated) {
	omissions := t.omissions()
	if len(omissions) == 1 {
		return // what is missing is said where it is needed
	}
	var tables []rx.Table
	var graded []values
	for _, c := range t.liquids {
		label, ok := c.Range()
		if !ok {
			continue
		}
		of := ""
		if c.Further() != "" {
			of = " of " + c.Name
		}
		graded = append(graded, values{"of liquid": of, "liquid's range": between(d.rate(label.Min), d.rate(label.Max))})
		table := d.omitted(t, c, omissions)
		if len(t.liquids) > 1 {
			table.Title = c.Name
		}
		tables = append(tables, table)
		if c.place == 0 {
			tables = append(tables, d.leftOver(t, c)...)
		}
	}
	if len(tables) > 0 {
		d.write("What the verdicts become if nobody does", values{"graded liquid": graded}, tables...)
	}
}

// leftOver are the tables of what goes onto a part of the layer at another loading: which zones get it is not known, so each is
// graded as if it got nothing else.
func (d *document) leftOver(t *treated, c carried) (tables []rx.Table) {
	for _, loading := range d.a.Terms.LeftOver {
		one, load := *t, t.load()
		load.Loading, c.loading = loading, loading
		one.added = d.a.Terms.AddedShare(load)
		table := d.omitted(&one, c, one.omissions())
		table.Title = "Where left-over blend lands, at " + d.loading(loading)
		tables = append(tables, table)
	}
	return tables
}

// omitted is the table of one liquid.
func (d *document) omitted(t *treated, c carried, omissions []omission) rx.Table {
	table := rx.Table{
		Head: []string{"", "delivers", d.rateUnit(), "below", "within", "above"},
		Left: []bool{true, false, false, false, false, false},
	}
	for i, n := range d.land(t, c, omissions) {
		o := omissions[i]
		table.Rows = append(table.Rows, []string{
			o.text, num(100*o.factor, 1) + " %", between(d.rateN(n.low), d.rateN(n.high)), d.areaN(n.below), d.areaN(n.within), d.areaN(n.above),
		})
	}
	return table
}

// landed is what a layer puts on the ground, by verdict.
type landed struct {
	low, high            unit.LiquidRate
	below, within, above unit.Area
}

// land grades a liquid in the zones of a layer once for each omission.
func (in *inputs) land(t *treated, c carried, omissions []omission) []landed {
	all := make([]landed, len(omissions))
	label, _ := c.Range()
	in.eachZone(t, func(z rx.Zone, r unit.DryRate) {
		planned := unit.StabilizerRate(c.loading, r)
		for i, o := range omissions {
			all[i].add(label, planned*unit.LiquidRate(o.factor), z.Area)
		}
	})
	return all
}

func (n *landed) add(label rx.Range[unit.LiquidRate], rate unit.LiquidRate, area unit.Area) {
	if n.high == 0 || rate < n.low {
		n.low = rate
	}
	n.high = max(n.high, rate)
	switch {
	case label.Under(rate):
		n.below += area
	case label.Over(rate):
		n.above += area
	default:
		n.within += area
	}
}

// treated is a layer that is impregnated, as its plant sees it.
type treated struct {
	layer   *rx.Layer
	field   int                       // of the product that is impregnated; -1 for a blend
	what    equip.Blend               // the materials that are impregnated; none if they are not known
	mass    unit.Mass                 // of untreated product
	rates   rx.Range[unit.DryRate]    // of that product, above 0
	area    unit.Area                 // that gets it
	density label.Known[unit.Density] // bulk, before the liquid
	added   label.Known[unit.Ratio]   // weight of liquids and drying agent over that of dry
	batches equip.Batches             // in the blender; none where that is not known
	batched bool                      // whether the blender is known
	portion rx.Portion                // one batch; all of it where the blender is not known
	liquids []carried                 // that it carries, the stabilizer first if that is among them
}

func (in *inputs) treat(l *rx.Layer) treated {
	t := treated{layer: l, field: impregnatedField(l), liquids: in.carries(l)}
	t.mass = unit.Mass(float64(t.first().volume)/float64(t.first().loading)) * unit.Ton
	t.what = in.a.Terms.MaterialsOf(in.p, t.field)
	in.eachZone(&t, func(z rx.Zone, r unit.DryRate) {
		t.area += z.Area
		t.rates.Widen(r, t.rates.Max == 0)
	})
	if d, ok := t.what.BulkDensity(); ok {
		t.density = label.Know(d)
	}
	t.added = in.a.Terms.AddedShare(t.load())
	t.batches, t.portion, t.batched = in.a.Terms.Batches(t.load())
	return t
}

// load returns the layer as the blender takes it.
func (t *treated) load() rx.Load {
	return t.layer.Load(t.mass, t.rates, t.what)
}

// impregnatedField returns which field's product carries the layer's stabilizer; -1
// for one blend.
func impregnatedField(l *rx.Layer) int {
	for _, c := range l.Columns {
		if c.Spread != nil && c.Spread.Treated {
			return c.Field
		}
	}
	return -1
}

// eachZone calls do with every zone that the treated layer serves, in file order,
// and the rate of the product that is impregnated there.
func (in *inputs) eachZone(t *treated, do func(z rx.Zone, r unit.DryRate)) {
	for i, z := range in.p.Zones {
		if !z.HasRate() {
			continue
		}
		var r unit.DryRate
		for _, column := range t.layer.Columns {
			if t.field < 0 || column.Field == t.field {
				r += column.Rate(in.p, i)
			}
		}
		if r > 0 && !math.IsNaN(float64(r)) {
			do(z, r)
		}
	}
}

// windowText prints the dry rates that stay on label at the loadings of a layer, and those
// of the layer itself. The ends of the former are rounded inward, so that what is printed
// is on label too; both have as many decimals as it takes for the layer's rates to be
// inside as printed. Where no rate is on label it says why.
func (in *inputs) windowText(t *treated) (window, own, why string) {
	r, why := in.a.Terms.DryWindow(t.load().Loadings()...)
	text := func(low, high float64, decimals int) string {
		return between(trim(low, decimals)+" "+in.dryUnit(), trim(high, decimals)+" "+in.dryUnit())
	}
	low, high := t.rates.Min.In(in.s), t.rates.Max.In(in.s)
	for decimals := 1; decimals <= 3; decimals++ {
		least, most := inward(r.Min.In(in.s), r.Max.In(in.s), decimals)
		window, own = text(least, most, decimals), text(low, high, decimals)
		if steps := math.Pow10(decimals); least <= math.Round(low*steps)/steps && math.Round(high*steps)/steps <= most {
			return window, own, why
		}
	}
	return text(r.Min.In(in.s), r.Max.In(in.s), 1), text(low, high, 1), why // a window that is a point
}

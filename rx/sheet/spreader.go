package sheet

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// spreader returns the sheet of the dry layers, for the spreader.
func (in *inputs) spreader() rx.Sheet {
	d := in.begin(rx.SpreaderSheet, "Spreader sheet", "", in.putOn())
	d.loaded()
	d.taskData()
	if s := in.job.Spreader; s != nil {
		d.massFlows(*s)
		d.change(*s)
		d.fallback(*s)
	} else {
		d.write("Flow, by hand", nil)
	}
	d.staticCatch()
	d.density()
	d.pattern()
	return d.end()
}

// dryProduct is what one meter of the spreader turns out: a layer of one blend, or one
// product of a layer where products are spread side by side.
type dryProduct struct {
	layer   *rx.Layer
	field   int // of the prescription; -1 for the blend
	name    string
	zones   int
	rates   rx.Range[unit.DryRate] // above 0
	mass    unit.Mass              // of untreated dry
	area    unit.Area
	treated bool
	added   label.Known[unit.Ratio]   // of a treated product; none for an untreated one
	density label.Known[unit.Density] // bulk; of a treated product what is usual
}

// trim returns by how much the rates are raised, and whether that is known.
func (m dryProduct) trim() (unit.Ratio, bool) {
	if !m.treated {
		return 0, true
	}
	return m.added.Get()
}

// mean returns the area-weighted mean rate.
func (m dryProduct) mean() unit.DryRate { return unit.DryRate(float64(m.mass) / float64(m.area)) }

// dryProducts lists what the spreader turns out, in the order of the layers; a layer that
// spreads nothing has none.
func (in *inputs) dryProducts() []dryProduct {
	var list []dryProduct
	for _, l := range in.dryLayers() {
		if !l.SideBySide() {
			list = append(list, in.finish(dryProduct{layer: l, name: l.Name, zones: l.Zones, rates: l.Dry, mass: l.Mass, area: l.Area}, -1))
			continue
		}
		for _, column := range l.Columns {
			own := column.Spread
			name := l.Name + " " + in.p.Fields[column.Field].Name
			list = append(list, in.finish(dryProduct{layer: l, name: name, zones: own.Zones, rates: own.Dry, mass: own.Mass, area: own.Area}, column.Field))
		}
	}
	return slices.DeleteFunc(list, func(m dryProduct) bool { return m.area == 0 })
}

// finish adds what is known of a product, that of a field or, for -1, of the blend.
func (in *inputs) finish(m dryProduct, field int) dryProduct {
	m.field = field
	if d, ok := in.a.Terms.MaterialsOf(in.p, field).BulkDensity(); ok {
		m.density = label.Know(d)
	}
	if i := slices.IndexFunc(in.treated, func(t treated) bool { return t.layer == m.layer && t.field == field }); i >= 0 {
		m.treated, m.added = true, in.treated[i].added
		if d, ok := m.density.Get(); ok {
			usual, _ := equip.TreatedDensity(d)
			m.density = label.Know(usual.Middle())
		}
	}
	return m
}

// dryLayers returns the layers that the spreader loads.
func (in *inputs) dryLayers() []*rx.Layer { return in.layers(rx.Dry) }

// layers returns the layers of dry or of liquid, in the order of the plan.
func (in *inputs) layers(of rx.Product) (list []*rx.Layer) {
	for i := range in.plan.Layers {
		if in.plan.Layers[i].Product == of {
			list = append(list, &in.plan.Layers[i])
		}
	}
	return list
}

// loaded lists the layers and what belongs to each.
func (d *document) loaded() {
	table := rx.Table{
		Head: []string{"layer", "holds", "zones", d.areaUnit(), d.dryUnit(), d.bulkUnit(), "trim"},
		Left: []bool{true, true, false, false, false, false, false},
	}
	for _, m := range d.dryProducts() {
		holds, trim := "untreated", "0 %"
		if m.treated {
			holds, trim = "TREATED", blank
			if added, ok := m.trim(); ok {
				trim = "+" + percent(added)
			}
		}
		table.Rows = append(table.Rows, []string{m.name, holds, fmt.Sprint(m.zones), d.areaN(m.area), between(d.dryN(m.rates.Min), d.dryN(m.rates.Max)), d.bulkN(m.mass), trim})
	}
	var made []values
	for _, l := range d.dryLayers() {
		for _, of := range d.madeOf(l) {
			if n := len(made); n > 0 && made[n-1]["made of"] == of["made of"] {
				made[n-1]["product of the layer"] = fmt.Sprint(made[n-1]["product of the layer"], ", ", of["product of the layer"])
			} else {
				made = append(made, of)
			}
		}
	}
	v := values{
		"rate column": d.rateColumns(), "prescribed in": d.p.Fields[0].Counts(),
		"file holds prescribed rates too": slices.ContainsFunc(d.dryLayers(), func(l *rx.Layer) bool { return l.RxRate }),
		"base with its top-up":            d.plan.Way.Stacked && len(d.dryLayers()) == 2,
		"two bins":                        d.job.Spreader != nil && d.job.Spreader.TwoBins(),
		"conflict":                        []values(nil), "known product": made,
	}
	parts := d.partColumns()
	v["products have columns"], v["columns of products"] = parts != "", parts
	if len(d.treated) == 0 && d.p.Blend() { // no blender sheet warns of it
		v["conflict"] = d.conflicts(equip.Compatibility(d.job.Blend))
	}
	d.write("What to load", v, table)
}

// rateColumns says which column of a dry layer's file to load, one for each bin, and what
// its rates count: the file keeps the unit of the prescription.
func (d *document) rateColumns() []values {
	var list []values
	for _, c := range d.p.DryColumns() {
		if !c.Load {
			continue
		}
		list = append(list, values{
			"column": c.Short, "name cut": c.Short != c.Name, "whole name": c.Name, "all together": c.Field == rx.AllFields,
			"unit of the file": c.Unit, "file in another unit": c.Unit != d.dryUnit(),
		})
	}
	return list
}

// partColumns names the columns of a blend's products, which none of its machines loads.
func (d *document) partColumns() string {
	var names []string
	for _, c := range d.p.DryColumns() {
		if !c.Load {
			names = append(names, c.Short)
		}
	}
	return strings.Join(names, " or ")
}

// massFlows gives what leaves the machine at its usual speed.
func (d *document) massFlows(s equip.Spreader) {
	table := rx.Table{
		Head: []string{"layer", "", "rate " + d.dryUnit(), "set to", unit.Symbol[unit.MassFlow](d.s), unit.Symbol[unit.BulkFlow](d.s), ""},
		Left: []bool{true, true, false, false, false, false, true},
	}
	missed := false
	for _, m := range d.dryProducts() {
		density, known := m.density.Get()
		added, _ := m.trim()
		for i, r := range threeRates(m.rates, m.mass, m.area) {
			set := equip.RaisedSetting(r.rate, added)
			flow := s.MassFlow(set, s.Speed.Usual)
			row := []string{"", r.name, d.dryN(r.rate), d.dryN(set), num(flow.In(d.s), 1), blank, ""}
			if i == 0 {
				row[0] = m.name
			}
			if known {
				row[5] = num(equip.BulkFlow(flow, density).In(d.s), pick(d.show, 2, 3))
			}
			if got := s.Delivered(set); got != set {
				row[6], missed = "gives "+d.dryN(got), true
			}
			table.Rows = append(table.Rows, row)
		}
	}
	_, dense := d.job.Blend.BulkDensity()
	reach, limited := s.Rates.Get()
	d.write("Flow at the usual speed", values{
		"out of reach": missed, "swath": d.length(s.Swath), "usual speed": d.speed(s.Speed.Usual),
		"several speeds": s.Speed.Low < s.Speed.High, "lowest to highest": between(d.speed(s.Speed.Low), d.speed(s.Speed.High)),
		"reach known": limited, "reach": between(d.dry(reach.Min), d.dry(reach.Max)), "density known": dense,
	}, table)
}

// change says how far the machine drives while a rate changes.
func (d *document) change(s equip.Spreader) {
	time, known := s.RateChange.Get()
	distance := d.length(s.ChangeDistance())
	if !known {
		distance = between(d.length(equip.RateChangeDistance(s.Speed.Usual, equip.ShortRateChange)), d.length(equip.RateChangeDistance(s.Speed.Usual, equip.LongRateChange)))
	}
	d.write("Where rates change", values{
		"change distance": distance, "change time known": known, "seconds": num(float64(time/unit.Second), 1), "usual speed": d.speed(s.Speed.Usual),
	})
}

// fallback says what the controller spreads where it has no rate.
func (d *document) fallback(s equip.Spreader) {
	show := func(rate label.Known[unit.DryRate]) (text string, known, spreads bool) {
		if rate, known := rate.Get(); known {
			return d.dry(rate), true, rate > 0
		}
		return blank, false, false
	}
	outside, known, spreads := show(s.DefaultRate)
	lost, lostKnown, lostSpreads := show(s.LostRate)
	d.write("What the controller does on its own", values{
		"default rate": outside, "default rate known": known, "spreads outside": spreads,
		"lost rate": lost, "lost rate known": lostKnown, "spreads when lost": lostSpreads,
	})
}

// staticCatch gives what the standing machine should throw out, and the correction
// of the controller's factor.
func (d *document) staticCatch() {
	m := d.job.Spreader
	if m == nil {
		d.write("Static catch", values{"spreader known": false, "usual speed": "", "swath": ""})
		return
	}
	const turns = 30 * unit.Second
	table := rx.Table{Head: []string{"layer", "set to " + d.dryUnit(), "in 30 s, " + d.massUnit()}, Left: []bool{true, false, false}}
	for _, out := range d.dryProducts() {
		added, _ := out.trim()
		rate := equip.RaisedSetting(out.mean(), added)
		flow := m.MassFlow(rate, m.Speed.Usual)
		table.Rows = append(table.Rows, []string{out.name, d.dryN(rate), num(unit.Mass(float64(flow)*float64(turns)).In(d.s), 1)})
	}
	d.write("Static catch", values{"spreader known": true, "usual speed": d.speed(m.Speed.Usual), "swath": d.length(m.Swath)}, table)
}

// density gives the correction for the density that was weighed.
func (d *document) density() {
	dry, known := d.job.Blend.BulkDensity()
	usual, humid := equip.TreatedDensity(dry)
	d.write("Density, as weighed", values{
		"density known": known && d.p.Blend(), "dry density": d.bulkDensity(dry),
		"treated densities": between(d.bulkDensity(usual.Min), d.bulkDensity(usual.Max)), "humid density": d.bulkDensity(humid),
	})
}

// pans is how many pans the pattern table has lines for.
const pans = 11

// pattern gives the test of the spread across the swath: what tests have shown, and a
// table for the next one.
func (d *document) pattern() {
	m := d.job.Spreader
	if m != nil {
		for i, test := range m.PanTests {
			d.tested(*m, test, fmt.Sprint(i+1))
		}
	}
	table := rx.Table{Head: []string{"pan", "from the center", "caught", "minus mean", "squared"}, Left: make([]bool, 5)}
	const line = "________"
	for i := range pans {
		place := line
		if m != nil {
			place = d.side(unit.Length(float64(m.Swath) * (float64(i)/(pans-1) - 0.5)))
		}
		table.Rows = append(table.Rows, []string{fmt.Sprint(i + 1), place, line, line, line})
	}
	table.Total = []string{"sum", "", line, "", line}
	d.write("Pattern across the swath", nil, table)
	d.sheet.Sections[len(d.sheet.Sections)-1].Desk = m != nil && len(m.PanTests) > 0 // what it asks for is known
}

// side prints how far a pan stands from the center, and on which side.
func (w show) side(off unit.Length) string {
	length := trim(max(off, -off).In(w.s), 1) + " " + unit.Symbol[unit.Length](w.s)
	switch {
	case off < 0:
		return length + " left"
	case off > 0:
		return length + " right"
	}
	return "center"
}

// tested tells what a pan test of the job file shows: among others, the swath with the
// lowest CV and the widest that is satisfactory.
func (d *document) tested(m equip.Spreader, test equip.PanTest, number string) {
	rate, rated := test.Rate.Get()
	at, covered := test.At(m.Swath)
	best, others := equip.Lowest(test.Patterns())
	widest, some := equip.WidestWithin(test.Patterns(), equip.SatisfactoryCV)
	width := "none"
	if some {
		width = d.length(widest.Swath)
	}
	swaths := d.swaths(test)
	d.write("Pattern, pan test {number} of the job file", values{
		"number": number, "rate known": rated, "rate set": d.dry(rate),
		"pans": fmt.Sprint(len(test.Caught)), "distance": d.length(test.Spacing), "single pass": test.Passes == equip.SinglePass,
		"swath": d.length(m.Swath), "swath is covered": covered, "CV": equip.CVText(at.CV()), "verdict": equip.CVWord(at.CV()),
		"uneven": covered && at.CV() > equip.SatisfactoryCV, "flown beyond": test.CutOff(),
		"other swaths": others, "lowest CV": equip.CVText(best.CV()), "best swath": d.length(best.Swath),
		"some swath is satisfactory": some, "widest swath": width, "CV there": equip.CVText(widest.CV()),
	}, append([]rx.Table{d.catches(m, test)}, only(len(swaths.Rows) > 0, swaths)...)...)
}

// outside stands for what a pan outside the swath has caught together with its
// neighbors: nothing is to be filled in there.
const outside = "-"

// catches lists the pans with what they caught and, of a single pass, what lies at
// them at the swath of the job file.
func (d *document) catches(m equip.Spreader, test equip.PanTest) rx.Table {
	table := rx.Table{Head: []string{"pan", "from the center", "caught"}, Left: make([]bool, 3), Long: true, Desk: true}
	places, forth := test.Laid(m.Swath, true)
	_, rounds := test.Laid(m.Swath, false)
	overlaid := test.Passes == equip.SinglePass && len(places) > 0
	if overlaid {
		table.Title = "Caught, and with its neighbors at a swath of " + d.length(m.Swath)
		table.Head, table.Left = append(table.Head, "back and forth", "in rounds"), make([]bool, 5)
	}
	k, near := 0, unit.Length(test.Spacing/4)
	for i, c := range test.Caught {
		at := test.Place(i)
		row := []string{fmt.Sprint(i + 1), d.side(at), trim(float64(c), 2)}
		if overlaid {
			for k < len(places) && places[k] < at-near {
				k++
			}
			a, b := outside, outside
			if k < len(places) && places[k] < at+near {
				a, b = trim(float64(forth[k]), 2), trim(float64(rounds[k]), 2)
			}
			row = append(row, a, b)
		}
		table.Rows = append(table.Rows, row)
	}
	return table
}

// mostSwaths is how many swaths are listed.
const mostSwaths = 16

// swaths lists the CV by swath, of a single pass.
func (d *document) swaths(test equip.PanTest) rx.Table {
	table := rx.Table{Title: "CV by swath", Head: []string{"swath", "back and forth", "in rounds", ""}, Left: []bool{false, false, false, true}, Long: true, Desk: true}
	list := test.Patterns()
	stride := (len(list) + mostSwaths - 1) / mostSwaths
	for i := 0; i < len(list); i += stride {
		p := list[i]
		table.Rows = append(table.Rows, []string{d.length(p.Swath), equip.CVText(p.BackAndForth), equip.CVText(p.InRounds), equip.CVWord(p.CV())})
	}
	return table
}

package sheet

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

// field returns the sheet of the whole plan, for whoever orders and answers for it.
func (in *inputs) field() rx.Sheet {
	d := in.begin(rx.FieldSheet, "Field sheet", "", in.putOn())
	maps.Copy(d.always, in.noRates())
	d.whole()
	d.newRates()
	d.order()
	d.season()
	d.record()
	d.write("What else to know", nil)
	d.reconcile()
	d.breakEven()
	return d.end()
}

// putOn lists the liquids that the plan puts on the ground.
func (in *inputs) putOn() []rx.JobLiquid {
	list := []rx.JobLiquid{in.a.Terms.Stabilizer()}
	for k, l := range in.a.Terms.Further {
		if in.plan.Way.Further[k].Rate.Max > 0 {
			list = append(list, l)
		}
	}
	return list
}

// furtherLands says what lands of each further liquid.
func (d *document) furtherLands() (list []values) {
	for k, l := range d.a.Terms.Further {
		rates := d.plan.Way.Further[k].Rate
		what := between(d.rate(rates.Min), d.rate(rates.Max)) + ", not graded: no label"
		if r, graded := l.Range(); graded {
			what = between(d.rate(rates.Min), d.rate(rates.Max)) + ", label range " + between(d.rate(r.Min), d.rate(r.Max))
		}
		if rates.Max == 0 {
			what = "not put on by this plan"
		}
		list = append(list, values{"liquid": l.Name, "what lands": what})
	}
	return list
}

// whole says what the plan does with the field.
func (d *document) whole() {
	w := d.plan.Way
	rates := d.onGround()
	var warnings []string
	var keepOuts []values
	if f := d.plan.KeepOut; f != nil && f.Area > 0 {
		keepOuts = append(keepOuts, values{"ground kept out": d.area(f.Area), "where it is kept out": d.a.Terms.WhereKept()})
	}
	for _, f := range d.plan.Findings {
		if f.Severity > rx.Note {
			warnings = append(warnings, sentence(tell.Text(f, d.s)))
		}
	}
	conditions := each.Of(w.Conditions, func(c rx.Finding) string { return tell.Text(c, d.s) })
	var accepted []values
	for _, a := range d.plan.Accepted {
		accepted = append(accepted, values{"doubt": sentence(tell.Text(a.Finding, d.s)), "reason": sentence(a.Reason)})
	}
	d.write("The plan", values{
		"warning": entries("warning", warnings...), "field as drawn": d.area(d.p.Area()), "zones": plural(len(d.p.Zones), "zone", "zones"),
		"ground with stabilizer": d.area(d.plan.StabilizerGround(d.p.Zones)), "rates on the ground": between(d.rate(rates.Min), d.rate(rates.Max)),
		"condition": entries("condition", conditions...), "how": w.Why, "passes": fmt.Sprint(w.Passes), "sprayed": w.Sprayed > 0,
		"zones left off": len(w.LeftZones) > 0, "ground left off": d.area(w.LeftOff),
		"which are left off": d.zoneNote(w.LeftZones, "zones.csv, where "+d.dryColumn()+" is above 0 and "+d.onGroundColumn()+" is 0"),
		"keep-out":           keepOuts, "accepted doubt": accepted, "further liquid": d.furtherLands(),
	})
}

// onGround returns the stabilizer rates that the plan puts on ground that gets any.
func (in *inputs) onGround() (rates rx.Range[unit.LiquidRate]) {
	for _, s := range in.plan.Stabilizer {
		if s > 0 {
			rates.Widen(s, rates.Max == 0)
		}
	}
	if left := in.plan.Way.Rate; len(in.a.Terms.LeftOver) > 0 && rates.Max > 0 {
		rates.Widen(left.Min, false)
		rates.Widen(left.Max, false)
	}
	return rates
}

// season holds the sum of the season's passes against the label.
func (d *document) season() {
	applied := d.a.Terms.AlreadyApplied
	sum := applied + d.onGround().Max
	most, known := d.label.SeasonMax.Get()
	d.write("The season, the law, and going back in", values{
		"already applied": d.rate(applied), "applied by a file": d.a.Terms.Already != nil, "with this pass": d.rate(sum),
		"season maximum known": known, "season maximum": d.rate(most), "left of the season": d.rate(max(most-sum, 0)),
		"over the season maximum": known && (rx.Range[unit.LiquidRate]{Max: most}).Over(sum),
	})
}

// record is what an applicator's record of the pass asks for, as far as it is known.
func (d *document) record() {
	deadline, known := d.label.Incorporate.Get()
	restricted := blank
	if d.label.Restricted != label.Unknown {
		restricted = d.label.Restricted.String()
	}
	d.write("Record of the application", values{
		"crop": orBlank(d.job.Crop), "place": orBlank(d.job.Place), "customer": orBlank(d.job.Customer), "address": orBlank(d.job.Address),
		"active known": d.label.Active != "", "active ingredient": orBlank(d.label.Active),
		"restriction unknown": d.label.Restricted == label.Unknown, "restricted use": restricted,
		"deadline known": known, "deadline": d.days(deadline),
	})
}

// ordered is a dry material and what the plan takes of it.
type ordered struct {
	name string
	mass unit.Mass
}

// materials adds up the dry of all layers by material.
func (in *inputs) materials() []ordered {
	var list []ordered
	all := in.weighedDry()
	if in.p.Blend() {
		for i, m := range in.weighed() {
			list = append(list, ordered{in.job.Blend[i].Name, m})
		}
		if len(list) != 1 {
			list = append(list, ordered{"dry, all together", all})
		}
		return list
	}
	for f, field := range in.p.Fields {
		name := "product of field " + field.Name
		if m := in.a.Terms.MaterialsOf(in.p, f); len(m) > 0 {
			name = m[0].Name
		}
		list = append(list, ordered{name, in.fieldMass(f)})
	}
	return append(list, ordered{"dry, all together", all})
}

// weighedDry adds up the dry of all layers, of treated ones as their batches are
// weighed.
func (in *inputs) weighedDry() unit.Mass {
	var all unit.Mass
	for _, l := range in.dryLayers() {
		mass := l.Mass
		if i := slices.IndexFunc(in.treated, func(t treated) bool { return t.layer == l }); i >= 0 {
			mass = mass - in.treated[i].mass + in.treated[i].portion.Total().Dry
		}
		all += mass
	}
	return all
}

// weighed adds up the materials of one blend: of treated layers, what the scale reads for each in
// every batch, which is not its share of their sum.
func (in *inputs) weighed() []unit.Mass {
	rest := in.weighedDry()
	sum := make([]unit.Mass, len(in.job.Blend))
	for _, t := range in.treated {
		if all := t.portion.Total(); len(all.Materials) == len(sum) {
			rest -= all.Dry
			for i, m := range all.Materials {
				sum[i] += m
			}
		}
	}
	for i, m := range in.job.Blend.Split(rest) {
		sum[i] += m
	}
	return sum
}

// fieldMass adds up one field's product over the dry layers, of products side by side.
func (in *inputs) fieldMass(f int) unit.Mass {
	var mass unit.Mass
	for _, l := range in.dryLayers() {
		for _, column := range l.Columns {
			if column.Field == f {
				mass += column.Spread.Mass
			}
		}
	}
	return mass
}

// order lists what the plan takes in all; of treated layers, what their batches take.
func (d *document) order() {
	table := rx.Table{Head: []string{"product", "in all", "", "that is", ""}, Left: []bool{true, false, true, false, true}}
	for _, m := range d.materials() {
		table.Rows = append(table.Rows, []string{m.name, d.bulkN(m.mass), d.bulkUnit(), d.massN(m.mass), d.massUnit()})
	}
	stabilizer, further, agent := d.liquids()
	liquid := func(name string, v unit.Volume) {
		table.Rows = append(table.Rows, []string{name, d.canN(v), d.canUnit(), d.dropN(v), d.dropUnit()})
	}
	liquid("stabilizer", stabilizer)
	for k, l := range d.a.Terms.Further {
		if further[k] > 0 {
			liquid(l.Name, further[k])
		}
	}
	if len(d.treated) > 0 {
		table.Rows = append(table.Rows, []string{"drying agent", d.bulkN(agent), d.bulkUnit(), d.agentN(agent), d.massUnit()})
	}
	small, large := d.containers(stabilizer)
	d.write("To order", values{
		"small containers": small, "enough for a large container": large != "", "large containers": large, "materials known": len(d.job.Blend) > 0,
	}, table)
}

// liquids adds up stabilizer, further liquids and drying agent of the plan, as batches and
// fills are metered.
func (in *inputs) liquids() (liquid unit.Volume, further []unit.Volume, agent unit.Mass) {
	for i := range in.treated {
		all := in.treated[i].portion.Total()
		liquid, agent = liquid+all.Liquid, agent+all.AgentInAll()
	}
	for i := range in.plan.Layers {
		if l := &in.plan.Layers[i]; l.Product == rx.Liquid {
			liquid += in.sprayed(l)
		}
	}
	for _, f := range in.plan.Way.Further {
		further = append(further, f.Metered)
	}
	return liquid, further, agent
}

// containers counts what the stabilizer comes in: all small containers, or whole
// large ones and small ones for the rest; that is empty if there is not one.
func (w show) containers(v unit.Volume) (small, large string) {
	little, big := pick(w, 2.5*unit.Gallon, 10*unit.Liter), pick(w, 265*unit.Gallon, 1000*unit.Liter)
	littleText, bigText := pick(w, "2.5 gal", "10 L"), pick(w, "265 gal", "1000 L")
	count := func(v unit.Volume) int {
		n := int(v / little)
		if v-unit.Volume(little*unit.Volume(n)) > 1e-9*little {
			n++
		}
		return n
	}
	small = plural(count(v), "container", "containers") + " of " + littleText
	whole := int(v/big + 1e-9)
	if whole == 0 {
		return small, ""
	}
	large = plural(whole, "container", "containers") + " of " + bigText
	if rest := count(max(v-unit.Volume(big*unit.Volume(whole)), 0)); rest > 0 {
		large += fmt.Sprintf(" and %d of %s", rest, littleText)
	}
	return small, large
}

// tooFar is by how much a counter may be off before somebody looks for the reason;
// common practice, no source.
const tooFar = 5 * unit.Percent

// reconcile says what the counters should read after the pass.
func (d *document) reconcile() {
	table := rx.Table{
		Head: []string{"layer", "counter", "should read", "from", "to", "reads"},
		Left: []bool{true, true, false, false, false, false},
	}
	const line = "________"
	row := func(layer, what string, v float64, decimals int) {
		e := float64(tooFar)
		table.Rows = append(table.Rows, []string{layer, what, num(v, decimals), num(v*(1-e), decimals), num(v*(1+e), decimals), line})
	}
	for _, m := range d.dryProducts() {
		row(m.name, d.areaUnit(), m.area.In(d.s), 2)
		if !m.treated {
			row("", d.massUnit()+" of dry", m.mass.In(d.s), 0)
			continue
		}
		if added, ok := m.trim(); ok {
			row("", d.massUnit()+" of treated dry", (m.mass * unit.Mass(1+added)).In(d.s), 0)
		} else {
			table.Rows = append(table.Rows, []string{"", d.massUnit() + " of treated dry", line, line, line, line})
		}
		for _, c := range d.carries(m.layer) {
			row("", d.canUnit()+" of "+narrowed(c.Name)+" in it", float64(c.volume/d.canOne()), 2)
		}
	}
	for i := range d.plan.Layers {
		l := &d.plan.Layers[i]
		if l.Product != rx.Liquid {
			continue
		}
		row(l.Name, d.areaUnit(), l.Area.In(d.s), 2)
		row("", d.canUnit()+" of stabilizer", float64(d.sprayed(l)/d.canOne()), 2)
		for i, v := range d.sprayedFurther(l) {
			row("", d.canUnit()+" of "+narrowed(d.a.Terms.FurtherOn(equip.OnBoom)[i].Name), float64(v/d.canOne()), 2)
		}
		if l.Mix > 0 {
			row("", d.canUnit()+" of mix", float64(unit.VolumeOver(l.Mix, l.Area)/d.canOne()), 1)
		}
	}
	d.write("After the pass: what the counters should read", values{"too far off": percent(tooFar)}, table)
}

// narrowed cuts a name off so that a table with it fits the paper.
func narrowed(name string) string { return cut(name, 14) }

func cut(name string, most int) string {
	if letters := []rune(name); len(letters) > most {
		return string(letters[:most-3]) + "..."
	}
	return name
}

// breakEven sets what the stabilizer costs against the price of the crop: cost ÷
// price per bushel. It promises nothing.
func (d *document) breakEven() {
	cost := d.plan.Way.Cost
	if cost == nil {
		return
	}
	table := rx.Table{Head: []string{"", "of", "at $", "$", "$/" + d.areaUnit() + " spread"}, Left: []bool{true, false, false, false, false}}
	by := cost.Area.In(d.s)
	extra := cost.High
	for _, item := range cost.Items {
		table.Rows = append(table.Rows, []string{item.What, item.Of, item.At, num(item.Amount, 2), num(item.Amount/by, 2)})
		if item.Plain {
			extra -= item.Amount
		}
	}
	table.Total = []string{"in all", "", "", num(cost.High, 2), num(cost.High/by, 2)}
	alone := extra - d.furtherCost() // what would be paid without the stabilizer too cancels
	harvest, symbol, priced := d.job.Prices.BreakEven(unit.Money(alone), d.s)
	price, _ := d.job.Prices.Crop.Get()
	finer := 0 // decimals, of a ton or a metric ton
	if symbol != "bu" {
		finer = 1
	}
	left := alone < 0 // N is left out that is worth more than all else
	known := !left && priced && !math.IsNaN(by)
	onGround := d.plan.StabilizerGround(d.p.Zones) // where alone a response can be
	more, differs := d.halvesCost()
	d.write("What it costs, and what would pay for it", values{
		"cost without it": money(extra), "its share": money(extra / by), "ground spread": d.area(cost.Area),
		"further liquid cancels": alone != extra, "cost of the stabilizer": money(alone), "cost of the further": money(extra - alone),
		"break-even known": known, "break-even": num(harvest/onGround.In(d.s), 2+finer), "harvest": num(harvest, finer), "bu": symbol, "crop price": price.Text(d.s),
		"less ground than is spread": num(onGround.In(d.s), 2) != num(by, 2), "ground with stabilizer": d.area(onGround),
		"half batches cost another sum": differs, "difference": d.drop(max(more, -more)), "less": more < 0,
		"price of it":        money(float64(d.job.Prices.Stabilizer.Or(0)) * float64(max(more, -more)/unit.Gallon)),
		"some price missing": len(cost.Missing) > 0, "missing prices": strings.Join(cost.Missing, ", "), "missing price": entries("what", cost.Missing...),
		"thing not counted":   entries("thing", cost.NotCounted...),
		"nothing to pay back": left, "crop price wanted": !left && !known,
	}, table)
	d.sheet.Sections[len(d.sheet.Sections)-1].Desk = true // a crew needs no prices
}

// furtherCost is what the further liquids and their drying agent cost, as far as they are
// priced: the same with the stabilizer as without.
func (in *inputs) furtherCost() (sum float64) {
	for k, l := range in.a.Terms.Further {
		sum += float64(float64(l.Price.Or(0)) * float64(in.plan.Way.Further[k].Metered/unit.Gallon))
	}
	for i := range in.treated {
		for _, f := range in.treated[i].portion.Total().Further {
			sum += float64(float64(in.job.Prices.DryingAgent.Or(0)) * float64(f.Agent/unit.Ton))
		}
	}
	return sum
}

// halvesCost returns what stabilizer half batches would take more than full ones, and
// whether that is priced and not nothing.
func (in *inputs) halvesCost() (more unit.Volume, differs bool) {
	for i := range in.treated {
		t := &in.treated[i]
		if _, half, ok := in.a.Terms.HalfBatches(t.load()); ok {
			more += half.Total().Liquid - t.portion.Total().Liquid // of stabilizer alone, which the price is of
		}
	}
	_, priced := in.job.Prices.Stabilizer.Get()
	return more, priced && math.Abs(float64(more)) >= 1e-6
}

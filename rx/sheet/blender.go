package sheet

import (
	"fmt"
	"maps"
	"math"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// blender returns the sheet of one impregnated load, for the plant.
func (in *inputs) blender(i int) rx.Sheet {
	t := &in.treated[i]
	d := in.begin(rx.BlenderSheet, in.blenderTitle(i), t.layer.Name, t.names())
	maps.Copy(d.always, d.liquidWords(t))
	d.identity(t)
	d.compatibility(t)
	d.amounts(t)
	d.doses(t)
	d.mixing(t)
	d.halfBatches(t)
	d.write("Batch log", nil)
	d.setting(t)
	d.meter(t)
	d.ifNobodyDoes(t)
	d.write("Bringing the {first liquid} in", nil)
	if d.job.Run == "" { // else the day's cards say it
		d.trucks(t)
	}
	window, _, why := d.windowText(t)
	d.write("Treated blend that is left over", values{"some rate is on label": why == "", "rates on label": window, "graded": t.graded()})
	return d.end()
}

func (in *inputs) blenderTitle(i int) string {
	if n := len(in.treated); n > 1 {
		return fmt.Sprintf("Blender sheet, load %d of %d", i+1, n)
	}
	return "Blender sheet"
}

// identity says what the load is: what a custom blend's statement needs, where the
// product is, or may be, a registered pesticide.
func (d *document) identity(t *treated) {
	added, weighed := t.added.Get()
	grade, graded := t.treatedGrade()
	most, limited := d.a.Terms.For(t.load()).MostLiquid()
	least := unit.DryRate(0)
	all := unit.Loading(0)
	for _, c := range t.liquids {
		all += c.loading
		least = max(least, c.Bounds().Dry.Min)
	}
	window, own, why := d.windowText(t)
	field := ""
	if t.field >= 0 {
		field = d.p.Fields[t.field].Name
	}
	d.write("What this load is", values{
		"other load":      d.otherLoads(t),
		"materials known": len(t.what) > 0, "materials": materialsText(t.what), "one product of several": field != "", "field": field,
		"dry": d.bulk(t.mass), "dry weight": d.mass(t.mass), "ground": d.area(t.area),
		"added weight known": weighed, "treated weight": d.bulk(t.mass * unit.Mass(1+added)),
		"treated grade known": graded, "treated grade": gradeText(grade),
		"most liquid known": limited, "most liquid": d.loading(most), "all liquid": d.loading(all),
		"some rate is on label": why == "", "why none": why, "rates on label": window, "rates of this layer": own,
		"graded": t.graded(), "least rate known": least > 0, "least rate": d.dry(least),
	})
}

// materialsText lists the materials with grade and share, and the grade of the blend.
func materialsText(b equip.Blend) string {
	text := ""
	for i, m := range b {
		if i > 0 {
			text += ", "
		}
		text += m.Name
		if g, ok := m.Grade.Get(); ok {
			text += " " + g.String()
		}
		if len(b) > 1 {
			text += " " + trim(m.Share.In(unit.US), 1) + " %"
		}
	}
	if g, ok := b.Grade(); ok && len(b) > 1 {
		text += " (together " + gradeText(g) + ")"
	}
	return text
}

// treatedGrade returns the grade of treated product: the nutrients of the dry in the
// weight of all of it. Known where both are.
func (t *treated) treatedGrade() (equip.Grade, bool) {
	g, ok := t.what.Grade()
	added, known := t.added.Get()
	return floored(g.Scaled(1 / (1 + added))), ok && known
}

// floored rounds a grade down to a tenth of a percent: what is calculated is not to promise
// more than there is.
func floored(g equip.Grade) equip.Grade {
	down := func(r unit.Ratio) unit.Ratio { return unit.Ratio(math.Floor(float64(float64(r)*1000)+1e-6)) / 1000 }
	return equip.Grade{N: down(g.N), P2O5: down(g.P2O5), K2O: down(g.K2O), S: down(g.S)}
}

// gradeText prints a grade to a tenth of a percent.
func gradeText(g equip.Grade) string {
	part := func(r unit.Ratio) string { return trim(r.In(unit.US), 1) }
	text := part(g.N) + "-" + part(g.P2O5) + "-" + part(g.K2O)
	if g.S > 0 {
		text += "-" + part(g.S) + "S"
	}
	return text
}

// otherLoads says, of loads that look alike, what this one would put on the ground of the
// others.
func (d *document) otherLoads(t *treated) []values {
	var list []values
	for i := range d.treated {
		other := &d.treated[i]
		if other == t {
			continue
		}
		low, high := unit.StabilizerRate(t.first().loading, other.rates.Min), unit.StabilizerRate(t.first().loading, other.rates.Max)
		window, why := d.a.Terms.DryWindow(t.load().Loadings()...)
		list = append(list, values{
			"this layer": t.layer.Name, "other layer": other.layer.Name, "swapped rate": between(d.rate(low), d.rate(high)),
			"off the label": why != "" || window.Under(other.rates.Min) || window.Over(other.rates.Max),
		})
	}
	return list
}

// compatibility says what speaks against blending the materials, or against
// impregnating them.
func (d *document) compatibility(t *treated) {
	if len(t.what) == 0 {
		return
	}
	listed := false
	conflicts := d.conflicts(append(equip.Impregnability(t.what, rx.BaseOf(t.names())), equip.Compatibility(t.what)...))
	var doubtful []values
	for _, c := range t.liquids {
		p := labelOf(c.JobLiquid)
		if allowed, forbidden := p.CarrierLists(); len(allowed)+len(forbidden) == 0 {
			continue
		}
		listed = true
		whose := "the label"
		if c.Further() != "" {
			whose = "the label of " + c.Name
		}
		for _, m := range t.what {
			if answer := p.Carriers.Of(m.Name); answer == label.Forbidden || answer == label.Unsaid {
				doubtful = append(doubtful, values{"material": m.Name, "forbidden": answer == label.Forbidden, "whose label": whose})
			}
		}
	}
	d.write("Do the materials go together", values{
		"conflict": conflicts, "doubtful carrier": doubtful, "nothing against it": len(conflicts)+len(doubtful) == 0, "carriers known": listed,
	})
}

// amounts lists what goes into a batch and into the whole load. Totals are the
// figures of a batch times their count.
func (d *document) amounts(t *treated) {
	time, timed := t.batches.Time.Get()
	drum := false
	if d.job.Blender != nil {
		_, drum = d.job.Blender.Drum.Get()
	}
	made := t.portion.Total()
	per, stated := t.first().AgentPerLiquid()
	first := t.first().each(made).Liquid
	lime := t.rates.Min * unit.DryRate(t.what.Share("pelletized lime"))
	_, dense := t.density.Get()
	d.write("Batches", values{
		"batches known": t.batched, "batches": fmt.Sprint(t.batches.Count), "drum decides": t.batches.Limit == equip.ByDrum,
		"time known": timed, "time": d.minutes(time), "batches an hour": num(float64(unit.Hour)/(float64(time)/float64(t.batches.Count)), 1),
		"batches make another sum": t.batched && (num(made.Dry.In(d.s), 1) != num(t.mass.In(d.s), 1) || num(first.In(d.s), 1) != num(t.first().volume.In(d.s), 1)),
		"dry exactly":              num(t.mass.In(d.s), 1), "stabilizer exactly": num(t.first().volume.In(d.s), 1),
		"dry of batches": d.mass(made.Dry), "stabilizer of batches": d.drop(first),
		"dose":        d.dose(t, t.portion),
		"agent known": stated, "agent rate": d.agentRate(per), "others": len(t.liquids) > 1, "agents of others": d.otherAgents(t),
		"agent rounded up": trim(halfUp(t.portion.AgentInAll().In(d.s)), 1),
		"lime dries it":    lime > enoughLime, "lime": d.dry(lime), "enough lime": d.dry(enoughLime),
		"drum known": drum, "density known": dense,
	}, d.amountsTable(t))
}

// enoughLime is the pelletized lime in a blend that serves as a drying agent; common
// practice, no source.
const enoughLime = 50 * unit.PoundPerAcre

// halfUp rounds up to the next half, as plants do with drying agent.
func halfUp(v float64) float64 { return math.Ceil(2*v-1e-9) / 2 }

func (w show) agentRate(per unit.Density) string {
	return pick(w, trim(float64(per/unit.PoundPerPint), 3)+" lb a pint", trim(per.In(unit.Metric), 3)+" kg a liter")
}

// dose says how a batch's dose of the first liquid was rounded, and why.
func (d *document) dose(t *treated, one rx.Portion) string {
	c := t.first()
	exact := unit.Uptake(c.loading, one.Dry)
	takes := d.phrase("what a batch takes", values{"dry of a batch": d.mass(one.Dry), "dose exactly": trim(exact.In(d.s), 3)})
	return d.rounded(takes, exact, c.each(one).Liquid, func(v unit.Volume) string { return d.a.Terms.WhyNotDose(t.load(), c.place, one.Dry, v) })
}

func (d *document) amountsTable(t *treated) rx.Table {
	one, n := t.portion, t.portion.Count
	table := rx.Table{
		Head: []string{"", "in", "1 " + d.bulkUnit(), "each batch", "in all"},
		Left: []bool{true, true, false, false, false},
	}
	if t.batched {
		table.Head[4] = plural(n, "batch", "batches")
	}
	row := func(what, unit, per, each, all string) {
		if !t.batched {
			each = blank
		}
		table.Rows = append(table.Rows, []string{what, unit, per, each, all})
	}
	mass := func(what string, per float64, m unit.Mass) {
		row(what, d.massUnit(), trim(per, 1), d.massN(m), d.massN(m*unit.Mass(n)))
	}
	agent := func(what string, per, each unit.Mass) {
		row(what, d.massUnit(), d.agentN(per), d.agentN(each), d.agentN(each*unit.Mass(n)))
	}
	liquid := func(what string, l unit.Loading, v unit.Volume) {
		per, all := unit.Uptake(l, d.bulkOne()), v*unit.Volume(n)
		row(what, d.dropUnit(), d.dropN(per), d.dropN(v), d.dropN(all))
		row("  the same", d.canUnit(), d.canN(per), d.canN(v), d.canN(all))
	}
	perTon := d.bulkOne().In(d.s)
	for i, m := range t.what {
		mass(m.Name, float64(m.Share)*perTon, one.Materials[i])
	}
	if len(t.what) != 1 {
		mass("dry, all together", perTon, one.Dry)
	}
	var agents unit.Mass
	weights := make([]unit.Mass, len(t.liquids))
	for i, c := range t.liquids {
		per, _ := c.AgentPerLiquid()
		weights[i] = unit.LiquidWeight(unit.Uptake(c.loading, d.bulkOne()), per)
		agents += weights[i]
	}
	agent("drying agent", agents, one.AgentInAll())
	for i, c := range t.liquids {
		if len(t.liquids) > 1 {
			agent("  for "+c.Name, weights[i], c.each(one).Agent)
		}
	}
	for _, c := range t.liquids {
		liquid(c.Name, c.loading, c.each(one).Liquid)
	}
	return table
}

// doses gives the stabilizer by what was weighed: a batch is dosed by its weighed
// product, never by the area that it is meant for.
func (d *document) doses(t *treated) {
	l := t.first().loading
	step := equip.ScaleStep(d.s)
	hundred := 100 * step
	weights := []unit.Mass{10 * step, hundred, 10 * hundred, d.bulkOne()}
	if d.bulkOne() == 10*hundred {
		weights = weights[:3]
	}
	if t.batched {
		weights = append(weights, t.portion.Dry)
	}
	table := rx.Table{
		Head: []string{"dry weighed, " + d.massUnit(), d.dropUnit(), d.canUnit()},
		Left: []bool{false, false, false},
	}
	for _, m := range weights {
		v := unit.Uptake(l, m)
		table.Rows = append(table.Rows, []string{d.massN(m), num(v.In(d.s), pick(d.show, 2, 0)), num(float64(v/d.canOne()), 3)})
	}
	d.write("{First liquid} by what was weighed", values{
		"loading": d.a.Terms.LoadingText(l), "stabilizer per 100": num(unit.Uptake(l, hundred).In(d.s), 2),
		"loading figure": trim(l.In(d.s), 4), "one ton": num(d.bulkOne().In(d.s), 0),
	}, table)
}

// mixing gives the order of adding.
func (d *document) mixing(t *treated) {
	low, high, known := t.mixTime()
	d.write("Order of adding", values{"mix time known": known, "mix time": between(d.minutes(low), d.minutes(high))})
}

// halfBatches offers the way out for a batch that comes out too wet, and sets what half
// batches make in all beside what full ones do.
func (d *document) halfBatches(t *treated) {
	half, one, ok := d.a.Terms.HalfBatches(t.load())
	if !ok {
		return
	}
	var materials []values
	for i, m := range t.what {
		if len(t.what) > 1 {
			materials = append(materials, values{"material": m.Name, "material in each": d.mass(one.Materials[i])})
		}
	}
	time, timed := half.Time.Get()
	halves, full := one.Total(), t.portion.Total()
	agent := func(m unit.Mass) string { return d.agentN(m) + " " + d.massUnit() }
	first := t.first()
	each, inHalves, inFull := first.each(one).Liquid, first.each(halves).Liquid, first.each(full).Liquid
	var others []values
	for _, c := range t.liquids[1:] {
		others = append(others, values{"liquid": c.Name, "in each": d.drop(c.each(one).Liquid), "in each, to order": d.can(c.each(one).Liquid)})
	}
	d.write("If batches come out too wet: half batches", values{
		"half batches": fmt.Sprint(half.Count), "dry in each": d.mass(one.Dry), "material": materials,
		"stabilizer in each": d.drop(each), "stabilizer in each, to order": d.can(each),
		"agent in each": agent(one.AgentInAll()), "other liquid": others,
		"time known": timed, "halves an hour": num(float64(half.Count)/float64(time/unit.Hour), 1),
		"time of each": d.minutes(time / unit.Time(half.Count)), "time in all": d.minutes(time),
		"dry in halves": d.mass(halves.Dry), "dry in full": d.mass(full.Dry),
		"stabilizer in halves": d.drop(inHalves), "stabilizer in full": d.drop(inFull),
		"agent in halves": agent(halves.AgentInAll()), "agent in full": agent(full.AgentInAll()),
		"dose": d.dose(t, one), "totals differ": inHalves != inFull || halves.Dry != full.Dry,
	})
}

// trucking is how trucks carry a treated load: whole batches, as nobody parts one at the
// plant. Per is 0 where the truck or the batches are not known, or a batch is more than a
// truck carries.
type trucking struct {
	batch unit.Mass // liquid and drying agent count as far as their weight is known
	per   int       // batches that a truck carries at most
	full  int       // batches on every truck but the last
	loads int
	last  int // batches on the last truck
}

// trucking divides the batches of a load over trucks.
func (in *inputs) trucking(t *treated) trucking {
	c := trucking{batch: t.asSpread(t.portion.Dry)}
	if s := in.job.Spreader; s != nil && t.batched {
		c.per = int(s.Truck.Or(0) / c.batch)
		c.full, c.loads, c.last = s.Whole(t.batches.Count, c.batch)
	}
	return c
}

// asSpread returns what dry weighs with what goes onto it.
func (t *treated) asSpread(m unit.Mass) unit.Mass { return m * unit.Mass(1+t.added.Or(0)) }

// trucks tells how trucks carry the load.
func (d *document) trucks(t *treated) {
	var spreader equip.Spreader
	if d.job.Spreader != nil {
		spreader = *d.job.Spreader
	}
	capacity, known := spreader.Truck.Get()
	c := d.trucking(t)
	byWeight, each, _ := spreader.Loads(t.asSpread(t.mass))
	d.write("Truck and tender loads", values{
		"truck known": known, "truck carries": d.mass(capacity),
		"whole batches fit": c.per > 0, "batches on a truck": fmt.Sprint(c.per), "truck loads": fmt.Sprint(c.loads),
		"last truck is not full": c.last < c.full, "batches on the last": plural(c.last, "batch", "batches"),
		"weight of a full one": d.mass(c.batch * unit.Mass(c.full)),
		"parting saves trucks": c.per > 0 && byWeight < c.loads,
		"loads go by weight":   known && c.per == 0, "loads by weight": fmt.Sprint(byWeight), "weight of each": d.mass(each),
	})
}

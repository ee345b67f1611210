package sheet

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// A card is a page, so that it may be carried and lost alone. It has room for so many
// batches, fills or truck loads; more of them take more cards, up to mostCards, beyond
// which the last one is copied.
const (
	mostOnCard = 12
	mostCards  = 10
)

// What stands in a log: a box to tick, and room to write.
const (
	box     = "[ ]"
	toWrite = "_____"
)

// cards lists the cards of a plan in the order of the work: those of the blender, the spreader,
// then the boom, whose layer has the last letter.
func (in *inputs) cards() []rx.Sheet {
	var list []rx.Sheet
	for i := range in.treated {
		list = append(list, in.blenderCards(i)...)
	}
	for _, l := range in.dryLayers() {
		if in.spreads(l) {
			list = append(list, in.spreaderCards(l)...)
		}
	}
	for _, l := range in.layers(rx.Liquid) {
		list = append(list, in.boomCards(l)...)
	}
	return list
}

// place returns the place of a layer among those of the plan.
func (in *inputs) place(l *rx.Layer) int {
	return slices.IndexFunc(in.plan.Layers, func(o rx.Layer) bool { return o.Name == l.Name })
}

// mark returns the letter of a load by its layer's place: A to Z, then A1 and on.
func mark(place int) string {
	letter := string(rune('A' + place%26))
	if place >= 26 {
		letter += fmt.Sprint(place / 26)
	}
	return letter
}

// heads returns what the pages of a layer's sheets are headed with; without a layer, of
// the plan's sheets.
func (in *inputs) heads(layer string) rx.Heads {
	h := rx.Heads{Field: cmp.Or(in.job.Field, in.p.Source.Name)}
	var loads, booms []string
	for i := range in.plan.Layers {
		l := &in.plan.Layers[i]
		if l.Name == layer {
			h.Load, h.Loading = called(l)+" "+mark(i), in.carried(l)
			return h
		}
		if l.Product == rx.Liquid {
			booms = append(booms, called(l)+" "+mark(i))
		} else {
			loads = append(loads, mark(i))
		}
	}
	all := booms
	if len(loads) > 0 {
		word := "loads "
		if len(loads) == 1 {
			word = "load "
		}
		all = append([]string{word + strings.Join(loads, ", ")}, booms...)
	}
	h.Load = strings.Join(all, ", ")
	h.Loading = "way " + in.plan.Way.Name.Words()
	return h
}

// called says what a layer's letter stands behind: what a spreader carries is a load, and nobody
// loads a boom.
func called(l *rx.Layer) string {
	if l.Product == rx.Liquid {
		return "boom"
	}
	return "load"
}

// carried says what a layer carries or, of liquid, puts on.
func (in *inputs) carried(l *rx.Layer) string {
	switch {
	case l.Product == rx.Liquid:
		return in.rate(l.Rate)
	case !l.Treated:
		return "untreated"
	}
	var parts []string
	for _, c := range in.carries(l) {
		text, _, _ := strings.Cut(in.a.Terms.LoadingText(c.loading), " as ") // a head tells loads apart, no more
		if c.Further() != "" {
			text += " of " + c.Name
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, " and ")
}

// card starts a card of a layer, for work with some liquids.
func (in *inputs) card(kind rx.SheetKind, title string, l *rx.Layer, liquids []rx.JobLiquid) *document {
	place := in.place(l)
	d := &document{inputs: in, sheet: rx.Sheet{Kind: kind, Title: title, Layer: l.Name, Heads: in.heads(l.Name), Card: &rx.Card{Mark: mark(place), Band: place}}}
	d.always = in.everywhere()
	maps.Copy(d.always, in.handled(liquids))
	maps.Copy(d.always, values{"mark": d.sheet.Card.Mark})
	d.write("(card)", values{
		"field of the card": d.sheet.Heads.Field, "customer of the card": orBlank(d.job.Customer), "date of the card": orBlank(string(d.job.Date)),
		"decision of the card": in.decisionOfWork(), "file of the card": l.Name, "a machine loads it": kind != rx.BlenderSheet, "loading of the card": d.sheet.Heads.Loading,
		"liquid is handled": l.Treated || l.Product == rx.Liquid, "conditional": len(d.plan.Way.Conditions) > 0,
	})
	return d
}

// work adds what is to be done at this load: of its figures the first is the dose. Dangers
// come before all, the unknown is asked for in the appendix.
func (d *document) work(v values, log rx.Table) []rx.Sheet {
	d.write("(work)", v)
	first, work := &d.sheet.Sections[0], &d.sheet.Sections[1]
	card := *d.sheet.Card
	card.Dose, work.Facts = work.Facts[0], work.Facts[1:]
	first.Cautions, work.Cautions = append(first.Cautions, work.Cautions...), nil
	card.Log = log
	return d.pages(card)
}

// pages divides the log of a card over as many cards as it takes.
func (d *document) pages(card rx.Card) []rx.Sheet {
	rows := card.Log.Rows
	count := min(max((len(rows)+mostOnCard-1)/mostOnCard, 1), mostCards)
	list := make([]rx.Sheet, count)
	for i := range list {
		one, s := card, d.sheet
		one.Log.Rows = rows[min(i*mostOnCard, len(rows)):min((i+1)*mostOnCard, len(rows))]
		s.Card, s.Sections = &one, slices.Clone(s.Sections)
		if count > 1 {
			s.Title += fmt.Sprintf(", card %d of %d", i+1, count)
		}
		if i == mostCards-1 && len(rows) > mostCards*mostOnCard {
			work := &s.Sections[1]
			work.Notes = append(slices.Clone(work.Notes), d.phrase("more lines than cards", nil))
		}
		list[i] = s
	}
	return list
}

// spreads reports whether a layer puts any dry on the ground.
func (in *inputs) spreads(l *rx.Layer) bool {
	return slices.ContainsFunc(in.dryProducts(), func(m dryProduct) bool { return m.layer == l })
}

// lines makes the rows of a log that are numbered, with n copies of what stands in each.
func lines(n int, cells ...string) [][]string {
	rows := make([][]string, min(n, mostCards*mostOnCard+1))
	for i := range rows {
		rows[i] = append([]string{box, fmt.Sprint(i + 1)}, cells...)
	}
	return rows
}

// blenderCards are what the plant works from at one impregnated load.
func (in *inputs) blenderCards(i int) []rx.Sheet {
	t := &in.treated[i]
	title := "Blender card"
	if n := len(in.treated); n > 1 {
		title = fmt.Sprintf("Blender card, load %d of %d", i+1, n)
	}
	d := in.card(rx.BlenderSheet, title, t.layer, t.names())
	maps.Copy(d.always, d.liquidWords(t))
	first := t.first().each(t.portion).Liquid
	inBatch := []string{materialsText(t.what)}
	if len(t.what) > 1 {
		inBatch = nil
		for i, m := range t.what {
			inBatch = append(inBatch, d.mass(t.portion.Materials[i])+" "+m.Name)
		}
	}
	window, own, why := d.windowText(t)
	low, high, mixed := t.mixTime()
	return d.work(values{
		"batches known": t.batched, "loading": d.a.Terms.LoadingText(t.first().loading),
		"dose of a batch": d.drop(first), "dose to order": d.can(first), "batches": plural(t.batches.Count, "batch", "batches"),
		"dry of a batch": d.mass(t.portion.Dry), "made of": strings.Join(inBatch, ", "), "dry": d.bulk(t.mass), "ground": d.area(t.area),
		"materials known":  len(t.what) > 0,
		"agent of a batch": d.agentN(t.portion.AgentInAll()) + " " + d.massUnit(),
		"mix time known":   mixed, "mix time": between(d.minutes(low), d.minutes(high)),
		"graded": t.graded(), "some rate is on label": why == "", "rates on label": window, "rates of this layer": own,
		"several loads": len(in.treated) > 1, "sheet behind": in.blenderTitle(i),
	}, d.batchLog(t))
}

// mixTime is the time that satisfies all labels that say one, or the longest.
func (t *treated) mixTime() (low, high unit.Time, known bool) {
	for _, c := range t.liquids {
		if own, ok := labelOf(c.JobLiquid).MixTime.Get(); ok {
			low, high, known = max(low, own.Min), max(high, own.Max), true
		}
	}
	return low, high, known
}

// batchesByHand is how many lines a log has where the batches are not known.
const batchesByHand = 8

// batchLog has a line a batch.
func (d *document) batchLog(t *treated) rx.Table {
	one, count := t.portion, t.portion.Count
	cells := []string{d.massN(one.Dry), toWrite, d.dropN(t.first().each(one).Liquid), toWrite, d.agentN(one.AgentInAll()), toWrite, toWrite, toWrite}
	if !t.batched {
		count = batchesByHand
		cells[0], cells[2], cells[4] = toWrite, toWrite, toWrite
	}
	return rx.Table{
		Head: []string{"", "batch", "dry " + d.massUnit(), "weighed", d.dropUnit(), "dosed", "agent " + d.massUnit(), "min", "time", "by"},
		Left: make([]bool, 10),
		Rows: lines(count, cells...),
	}
}

// boomCards are what the sprayer works from.
func (in *inputs) boomCards(l *rx.Layer) []rx.Sheet {
	tank := in.a.Terms.FurtherOn(equip.OnBoom)
	d := in.card(rx.BoomSheet, "Boom card", l, append([]rx.JobLiquid{in.a.Terms.Stabilizer()}, tank...))
	maps.Copy(d.always, d.inTank(l, tank))
	v := values{
		"rate": d.rate(l.Rate), "ground": d.area(l.Area), "pieces": plural(l.Zones, "piece", "pieces"),
		"stabilizer in all": d.drop(d.sprayed(l)), "stabilizer to order": d.can(d.sprayed(l)),
		"fills known": false, "full tanks": false, "one fill": false, "dose of a tank": "", "dose to order": "", "water of a tank": "", "count of fills": "", "spray volume": "",
		"boom known": in.job.Boom != nil, "a size holds": false, "best size": "", "its pressure": "", "usual speed": "", "keep-outs": d.plan.KeepOut != nil, "where it is kept out": d.a.Terms.WhereKept(), "strips": d.plan.Strips != nil, "strips left": plural(stripCount(d.plan), "strip", "strips"),
	}
	log := rx.Table{
		Head: []string{"", "fill", d.areaUnit(), "water " + d.canUnit(), "stabilizer " + d.dropUnit(), d.canUnit(), "read " + d.areaUnit(), "time", "by"},
		Left: make([]bool, 9),
		Rows: lines(batchesByHand, toWrite, toWrite, toWrite, toWrite, toWrite, toWrite, toWrite),
	}
	if b := in.job.Boom; b != nil {
		d.boomOfCard(*b, l, v)
		d.fillLog(*b, l, &log)
	}
	return d.work(v, log)
}

// boomOfCard says what a full tank takes, or the one fill, and how the boom is set.
func (d *document) boomOfCard(b equip.Boom, l *rx.Layer, v values) {
	fit := b.Fits(d.mixAt(l)(b.Volume))[0]
	v["a size holds"], v["best size"], v["its pressure"] = fit.Holds, string(fit.Nozzle), d.pressure(fit.At[1].Pressure)
	v["usual speed"], v["spray volume"] = d.speed(b.Speed.Usual), d.spray(b.Volume)
	all, metered, err := d.a.Terms.Fills(b, l.Area, l.Rate)
	if err != nil {
		return
	}
	one := metered.Full
	if all.Count == 0 {
		one = metered.Last
	}
	v["fills known"], v["full tanks"], v["one fill"] = true, all.Count > 0, all.Number() == 1
	v["dose of a tank"], v["dose to order"], v["water of a tank"] = d.drop(one.Product), d.can(one.Product), d.can(one.Water)
	v["count of fills"] = plural(all.Number(), "fill", "fills")
}

// fillLog has a line a fill; the last one its own figures.
func (d *document) fillLog(b equip.Boom, l *rx.Layer, log *rx.Table) {
	all, metered, err := d.a.Terms.Fills(b, l.Area, l.Rate)
	if err != nil {
		return
	}
	for i, one := range d.a.Terms.FurtherOn(equip.OnBoom) {
		log.Head, log.Left = slices.Insert(log.Head, 6+i, narrowed(one.Name)+" "+d.dropUnit()), append(log.Left, false)
	}
	cells := func(f equip.Fill) []string {
		list := []string{d.areaN(f.Area), d.canN(f.Water), d.dropN(f.Product), d.canN(f.Product)}
		for _, v := range f.Further {
			list = append(list, d.dropN(v))
		}
		return append(list, toWrite, toWrite, toWrite)
	}
	log.Rows = lines(all.Count, cells(metered.Full)...)
	if all.Last.Area > 0 && len(log.Rows) <= mostCards*mostOnCard {
		log.Rows = append(log.Rows, append([]string{box, fmt.Sprintf("%d last", all.Number())}, cells(metered.Last)...))
	}
}

// spreaderCards are what the machine that spreads a dry layer works from.
func (in *inputs) spreaderCards(l *rx.Layer) []rx.Sheet {
	d := in.card(rx.SpreaderSheet, "Spreader card, layer "+l.Name, l, in.putOn())
	var holds []values
	var weight unit.Mass
	heavier := false
	for _, m := range d.dryProducts() {
		if m.layer != l {
			continue
		}
		added, known := m.trim()
		weight += unit.Mass(float64(m.mass * unit.Mass(1+added)))
		heavier = heavier || m.treated
		holds = append(holds, values{
			"product of the layer": m.name, "treated product": m.treated, "weight": d.bulk(m.mass), "on ground": d.area(m.area),
			"trim known": known, "trim": percent(added), "mean rate": d.dry(m.mean()),
		})
	}
	v := values{
		"rates to spread": between(d.dry(l.Dry.Min), d.dry(l.Dry.Max)), "zones to spread": plural(l.Zones, "zone", "zones"),
		"product": holds, "known product": d.madeOf(l), "treated layer": heavier, "rate column": d.rateColumns(),
		"file holds prescribed rates too": l.RxRate, "several layers": len(d.dryLayers()) > 1,
		"spreader known": false, "swath": "", "usual speed": "", "change distance": "",
		"truck known": false, "by whole batches": false, "truck loads": "", "one truck load": false, "weight of each": "", "last truck is not full": false, "batches on a truck": "", "batches on the last": "",
	}
	if s := d.job.Spreader; s != nil {
		v["spreader known"], v["swath"], v["usual speed"], v["change distance"] = true, d.length(s.Swath), d.speed(s.Speed.Usual), d.length(s.ChangeDistance())
	}
	return d.work(v, d.truckLog(v, l, weight))
}

// madeOf says what dry goes into the bins of a layer, as far as the job says it: nobody else
// tells the truck, where the plant has no sheet of an untreated blend.
func (d *document) madeOf(l *rx.Layer) (list []values) {
	for _, m := range d.dryProducts() {
		if what := d.a.Terms.MaterialsOf(d.p, m.field); m.layer == l && len(what) > 0 {
			list = append(list, values{"product of the layer": m.name, "made of": materialsText(what)})
		}
	}
	return list
}

// truckLog has a line a truck load: of whole batches, as the plant loads them, or of equal
// weights; where trucks are not known, some to write on.
func (d *document) truckLog(v values, l *rx.Layer, weight unit.Mass) rx.Table {
	cells := []string{toWrite, toWrite, toWrite, toWrite, toWrite}
	rows := lines(batchesByHand, cells...)
	if c := d.wholeBatches(l); c.per > 0 {
		v["by whole batches"], v["truck loads"], v["last truck is not full"] = true, plural(c.loads, "truck load", "truck loads"), c.last < c.full
		v["one truck load"] = c.loads == 1
		v["batches on a truck"], v["batches on the last"] = plural(c.full, "batch", "batches"), plural(c.last, "batch", "batches")
		cells[0] = d.massN(c.batch * unit.Mass(c.full))
		if rows = lines(c.loads, cells...); len(rows) == c.loads {
			rows[c.loads-1][2] = d.massN(c.batch * unit.Mass(c.last))
		}
	} else if s := d.job.Spreader; s != nil && (d.job.Run == "" || v["treated layer"] == false) { // else the day's cards say which trucks come
		if n, each, known := s.Loads(weight); known {
			cells[0] = d.massN(each)
			v["truck known"], v["truck loads"], v["weight of each"] = true, plural(n, "truck load", "truck loads"), d.mass(each)
			v["one truck load"] = n == 1
			rows = lines(n, cells...)
		}
	}
	return rx.Table{
		Head: strings.Split("|truck|"+d.massUnit()+"|weighed|read "+d.areaUnit()+"|time|by", "|"),
		Left: make([]bool, 7),
		Rows: rows,
	}
}

// wholeBatches is how the plant loads the trucks of a layer, as its blender sheet has it;
// nothing where no batches are known, where the plant's day parts them, or where another
// product goes along.
func (d *document) wholeBatches(l *rx.Layer) trucking {
	if d.job.Run != "" || !d.p.Blend() {
		return trucking{}
	}
	for i := range d.treated {
		if d.treated[i].layer == l {
			return d.trucking(&d.treated[i])
		}
	}
	return trucking{}
}

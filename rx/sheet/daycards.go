package sheet

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// DayCards are the cards of a plant's day: of each blend run, of the trucks of each field and
// product, and of what is to be at hand.
type DayCards struct {
	Units  unit.System
	Runs   []rx.Run
	Hauls  []rx.Haul
	Fields []DayField  // of the day
	Orders [][2]string // products with their amounts
	Served string      // the fields that are ordered for
	By     string      // what the amounts go by
}

// DayField is how cards call a field of a day.
type DayField struct{ Name, Customer string }

// runName names a run of a day, from 0, by its number and its loading.
func runName(n int, loading string) string { return fmt.Sprintf("run %d, %s", n+1, loading) }

// List returns the cards in the order in which they are worked through.
func (c DayCards) List() (list []rx.Sheet) {
	list = append(list, c.orders())
	for n := range c.Runs {
		list = append(list, c.run(n)...)
	}
	for _, h := range c.Hauls {
		list = append(list, c.trucks(h)...)
	}
	return list
}

// begin starts a card of the day, by the terms of a run where it is of one.
func (c DayCards) begin(title, mark string, band int, t rx.Terms) *document {
	t.Units = c.Units
	in := &inputs{show: show{c.Units}, a: &rx.Assessment{Terms: t}, label: t.Label}
	if t.Job != nil {
		in.job = *t.Job
	}
	return &document{
		inputs: in, always: values{"mark": mark, "ton": in.bulkUnit(), "gal": in.canUnit()},
		sheet: rx.Sheet{Kind: rx.DaySheet, Title: title, Card: &rx.Card{Mark: mark, Band: band}},
	}
}

// dosed makes the first figure of the first section the dose.
func (d *document) dosed() {
	first := &d.sheet.Sections[0]
	d.sheet.Card.Dose, first.Facts = first.Facts[0], first.Facts[1:]
}

// name is what a card calls a field: by its number in the day's list too.
func (c DayCards) name(i int) string { return fmt.Sprintf("%d %s", i+1, c.Fields[i].Name) }

func (c DayCards) numbers(fields []int) string {
	list := make([]string, len(fields))
	for i, f := range fields {
		list[i] = fmt.Sprint(f + 1)
	}
	return strings.Join(list, " + ")
}

// batch is a batch of a run: a line of its log.
type batch struct {
	number int // in the run, from 1
	lot    *rx.Lot
	parts  []rx.LotPart
}

// batchesOf lists the batches of a run, in their order.
func batchesOf(r rx.Run) (list []batch) {
	for i := range r.Lots {
		l, before := &r.Lots[i], len(list)
		if l.AsIs() {
			continue
		}
		for _, p := range l.Parts {
			if before+p.Batch == len(list) {
				list = append(list, batch{len(list) + 1, l, nil})
			}
			one := &list[len(list)-1]
			one.parts = append(one.parts, p)
		}
	}
	return list
}

// mostLots is how many lots the figures of a card have room for.
const mostLots = 6

// run returns the cards of a blend run.
func (c DayCards) run(n int) (list []rx.Sheet) {
	r, all := c.Runs[n], batchesOf(c.Runs[n])
	for len(all) > 0 {
		on, lots := 0, 0
		for on < len(all) && on < mostOnCard {
			if on == 0 || all[on].lot != all[on-1].lot {
				lots++
			}
			if lots > mostLots {
				break
			}
			on++
		}
		list = append(list, c.runCard(n, r, all[:on]))
		all = all[on:]
	}
	for i := range list {
		if len(list) > 1 {
			list[i].Title += fmt.Sprintf(", card %d of %d", i+1, len(list))
		}
	}
	return list
}

// leftText names left-over blend that a batch of a lot begins with.
func (d *document) leftText(l rx.Lot) string {
	return fmt.Sprintf("%s of left-over blend L%d", d.mass(l.Left.Weighed), l.Left.Of+1)
}

// liquidsOf lists the liquids of a run, what is dosed first first, with their places in a load.
func liquidsOf(r rx.Run) (list []carried) {
	if l := r.Loading(); l > 0 {
		list = append(list, carried{JobLiquid: r.Terms.Stabilizer(), loading: l})
	}
	for i, liquid := range r.Terms.FurtherOn(equip.OnBlend) {
		if further := r.Lots[0].Load.Further; i < len(further) {
			list = append(list, carried{JobLiquid: liquid, place: i + 1, loading: further[i]})
		}
	}
	return list
}

func (c DayCards) runCard(n int, r rx.Run, on []batch) rx.Sheet {
	liquids := liquidsOf(r)
	d := c.begin(fmt.Sprintf("Blend run %d", n+1), fmt.Sprint(n+1), n, r.Terms)
	maps.Copy(d.always, d.handled(names(liquids)))
	first, others := liquids[0], []values(nil)
	for _, l := range liquids[1:] {
		others = append(others, values{"liquid": l.Name, "its loading": d.loading(l.loading)})
	}
	hold, held := r.Terms.Hold()
	maps.Copy(d.always, values{"What is dosed first": strings.ToUpper(first.Name[:1]) + first.Name[1:]})
	d.write("(run)", values{
		"liquid to flush": each("liquid", r.Flush...), "loading": d.a.Terms.LoadingText(first.loading), "other liquid": others,
		"materials known": len(r.Lots[0].Load.Materials) > 0, "materials": materialsText(r.Lots[0].Load.Materials), "hold known": held, "hold": d.days(hold),
	})
	d.dosed()
	var lots, shared, parted []values
	for i, b := range on {
		if i == 0 || b.lot != on[i-1].lot {
			one := c.lot(d, *b.lot, liquids)
			lots = append(lots, one)
			if len(b.lot.Fields) > 1 {
				shared = append(shared, one)
			}
		}
		if len(b.parts) > 1 {
			var who []string
			for _, p := range b.parts {
				text := fmt.Sprintf("%s of dry to field %d", d.mass(p.Dry), p.Field+1)
				if added, known := d.a.Terms.AddedShare(b.lot.Load).Get(); known {
					text = fmt.Sprintf("%s treated (%s of dry) to field %d", d.mass(p.Dry*unit.Mass(1+added)), d.mass(p.Dry), p.Field+1)
				}
				who = append(who, text)
			}
			parted = append(parted, values{"number of the batch": fmt.Sprint(b.number), "who gets what": strings.Join(who, ", ")})
		}
	}
	d.write("(batches)", values{"lot": lots, "shared lot": shared, "parted batch": parted})
	d.sheet.Card.Log = d.runLog(on, liquids)
	d.sheet.Heads = rx.Heads{Field: "blender", Load: fmt.Sprintf("run %d", n+1), Loading: d.loading(first.loading)}
	return d.sheet
}

// lot says what is made for the fields of a lot.
func (c DayCards) lot(d *document, l rx.Lot, liquids []carried) values {
	names := make([]string, len(l.Fields))
	for i, f := range l.Fields {
		names[i] = c.name(f)
	}
	if who := c.Fields[l.Fields[0]].Customer; who != "" {
		names = append(names, "for "+who)
	}
	var made []string
	if len(liquids) > mostInLog {
		for _, more := range liquids[1:] {
			made = append(made, d.drop(more.each(l.Portion).Liquid)+" "+more.Name)
		}
	}
	if m := l.Portion.Materials; len(m) > 1 {
		for i, weight := range m {
			made = append(made, d.mass(weight)+" "+l.Load.Materials[i].Name)
		}
	}
	each := ""
	if len(made) > 0 {
		each = "each " + strings.Join(made, ", ") + "; "
	}
	count := "no blender is known: divide it into equal batches by hand"
	if l.Left != nil {
		count = fmt.Sprintf("%s of %s and %s of dry", plural(l.Portion.Count, "batch", "batches"), d.leftText(l), d.mass(l.Portion.Dry))
	} else if l.Batched {
		count = fmt.Sprintf("%s of %s", plural(l.Portion.Count, "batch", "batches"), d.mass(l.Portion.Dry))
	}
	return values{"fields of the lot": strings.Join(names, ", "), "batches of the lot": count, "batches apart": fmt.Sprint(l.Apart), "what each is made of": each + d.mass(l.Portion.Total().Dry) + " in all"}
}

// mostInLog is how many liquids a log has columns for; of more, all but the first stand with the lot.
const mostInLog = 2

// runLog has a line a batch: whose it is, what is weighed and metered.
func (d *document) runLog(on []batch, liquids []carried) rx.Table {
	if len(liquids) > mostInLog {
		liquids = liquids[:1]
	}
	t := rx.Table{Head: []string{"", "batch", "field", "dry " + d.massUnit(), "weighed"}}
	for i, l := range liquids {
		name := d.dropUnit()
		if i > 0 {
			name = narrowed(l.Name) + " " + name
		}
		t.Head = append(t.Head, name)
	}
	t.Head = append(t.Head, "agent "+d.massUnit(), "by")
	t.Left = make([]bool, len(t.Head))
	for _, b := range on {
		one := b.lot.Portion
		var fields []int
		for _, p := range b.parts {
			fields = append(fields, p.Field)
		}
		row := []string{box, fmt.Sprint(b.number), DayCards{}.numbers(slices.Compact(fields)), d.massN(one.Dry), toWrite}
		if b.lot.Left != nil {
			row[3] = d.leftText(*b.lot) + " + " + row[3]
		}
		for _, l := range liquids {
			row = append(row, d.dropN(l.each(one).Liquid))
		}
		t.Rows = append(t.Rows, append(row, d.agentN(one.AgentInAll()), toWrite))
	}
	return t
}

// trucks returns the cards of what trucks carry to a field of a product.
func (c DayCards) trucks(h rx.Haul) []rx.Sheet {
	mark, band, run, treated := "U", len(c.Runs), "", h.Run >= 0
	if treated {
		mark, band = fmt.Sprint(h.Field+1), h.Run
		run = runName(h.Run, c.Runs[h.Run].Loading().Brief(c.Units))
	}
	d := c.begin(fmt.Sprintf("Trucks, field %d", h.Field+1), mark, band, rx.Terms{})
	if treated {
		d = c.begin(d.sheet.Title, mark, band, c.Runs[h.Run].Terms)
		maps.Copy(d.always, d.handled(names(liquidsOf(c.Runs[h.Run]))))
	}
	f := c.Fields[h.Field]
	d.write("(trucks)", values{
		"treated": treated, "field": "Field " + c.name(h.Field), "loads known": h.Loads > 0, "truck loads": plural(h.Loads, "truck load", "truck loads"),
		"weight of each": d.mass(h.Each), "weight in all": d.mass(h.Weight), "product": h.Product, "run": run, "rough": h.Rough,
		"customer known": f.Customer != "", "customer": f.Customer,
	})
	d.dosed()
	work := d.sheet.Sections[0]
	d.sheet.Sections = []rx.Section{{Cautions: work.Cautions, Facts: work.Facts}, {Notes: work.Notes, Blanks: work.Blanks}}
	d.sheet.Heads = rx.Heads{Field: f.Name, Load: "no run", Loading: h.Product}
	if treated {
		d.sheet.Heads.Load = fmt.Sprintf("run %d", h.Run+1)
	}
	count, weight := h.Loads, d.massN(h.Each)
	if count == 0 {
		count, weight = batchesByHand, toWrite
	}
	card := *d.sheet.Card
	card.Log = rx.Table{
		Head: strings.Split("|truck|"+d.massUnit()+"|weighed|ticket|left at|by", "|"), Left: make([]bool, 7),
		Rows: lines(count, weight, toWrite, toWrite, toWrite, toWrite),
	}
	return d.pages(card)
}

// orders is the card of what is to be at hand.
func (c DayCards) orders() rx.Sheet {
	d := c.begin("Orders of the day", "", 0, rx.Terms{})
	d.write("(orders)", values{"fields served": c.Served, "by what": c.By})
	d.dosed()
	work := d.sheet.Sections[0]
	for _, o := range c.Orders {
		work.Facts = append(work.Facts, rx.Fact{What: o[0], Value: o[1]})
	}
	d.sheet.Sections = []rx.Section{{Cautions: work.Cautions}, {Facts: work.Facts, Notes: work.Notes, Blanks: work.Blanks}}
	d.sheet.Heads = rx.Heads{Field: c.Served}
	return d.sheet
}

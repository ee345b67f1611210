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

// DayCards are the cards of a plant's day: of what is to be at hand and done, of each blend run, of
// the trucks of each field and product.
type DayCards struct {
	Units  unit.System
	Date   string // of the day; empty if nobody says it
	Runs   []rx.Run
	Hauls  []rx.Haul
	Fields []DayField  // of the day
	Blends []string    // of the day, in words
	Left   []DayLeft   // over
	Orders [][2]string // products with their amounts
	Served string      // the fields that are ordered for
	By     string      // what the amounts go by
}

// DayField is how cards call a field of a day, and how it is found.
type DayField struct {
	Name, Customer string
	Place          string // in words, such as its legal location; empty if nobody says it
	Somewhere      string // in it: latitude, longitude
	Plan           string // folder of its plan; empty where the field is not served
}

// DayLeft is left-over blend of a day.
type DayLeft struct {
	Text           string // what it is, and who gets it
	Made, SpreadBy string // dates; empty where nobody says when, or how long it may wait
}

// mostOfName is how many letters of a name a card has room for.
const mostOfName = 60

// runName names a run of a day, from 0, by its number and its loading.
func runName(n int, loading string) string { return fmt.Sprintf("run %d, %s", n+1, loading) }

// List returns the cards in the order in which they are worked through.
func (c DayCards) List() (list []rx.Sheet) {
	c.Fields = slices.Clone(c.Fields)
	for i := range c.Fields {
		f := &c.Fields[i]
		f.Name, f.Customer, f.Place = cut(f.Name, mostOfName), cut(f.Customer, mostOfName), cut(f.Place, mostOfName)
	}
	list = append(list, c.plant()...)
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
		inputs: in, always: values{"mark": mark, "day known": c.Date != "", "day": c.Date, "ton": in.bulkUnit(), "gal": in.canUnit(), "lb": in.massUnit()},
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

// names calls fields of a day by name, as far as a card has room for it.
func (c DayCards) names(fields []int) string {
	const most = 8
	if len(fields) > most {
		return fieldsText(fields, ", ")
	}
	var list []string
	for _, f := range fields {
		list = append(list, c.name(f))
	}
	return strings.Join(list, "; ")
}

func numbers(fields []int, joint string) string {
	list := make([]string, len(fields))
	for i, f := range fields {
		list[i] = fmt.Sprint(f + 1)
	}
	return strings.Join(list, joint)
}

// fieldsText is the same in words.
func fieldsText(fields []int, joint string) string {
	return map[bool]string{true: "field ", false: "fields "}[len(fields) == 1] + numbers(fields, joint)
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

// What the log of a run's card has room for, on Letter: millimeters, and letters of a line.
const (
	roomOfRun          = 150
	lineHigh, rowHigh  = 4.3, 7.2
	lineWide, factWide = 85, 34
	whatWide           = 14
)

// factHigh is what a figure takes of a card, half of its lines, as figures stand in two columns.
func factHigh(what, value, note string) float64 {
	return float64(lineHigh / 2 * float64(max(len(what)/whatWide, (len(value)+1+len(note))/factWide)+1))
}

// fitting returns how many of the batches that are left a card has room for, below what stands on it.
func (c DayCards) fitting(d *document, left []batch, liquids []carried) int {
	room, rows := float64(roomOfRun), 0
	for _, text := range d.sheet.Sections[0].Cautions {
		room -= float64(lineHigh * float64(len(text)/lineWide+1))
	}
	for _, f := range d.sheet.Sections[0].Facts {
		room -= factHigh(f.What, f.Value, f.Note)
	}
	for i, b := range left {
		if i == 0 || b.lot != left[i-1].lot {
			l := c.lot(d, *b.lot, liquids)
			room -= factHigh(l["fields of the lot"].(string), l["batches of the lot"].(string), l["what each is made of"].(string))
			if len(b.lot.Fields) > 1 {
				room -= 2.5 * lineHigh // the note on it
			}
		}
		if len(b.parts) > 1 {
			room -= factHigh("", d.whoGets(b), "is parted: weigh it out")
		}
		lines := 1
		if b.lot.Left != nil {
			lines = 2
		}
		rows, room = rows+lines, room-float64(rowHigh*float64(lines))
		if rows > mostOnCard || i > 0 && room < 0 {
			return i
		}
	}
	return len(left)
}

// whoGets says how a batch is parted.
func (d *document) whoGets(b batch) string {
	var who []string
	for _, p := range b.parts {
		text := fmt.Sprintf("%s of dry to field %d", d.mass(p.Dry), p.Field+1)
		if added, known := d.a.Terms.AddedShare(b.lot.Load).Get(); known {
			text = fmt.Sprintf("%s treated (%s of dry) to field %d", d.mass(p.Dry*unit.Mass(1+added)), d.mass(p.Dry), p.Field+1)
		}
		who = append(who, text)
	}
	return strings.Join(who, ", ")
}

// run returns the cards of a blend run.
func (c DayCards) run(n int) (list []rx.Sheet) {
	r, left := c.Runs[n], batchesOf(c.Runs[n])
	for len(left) > 0 {
		d, liquids := c.runTop(n, r)
		on := c.fitting(d, left, liquids)
		list = append(list, c.runLots(d, left[:on], liquids))
		left = left[on:]
	}
	for i := range list {
		if len(list) > 1 {
			list[i].Title += fmt.Sprintf(", card %d of %d", i+1, len(list))
		}
	}
	return list
}

// leftName names left-over blend.
func leftName(l *rx.LotLeft) string { return fmt.Sprintf("left-over blend L%d", l.Of+1) }

// older says of left-over blend when it was made, and of what may wait for so long only, until when.
func (c DayCards) older(list []*rx.LotLeft) (older, waiting []values) {
	for _, l := range list {
		left := c.Left[l.Of]
		one := values{"left-over blend": leftName(l), "Left-over blend": capital(leftName(l)), "made": orBlank(left.Made), "last day": left.SpreadBy}
		if older = append(older, one); left.SpreadBy != "" {
			waiting = append(waiting, one)
		}
	}
	return older, waiting
}

// redosed lists the left-over blend in batches of a run that a field gets; of all fields where that is below 0.
func redosed(r rx.Run, field int) (list []*rx.LotLeft) {
	for _, l := range r.Lots {
		if l.Left != nil && !l.AsIs() && (field < 0 || l.Fields[0] == field) {
			list = append(list, l.Left)
		}
	}
	return list
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

// inRun sums up what a run weighs and meters.
func inRun(r rx.Run) (dry unit.Mass, liquid unit.Volume) {
	for _, l := range r.Lots {
		all := l.Portion.Total()
		dry, liquid = dry+all.Dry, liquid+all.Liquid
	}
	return dry, liquid
}

// batchesText counts batches; 0 where they are not known.
func batchesText(n int) string {
	if n == 0 {
		return "batches not known"
	}
	return plural(n, "batch", "batches")
}

// runTop begins a card of a run.
func (c DayCards) runTop(n int, r rx.Run) (d *document, liquids []carried) {
	liquids = liquidsOf(r)
	d = c.begin(fmt.Sprintf("Blend run %d of %d", n+1, len(c.Runs)), fmt.Sprint(n+1), n, r.Terms)
	maps.Copy(d.always, d.handled(names(liquids)))
	first, others := liquids[0], []values(nil)
	for _, l := range liquids[1:] {
		others = append(others, values{"liquid": l.Name, "its loading": d.loading(l.loading)})
	}
	hold, held := r.Terms.Hold()
	maps.Copy(d.always, values{"what is dosed first": first.Name, "What is dosed first": capital(first.Name)})
	var order []string
	for _, l := range liquids {
		order = append(order, l.Name)
	}
	dry, liquid := inRun(r)
	low, high, mixed := (&treated{liquids: liquids}).mixTime()
	d.write("(run)", values{
		"batches of the run": batchesText(r.Batches()), "dry of the run": d.mass(dry), "liquid of the run": d.can(liquid),
		"order of liquids": strings.Join(order, ", then "), "mix time known": mixed, "mix time": between(d.minutes(low), d.minutes(high)),
		"liquid to flush": each("liquid", r.Flush...), "loading": d.a.Terms.LoadingText(first.loading), "other liquid": others,
		"materials known": len(r.Lots[0].Load.Materials) > 0, "materials": materialsText(r.Lots[0].Load.Materials), "hold known": held, "hold": d.days(hold), "left-over blend in it": len(redosed(r, -1)) > 0,
	})
	d.dosed()
	d.sheet.Heads = rx.Heads{Field: "blender", Load: fmt.Sprintf("run %d", n+1), Loading: d.loading(first.loading)}
	if c.Date != "" { // where a full card has room for it
		d.sheet.Heads.Field += ", " + c.Date
	}
	return d, liquids
}

// runLots ends it with batches.
func (c DayCards) runLots(d *document, on []batch, liquids []carried) rx.Sheet {
	var lots, shared, parted []values
	var left []*rx.LotLeft
	for i, b := range on {
		if i == 0 || b.lot != on[i-1].lot {
			one := c.lot(d, *b.lot, liquids)
			lots = append(lots, one)
			if len(b.lot.Fields) > 1 {
				shared = append(shared, one)
			}
			if b.lot.Left != nil {
				left = append(left, b.lot.Left)
			}
		}
		if len(b.parts) > 1 {
			parted = append(parted, values{"number of the batch": fmt.Sprint(b.number), "who gets what": d.whoGets(b)})
		}
	}
	older, waiting := c.older(left)
	d.write("(batches)", values{"lot": lots, "shared lot": shared, "parted batch": parted, "older lot": older, "waiting lot": waiting})
	d.sheet.Card.Log = d.runLog(on, liquids)
	return d.sheet
}

// lot says what is made for the fields of a lot.
func (c DayCards) lot(d *document, l rx.Lot, liquids []carried) values {
	var made, who []string
	for _, f := range l.Fields {
		who = append(who, c.Fields[f].Name)
	}
	if customer := c.Fields[l.Fields[0]].Customer; customer != "" {
		who = append(who, "for "+customer)
	}
	if len(liquids) > mostInLog {
		for _, more := range liquids[1:] {
			made = append(made, d.drop(more.each(l.Portion).Liquid)+" "+more.Name)
		}
	}
	if m := l.Portion.Materials; len(m) > 1 && l.Portion.Dry > 0 {
		for i, weight := range m {
			made = append(made, d.mass(weight)+" "+l.Load.Materials[i].Name)
		}
	}
	if len(made) > 0 {
		made = []string{"each " + strings.Join(made, ", ")}
	}
	count := "no blender is known: divide it into equal batches by hand"
	if l.Left != nil {
		count = plural(l.Portion.Count, "batch", "batches") + " of " + d.mass(l.Left.Weighed) + " of " + leftName(l.Left)
		if l.Portion.Dry > 0 {
			count += fmt.Sprintf(" and %s of dry", d.mass(l.Portion.Dry))
		}
	} else if l.Batched {
		count = fmt.Sprintf("%s of %s", plural(l.Portion.Count, "batch", "batches"), d.mass(l.Portion.Dry))
	}
	made = append(made, strings.Join(who, ", "))
	return values{"fields of the lot": capital(fieldsText(l.Fields, " + ")), "batches of the lot": count, "batches apart": fmt.Sprint(l.Apart), "what each is made of": strings.Join(made, "; ")}
}

// mostInLog is how many liquids a log has columns for; of more, all but the first stand with the lot.
const mostInLog = 2

// logWide is how many columns a log has room for: with two liquids nobody signs each line.
const logWide = 10

// runLog has a line a batch: whose it is, what is weighed and metered.
func (d *document) runLog(on []batch, liquids []carried) rx.Table {
	if len(liquids) > mostInLog {
		liquids = liquids[:1]
	}
	t := rx.Table{Head: []string{"", "no.", "field", "dry " + d.massUnit(), "weighed"}}
	for i, l := range liquids {
		name := d.dropUnit()
		if i > 0 { // in the same unit
			name = cut(l.Name, 9)
		}
		t.Head = append(t.Head, name)
	}
	t.Head = append(t.Head, "dosed", "agent "+d.massUnit(), "time", "by")[:logWide]
	t.Left = make([]bool, len(t.Head))
	for _, b := range on {
		one := b.lot.Portion
		var fields []int
		for _, p := range b.parts {
			fields = append(fields, p.Field)
		}
		row := []string{box, fmt.Sprint(b.number), numbers(slices.Compact(fields), " + "), d.massN(one.Dry), toWrite}
		if left := b.lot.Left; left != nil { // weighed by itself
			first := append([]string{box, row[1], row[2], fmt.Sprintf("L%d %s", left.Of+1, d.massN(left.Weighed)), toWrite}, make([]string, len(t.Head)-5)...)
			t.Rows = append(t.Rows, first)
		}
		for _, l := range liquids {
			row = append(row, d.dropN(l.each(one).Liquid))
		}
		t.Rows = append(t.Rows, append(row, toWrite, d.agentN(one.AgentInAll()), toWrite, toWrite)[:logWide])
	}
	return t
}

// inLog names fields as a log of runs has room for them: the cards of the runs name all.
func inLog(fields []int) string {
	const most = 14
	if text := numbers(fields, ", "); len(text) <= most {
		return text
	}
	return plural(len(fields), "field", "fields")
}

// plant are the cards of the whole day: what is to be at hand, and the runs in their order.
func (c DayCards) plant() []rx.Sheet {
	d := c.begin("The plant's day", "", 0, rx.Terms{})
	var orders, blends, left []values
	for _, l := range c.Left {
		left = append(left, values{"what is left": l.Text})
	}
	for _, o := range c.Orders {
		orders = append(orders, values{"product": o[0], "amount": o[1]})
	}
	for i, text := range c.Blends {
		if len(c.Blends) > 1 {
			blends = append(blends, values{"blend of the day": fmt.Sprintf("Blend %d", i+1), "what it is": text})
		}
	}
	var asIs []values
	for n, r := range c.Runs {
		if len(batchesOf(r)) == 0 {
			asIs = append(asIs, values{"number of the run": fmt.Sprint(n + 1)})
		}
	}
	var boom, not []int
	for i, f := range c.Fields {
		if f.Plan == "" {
			not = append(not, i)
		} else if !slices.ContainsFunc(c.Runs, func(r rx.Run) bool {
			return slices.ContainsFunc(r.Lots, func(l rx.Lot) bool { return slices.Contains(l.Fields, i) })
		}) {
			boom = append(boom, i)
		}
	}
	d.write("(plant)", values{
		"fields served": c.Served, "by what": c.By, "order": orders, "blend of several": blends, "left over": left, "run of left-over blend": asIs,
		"some by boom": len(boom) > 0, "fields by boom": fieldsText(boom, ", "), "some not served": len(not) > 0, "fields not served": c.names(not),
	})
	d.dosed()
	work := d.sheet.Sections[0]
	d.sheet.Sections = []rx.Section{{Cautions: work.Cautions, Facts: work.Facts}, {Notes: work.Notes, Blanks: work.Blanks}}
	d.sheet.Heads = rx.Heads{Field: c.Served}
	card := *d.sheet.Card
	card.Log = rx.Table{Head: strings.Split("|run|"+unit.Symbol[unit.Loading](c.Units)+"|blend|fields|batches|dry "+d.massUnit()+"|"+d.canUnit()+"|begun|done", "|"), Left: make([]bool, 10)}
	for n, r := range c.Runs {
		var fields []int
		for _, l := range r.Lots {
			if l.AsIs() && r.Batches() > 0 {
				continue // its truck card says it
			}
			for _, f := range l.Fields {
				if !slices.Contains(fields, f) {
					fields = append(fields, f)
				}
			}
		}
		dry, liquid := inRun(r)
		batches := ""
		if k := r.Batches(); k > 0 {
			batches = fmt.Sprint(k)
		}
		card.Log.Rows = append(card.Log.Rows, []string{box, fmt.Sprint(n + 1), strings.TrimSuffix(d.loading(r.Loading()), " "+unit.Symbol[unit.Loading](c.Units)), fmt.Sprint(r.Blend + 1), inLog(fields), batches, d.massN(dry), d.canN(liquid), toWrite, toWrite})
	}
	return d.pages(card)
}

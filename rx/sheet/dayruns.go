package sheet

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

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
		one := values{"left-over blend": leftName(l), "Left-over blend": tell.Capital(leftName(l)), "made": orBlank(left.Made), "last day": left.SpreadBy}
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
	maps.Copy(d.always, values{"what is dosed first": first.Name, "What is dosed first": tell.Capital(first.Name)})
	order := each.Of(liquids, func(l carried) string { return l.Name })
	dry, liquid := inRun(r)
	low, high, mixed := (&treated{liquids: liquids}).mixTime()
	d.write("(run)", values{
		"batches of the run": batchesText(r.Batches()), "dry of the run": d.mass(dry), "liquid of the run": d.can(liquid),
		"order of liquids": strings.Join(order, ", then "), "mix time known": mixed, "mix time": between(d.minutes(low), d.minutes(high)),
		"liquid to flush": entries("liquid", r.Flush...), "loading": d.a.Terms.LoadingText(first.loading), "other liquid": others,
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
	return values{"fields of the lot": tell.Capital(fieldsText(l.Fields, " + ")), "batches of the lot": count, "batches apart": fmt.Sprint(l.Apart), "what each is made of": strings.Join(made, "; ")}
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
		fields := each.Of(b.parts, func(p rx.LotPart) int { return p.Field })
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

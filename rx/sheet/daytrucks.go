package sheet

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// trucks returns the cards of what trucks carry to a field of a product.
func (c DayCards) trucks(h rx.Haul) []rx.Sheet {
	mark, band, run, batches, treated := "U", len(c.Runs), "", "", h.Run >= 0
	if treated {
		mark, band, batches = fmt.Sprint(h.Field+1), h.Run, batchesFor(c.Runs[h.Run], h.Field)
		run = runName(h.Run, c.Runs[h.Run].Loading().Brief(c.Units))
	}
	if h.Left != nil {
		run, batches = h.Product, "as it came back, at "+h.Left.Loading.Brief(c.Units)
	}
	d := c.begin(fmt.Sprintf("Trucks, field %d", h.Field+1), mark, band, rx.Terms{})
	hold, held := unit.Time(0), false
	if treated {
		d = c.begin(d.sheet.Title, mark, band, c.Runs[h.Run].Terms)
		hold, held = d.a.Terms.Hold()
		maps.Copy(d.always, d.handled(names(liquidsOf(c.Runs[h.Run]))))
	}
	f := c.Fields[h.Field]
	var left []*rx.LotLeft
	if h.Left != nil {
		left = append(left, h.Left)
	} else if treated {
		left = redosed(c.Runs[h.Run], h.Field)
	}
	older, waiting := c.older(left)
	d.write("(trucks)", values{
		"treated": treated, "field": "Field " + c.name(h.Field), "loads known": h.Loads > 0, "truck loads": plural(h.Loads, "truck load", "truck loads"), "one truck load": h.Loads == 1,
		"by whole batches": h.Full > 0, "batches on a truck": plural(h.Full, "batch", "batches"), "batches on the last": plural(h.Last, "batch", "batches"), "last truck is not full": h.Last < h.Full,
		"weight of each": d.mass(h.Each), "weight in all": d.mass(h.Weight), "product": h.Product, "run": run, "rough": h.Rough,
		"customer known": f.Customer != "", "customer": f.Customer, "place known": f.Place != "", "place": f.Place,
		"somewhere known": f.Somewhere != "", "somewhere": f.Somewhere, "plan known": f.Plan != "", "plan": f.Plan, "batches of the field": batches,
		"left over": h.Left != nil, "older lot": older, "waiting lot": waiting, "hold known": held, "hold": d.days(hold),
	})
	d.dosed()
	work := d.sheet.Sections[0]
	d.sheet.Sections = []rx.Section{{Cautions: work.Cautions, Facts: work.Facts}, {Notes: work.Notes, Blanks: work.Blanks}}
	d.sheet.Heads = rx.Heads{Field: f.Name, Load: "no run", Loading: h.Product}
	if treated && h.Left == nil {
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
	if len(card.Log.Rows) == h.Loads {
		card.Log.Rows[h.Loads-1][2] = d.massN(h.LastWeight())
	}
	return d.pages(card)
}

// batchesFor names the batches of a run that a field gets: "batches 1 to 8, part of 8 alone".
func batchesFor(r rx.Run, field int) string {
	var parts []string
	first, last := 0, 0
	add := func() {
		switch {
		case first == 0:
		case first == last:
			parts = append(parts, fmt.Sprintf("batch %d", first))
		default:
			parts = append(parts, fmt.Sprintf("batches %d to %d", first, last))
		}
		first = 0
	}
	var parted []string
	for _, b := range batchesOf(r) {
		if !b.lot.Batched {
			return ""
		}
		if !slices.ContainsFunc(b.parts, func(p rx.LotPart) bool { return p.Field == field }) {
			add()
			continue
		}
		if len(b.parts) > 1 {
			parted = append(parted, fmt.Sprint(b.number))
		}
		if last = b.number; first == 0 {
			first = last
		}
	}
	if add(); len(parted) > 0 {
		parts = append(parts, "of "+strings.Join(parted, " and ")+" a part alone")
	}
	return strings.Join(parts, ", ")
}

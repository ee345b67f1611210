package sheet

import (
	"fmt"
	"maps"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

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

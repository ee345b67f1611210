package sheet

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"rxsplit/rx"
	"rxsplit/rx/tell"
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

// cards lists the cards of a plan: those of the blender, the boom, then the spreader.
func (in *inputs) cards() []rx.Sheet {
	var list []rx.Sheet
	for i := range in.treated {
		list = append(list, in.blenderCards(i)...)
	}
	for i := range in.plan.Layers {
		if in.plan.Layers[i].Product == rx.Liquid {
			list = append(list, in.boomCards(&in.plan.Layers[i])...)
		}
	}
	for _, l := range in.dryLayers() {
		if in.spreads(l) {
			list = append(list, in.spreaderCards(l)...)
		}
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
	h := rx.Heads{Field: in.job.Field}
	if h.Field == "" {
		h.Field = in.p.Source.Name
	}
	var marks []string
	for i := range in.plan.Layers {
		l := &in.plan.Layers[i]
		if l.Name == layer {
			h.Load, h.Loading = "load "+mark(i), in.carried(l)
			return h
		}
		marks = append(marks, mark(i))
	}
	h.Load = "loads " + strings.Join(marks, ", ")
	if len(marks) == 1 {
		h.Load = "load " + marks[0]
	}
	h.Loading = "way " + string(in.plan.Way.Name)
	return h
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
		"decision of the card": tell.Text(rx.DecisionOf(d.p, d.plan.Way), d.s), "file of the card": l.Name, "loading of the card": d.sheet.Heads.Loading,
		"liquid is handled": l.Treated || l.Product == rx.Liquid,
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

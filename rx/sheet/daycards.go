package sheet

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
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
	return strings.Join(each.Of(fields, c.name), "; ")
}

func numbers(fields []int, joint string) string {
	return strings.Join(each.Of(fields, func(f int) string { return fmt.Sprint(f + 1) }), joint)
}

// fieldsText is the same in words.
func fieldsText(fields []int, joint string) string {
	return map[bool]string{true: "field ", false: "fields "}[len(fields) == 1] + numbers(fields, joint)
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

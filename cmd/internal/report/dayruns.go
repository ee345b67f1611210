package report

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/rx"
)

// Heads of the tables of blend runs and of truck loads.
var (
	dayRunHead  = []string{"run", "loading", "fields", "batches", "dry each", "stabilizer each"}
	dayHaulHead = []string{"field", "product", "from run", "in all", "loads", "each"}
)

// DayWords reports whether a column of these tables holds words, by its head.
func DayWords(head string) bool { return head == "loading" || head == "fields" || head == "product" }

// DayRuns lists the lots of blend runs, one a row, under a head.
func DayRuns(d Day) (head []string, rows [][]string) {
	q := figures.In(d.Units)
	for n, r := range d.Runs {
		name := q.Loading(r.Loading())
		if r.Shared >= 0 {
			name = DayLetter(r.Shared) + ", " + name
		}
		for _, l := range r.Lots {
			row := []string{fmt.Sprint(n + 1), name, fieldNumbers(l.Fields), "", q.Mass(l.Portion.Dry), q.Volume(l.Portion.Liquid)}
			switch {
			case l.AsIs():
				row[1], row[4], row[5] = l.Load.Loading.Brief(d.Units), fmt.Sprintf("L%d as it is", l.Left.Of+1), ""
			case l.Left != nil && l.Portion.Dry == 0:
				row[4] = fmt.Sprintf("L%d", l.Left.Of+1)
			case l.Left != nil:
				row[4] = fmt.Sprintf("L%d + %s", l.Left.Of+1, row[4])
			}
			if l.Batched {
				row[3] = figures.Count(l.Portion.Count)
			}
			rows = append(rows, row)
		}
	}
	return dayRunHead, rows
}

// DayHauls lists what trucks carry, under a head.
func DayHauls(d Day) (head []string, rows [][]string) {
	q := figures.In(d.Units)
	for _, h := range d.Hauls {
		row := []string{fmt.Sprint(h.Field + 1), h.Product, "", q.Mass(h.Weight), "", ""}
		if h.Run >= 0 {
			row[2] = fmt.Sprint(h.Run + 1)
		}
		if h.Loads > 0 {
			row[4], row[5] = figures.Count(h.Loads), q.Mass(h.Each)
		}
		rows = append(rows, row)
	}
	head = dayHaulHead
	if !slices.ContainsFunc(d.Hauls, func(h rx.Haul) bool { return h.Loads > 0 }) { // nobody says what a truck takes
		head = head[:4]
		for i := range rows {
			rows[i] = rows[i][:4]
		}
	}
	return head, rows
}

func fieldNumbers(fields []int) string {
	list := make([]string, len(fields))
	for i, f := range fields {
		list[i] = fmt.Sprint(f + 1)
	}
	return strings.Join(list, " + ")
}

// DayRunNotes says what a day's runs leave to people: liquids to be flushed, what may be shared only once
// somebody answers.
func DayRunNotes(d Day) (list []string) {
	for n, r := range d.Runs {
		if len(r.Flush) > 0 {
			list = append(list, fmt.Sprintf("Before run %d flush the line: %s is on it and does not belong into that run.", n+1, strings.Join(r.Flush, " and ")))
		}
	}
	var apart []string
	for _, a := range d.Asks {
		if a.About == rx.AskCustomer {
			apart = append(apart, fmt.Sprintf("run %d, %s, %d instead of %d", a.Run+1, fieldsText(a.Fields), a.Then, a.Now))
		} else {
			list = append(list, askText(a))
		}
	}
	if len(apart) > 0 {
		list = append(list, "Are these fields of one customer (in the day's list, customer), or is no liquid a registered product (label, registered: no)? "+
			"Then fewer batches do: "+strings.Join(apart, "; ")+". A custom blend is made to one customer's order and not held in inventory [40 CFR 167.3]: they are kept apart.")
	}
	return list
}

func askText(a rx.RunAsk) string {
	if a.About == rx.AskLeft {
		return fmt.Sprintf("Left-over blend L%d: was it made for the customer of %s (in the day's list, customer), or is no liquid a registered product (label, registered: no)? Then it goes there first. "+
			"A custom blend is made to one customer's order and not held in inventory [40 CFR 167.3]: it is not used.", a.Left+1, fieldsText(a.Fields))
	}
	of := fmt.Sprintf("Run %d, %s: ", a.Run+1, fieldsText(a.Fields))
	if a.About == rx.AskTruck {
		return of + fmt.Sprintf("does somebody split a truck load between fields, and write both weights down? Then %d loads do instead of %d.", a.Then, a.Now)
	}
	return of + fmt.Sprintf("%d batches would do instead of %d, but blending and spreading them takes longer than the label lets treated blend wait. They are kept apart.", a.Then, a.Now)
}

// fieldsText names fields by their numbers: "fields 2, 3".
func fieldsText(fields []int) string {
	return map[bool]string{true: "field ", false: "fields "}[len(fields) == 1] + strings.ReplaceAll(fieldNumbers(fields), " + ", ", ")
}

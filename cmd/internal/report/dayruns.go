package report

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

// Titles of the tables of blend runs and of truck loads, which say what their weights are.
const (
	DayRunsTitle  = "Blend runs, in their order, with dry and stabilizer as a batch is weighed"
	DayHaulsTitle = "Trucks, by what is spread, with the liquid and drying agent on it"
)

// Heads of these tables.
var (
	dayRunHead  = []string{"run", "loading", "fields", "batches", "dry a batch", "stabilizer"}
	dayHaulHead = []string{"field", "product", "from run", "in all", "loads", "each"}
)

// DayWords reports whether a column of these tables holds words, by its head.
func DayWords(head string) bool { return head == "loading" || head == "fields" || head == "product" }

// DayJoined reports whether fields of a day share batches: they are joined by + then.
func DayJoined(d Day) bool {
	head, rows := DayRuns(d)
	at := slices.Index(head, "fields")
	return slices.ContainsFunc(rows, func(row []string) bool { return strings.Contains(row[at], "+") })
}

// DayRuns lists the lots of blend runs, one a row, under a head.
func DayRuns(d Day) (head []string, rows [][]string) {
	q := figures.In(d.Units)
	for n, r := range d.Runs {
		name := q.Loading(r.Loading())
		if r.Shared >= 0 {
			name = DayLetter(r.Shared) + ", " + name
		}
		for _, l := range r.Lots {
			row := []string{fmt.Sprint(n + 1), name, fieldNumbers(l.Fields), "", q.Mass(l.Portion.Dry), q.Drops(l.Portion.Liquid)}
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
		if h.Run >= 0 && h.Left == nil {
			row[2] = fmt.Sprint(h.Run + 1)
		}
		if h.Loads > 0 {
			row[4], row[5] = figures.Count(h.Loads), q.Mass(h.Each)
			if h.Last < h.Full {
				row[5] += ", last " + q.Mass(h.LastWeight())
			}
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
	return strings.Join(each.Of(fields, func(f int) string { return fmt.Sprint(f + 1) }), " + ")
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
			apart = append(apart, fmt.Sprintf("run %d, %s: %d instead of %d", a.Run+1, fieldsText(a.Fields), a.Then, a.Now))
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
	if a.About == rx.AskGround {
		return tell.Capital(fieldsText(a.Fields)) + " lie on the same ground, by most of the smaller one: are they one field? Then keep one of them, or it gets product twice."
	}
	of := fmt.Sprintf("Run %d, %s: ", a.Run+1, fieldsText(a.Fields))
	if a.About == rx.AskTruck {
		return of + fmt.Sprintf("does somebody split a truck load between fields, and write both weights down? Then %d loads do instead of %d.", a.Then, a.Now)
	}
	return of + fmt.Sprintf("%d batches would do instead of %d, but blending and spreading them takes longer than the label lets treated blend wait. They are kept apart.", a.Then, a.Now)
}

// fieldsText names fields by their numbers, in their order: "fields 2, 3, 7 to 12".
func fieldsText(fields []int) string {
	what := map[bool]string{true: "field ", false: "fields "}[len(fields) == 1]
	fields = slices.Sorted(slices.Values(fields))
	var texts []string
	for len(fields) > 0 {
		row := 1
		for row < len(fields) && fields[row] == fields[0]+row {
			row++
		}
		text := fmt.Sprint(fields[0] + 1)
		if row < 3 {
			row = 1
		} else {
			text += fmt.Sprint(" to ", fields[row-1]+1)
		}
		texts, fields = append(texts, text), fields[row:]
	}
	return what + strings.Join(texts, ", ")
}

// DaySharedText says what a shared loading brings; empty where there is none.
func DaySharedText(d Day) string {
	if len(d.Loadings) == 0 {
		return ""
	}
	intended := d.Intended.Min.Brief(d.Units)
	if d.Intended.Max > d.Intended.Min {
		intended += " to " + d.Intended.Max.Brief(d.Units)
	}
	said := fmt.Sprintf("Intended is %s. A shared loading brings what stands beside it: on label, and as near as sharing allows. ", intended)
	if slices.ContainsFunc(d.Left, func(l DayLeft) bool { return l.Used > 0 }) {
		said += "Left-over blend is counted in it, and may be farther off, on label too. "
	}
	return said + "If that is not what is wanted, split the field by itself."
}

// DayLeftText says what is left over, and who gets it, or why nobody does.
func DayLeftText(d Day, i int) string {
	q, l := figures.In(d.Units), d.Left[i]
	said := fmt.Sprintf("L%d: %s at %s", i+1, q.Mass(l.Weighed), l.Load.Loading.Brief(d.Units))
	if l.Failed {
		return said + ". Not used, since it can't be so: " + l.Why + ". Correct what the day says of it: weighed, loading, job, made."
	}
	said += fmt.Sprintf(", %s of it dry", q.Mass(l.Dry()))
	if len(d.Blends) > 1 && l.Blend >= 0 {
		said += fmt.Sprintf(", of blend %d", l.Blend+1)
		if l.Job == 0 && !l.Named {
			said += " as the day's own job has it, since no job is named for it"
		}
	}
	if l.Customer != "" {
		said += ", made for " + Name(l.Customer)
	}
	if l.Made != "" {
		said += ", made " + string(l.Made)
	}
	if l.Why != "" {
		return said + ". Not used: " + l.Why + "."
	}
	if l.SpreadBy != "" {
		said += ", to be spread by " + string(l.SpreadBy)
	}
	said += ". "
	if l.Rough {
		said += "Nobody says how dense its liquids are: its weight counts as dry, and it is not re-dosed. "
	}
	var used []string
	for n, r := range d.Runs {
		for _, lot := range r.Lots {
			if lot.Left != nil && lot.Left.Of == i {
				used = append(used, dayGiven(q, n, lot))
			}
		}
	}
	if len(used) > 0 {
		said += "Used up first: " + strings.Join(used, "; ") + ". "
	}
	why := DayUnused(d, i)
	if rest := l.Weighed - l.Used; l.Used == 0 {
		said += "Not used: " + why + "."
	} else if why != "" {
		said += q.Mass(rest) + " of it stays unused: " + why + "."
	} else if rest > 0 {
		said += q.Mass(rest) + " stays over: batches are rounded down to what a scale reads."
	}
	return strings.TrimSpace(said)
}

// DayUnused says why left-over blend, or more of it than the steps of a scale leave, is not used; nothing
// where all of it is.
func DayUnused(d Day, i int) string {
	l := d.Left[i]
	if l.Why != "" {
		return l.Why
	}
	steps := 1 // of a scale, that rounding may leave: one a batch
	for _, r := range d.Runs {
		for _, lot := range r.Lots {
			if lot.Left != nil && lot.Left.Of == i {
				steps += lot.Portion.Count
			}
		}
	}
	if rest := l.Weighed - l.Used; l.Used > 0 && rest < equip.ScaleStep(d.Units)*unit.Mass(steps) {
		return ""
	}
	for _, a := range d.Asks {
		if a.About == rx.AskLeft && a.Left == i {
			return "nobody says that it was made for the customer of " + fieldsText(a.Fields)
		}
	}
	return "no field of its customer that shares a loading of its blend has room for it on label"
}

// dayGiven says what becomes of left-over blend in a lot.
func dayGiven(q figures.Quantities, run int, l rx.Lot) string {
	n := l.Portion.Count
	said := fmt.Sprintf("%s for field %d", q.Mass(l.Left.Weighed*unit.Mass(n)), l.Fields[0]+1)
	if l.AsIs() {
		return said + ", as it is"
	}
	said += fmt.Sprintf(" in %s of run %d, with", figures.Plural(n, "batch", "batches"), run+1)
	all, sep := l.Portion.Total(), " "
	if all.Dry > 0 {
		said, sep = said+sep+q.Mass(all.Dry)+" of untreated dry", " and "
	}
	if all.Liquid > 0 {
		said += sep + q.Volume(all.Liquid) + " of stabilizer"
	}
	return said
}

// DayLeftAsk is what has to be known before left-over blend is used.
const DayLeftAsk = "The label in hand and the law decide whether left-over blend may be used. It goes onto fields that share a loading alone. " +
	"What it brings is not ordered; costs count it as if it were blended anew."

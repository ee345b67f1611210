package report

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

// DayLetter names a loading that fields share.
func DayLetter(k int) string {
	const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
	if k < len(letters) {
		return letters[k : k+1]
	}
	return "*"
}

// DayTitle names the day, by its date where it goes by one.
func DayTitle(d Day) string {
	said := "A day of " + figures.Plural(len(d.Fields), "field", "fields")
	if d.Date != "" {
		said += ", " + string(d.Date)
	}
	return said
}

// DayText is the day in a few sentences.
func DayText(d Day) string {
	served, sharing, boom := 0, 0, 0
	for _, f := range d.Fields {
		switch {
		case !f.Served():
			continue
		case f.Shared >= 0:
			sharing++
		case len(f.Loadings) == 0:
			boom++
		}
		served++
	}
	var parts []string
	switch {
	case sharing == 1:
		parts = append(parts, "1 takes 1 loading")
	case sharing > 1:
		parts = append(parts, fmt.Sprintf("%d share %s", sharing, figures.Plural(len(d.Loadings), "loading", "loadings")))
	}
	if boom > 0 {
		parts = append(parts, fmt.Sprintf("%d by wet boom", boom))
	}
	if own := served - sharing - boom; own > 0 {
		parts = append(parts, fmt.Sprintf("%d with %s of their own", own, figures.Plural(d.Opened-len(d.Loadings), "loading", "loadings")))
	}
	said := fmt.Sprintf("%d of %s served", served, figures.Plural(len(d.Fields), "field", "fields"))
	if len(parts) > 0 {
		said += ": " + strings.Join(parts, ", ")
	}
	said += "."
	if d.Fewest > 0 {
		said += fmt.Sprintf(" Fewest loadings that would serve all fields with a window: %d.", d.Fewest)
	}
	if d.Blending > 0 {
		said += fmt.Sprintf(" Blending takes %s, without change-overs.", DayHours(d.Blending))
	}
	switch c := d.Cost; {
	case c != nil && c.Low != c.High:
		said += fmt.Sprintf(" Whole cost %s to %s.", unit.Cents(unit.Money(c.Low)), unit.Cents(unit.Money(c.High)))
	case c != nil:
		said += fmt.Sprintf(" Whole cost %s.", unit.Cents(unit.Money(c.High)))
	case len(d.Missing) > 0:
		said += " Not ordered by cost: no price of " + strings.Join(d.Missing, ", ") + "."
	}
	switch {
	case d.Gap > 0 && d.moreServed():
		said += " Not proved to be the best: another day may serve more fields, or larger ones."
	case d.Gap > 0:
		said += fmt.Sprintf(" Not proved to be the best: another day may be better by %s at most.", figures.Trim(d.Gap))
	}
	if n := len(d.Late); n > 0 {
		said += fmt.Sprintf(" %s not fit into the day.", figures.Plural(n, "field does", "fields do"))
	}
	return said + dayAmiss(d)
}

// dayAmiss says what is not as it should be, and whom it is about.
func dayAmiss(d Day) (said string) {
	const most = 8
	named, not := DayNames(d), []string(nil)
	for i, f := range d.Fields {
		if !f.Served() {
			not = append(not, fmt.Sprintf("%d %s", i+1, Name(named[i])))
		}
	}
	if len(not) > 0 && len(not) <= most {
		said += " Not served: " + strings.Join(not, ", ") + "."
	}
	for _, a := range d.Asks {
		if a.About == rx.AskGround {
			said += " " + tell.Capital(fieldsText(a.Fields)) + " lie on the same ground: see below."
		}
	}
	if !d.Whole() {
		said += " The day is not whole: the reasons stand below."
	}
	return said
}

// moreServed reports whether a gap is more than all that is served costs: fields that are left out
// weigh more than that.
func (d Day) moreServed() bool {
	if d.Cost != nil {
		return d.Gap > d.Cost.High
	}
	return d.Gap > float64(d.Opened)
}

// DayHours is a time as a day is planned by it.
func DayHours(t unit.Time) string { return figures.Fixed(float64(t/(60*unit.Minute)), 1) + " h" }

// DayWindowsText says what the drawing of the windows shows.
func DayWindowsText(d Day) string {
	off := d.RateError.Min.Brief(d.Units)
	if d.RateError.Max > d.RateError.Min {
		off += " to " + d.RateError.Max.Brief(d.Units)
	}
	return "Loadings that keep a field on label, with room for rates off by " + off
}

// DayWindow is a field's window of loadings, in the unit that the drawing of the windows names.
func DayWindow(d Day, f DayField) string {
	return figures.Thousands(figures.Short(f.Window.Min.In(d.Units))) + " to " + figures.Thousands(figures.Short(f.Window.Max.In(d.Units)))
}

// DayEnds says what makes the ends of windows: first what does where nothing else is named.
func DayEnds(d Day) []string {
	list := []string{"A bar begins where the label's least rate falls on the field's lowest dry rate, and ends where its most falls on the highest."}
	for end, called := range []string{"Begins", "Ends"} {
		of := map[string][]int{}
		for i, f := range d.Fields {
			if f.Window != nil && f.Ends[end] != "" {
				of[f.Ends[end]] = append(of[f.Ends[end]], i)
			}
		}
		for _, limit := range slices.Sorted(maps.Keys(of)) {
			list = append(list, fmt.Sprintf("%s at %s: %s.", called, limit, fieldsText(of[limit])))
		}
	}
	return list
}

// DayBlendText names a blend of a day that has several.
func DayBlendText(b day.Blend) string {
	var parts []string
	for _, m := range b.Materials {
		part := m.Name
		if g, ok := m.Grade.Get(); ok {
			part += " " + g.String()
		}
		if len(b.Materials) > 1 {
			part += " " + figures.Trim(float64(m.Share)*100) + " %"
		}
		parts = append(parts, part)
	}
	if len(parts) == 0 {
		parts = append(parts, strings.TrimSpace("dry that no job names "+b.Unnamed))
	}
	said := strings.Join(parts, ", ") + " with " + b.Stabilizer.Name
	for _, l := range b.Further {
		said += " and " + l.Name
	}
	return said
}

// DayHoursText says what the machines have to do; empty where nothing of it is known.
func DayHoursText(d Day) string {
	var parts []string
	for _, m := range []struct {
		name      string
		used, has unit.Time
	}{{"blender", d.Hours.Blender, d.Has.Blender}, {"spreaders", d.Hours.Spreader, d.Has.Spreader}, {"boom", d.Hours.Boom, d.Has.Boom}} {
		limited := !math.IsInf(float64(m.has), 1)
		if !limited && (m.used == 0 || m.name == "blender") { // how long blending takes is told before
			continue
		}
		part := m.name + " " + DayHours(m.used)
		if m.used == 0 && m.name != "boom" && slices.ContainsFunc(d.Fields, func(f DayField) bool { return len(f.Loadings) > 0 }) {
			part = m.name + " not known,"
		}
		if limited {
			part += " of " + DayHours(m.has)
		}
		if m.name == "boom" && m.used > 0 {
			part += fmt.Sprintf(" for %s %s", figures.In(d.Units).Area(d.Sprayed), unit.Symbol[unit.Area](d.Units))
		}
		parts = append(parts, part)
	}
	if len(parts) == 0 {
		return ""
	}
	said := "In all: " + strings.Join(parts, ", ") + "."
	if d.Untimed > 0 && (d.Hours.Blender > 0 || !math.IsInf(float64(d.Has.Blender), 1)) {
		said += fmt.Sprintf(" Of %s the blender's time is not known: the job's batch-time says it.", figures.Plural(d.Untimed, "field", "fields"))
	}
	return said + " Machines are driven on paper, as parallel swaths at their usual speed with their turns; " +
		"filling, change-overs, roads and waiting are not in it."
}

// DayLateText says what a field that does not fit into the day would take.
func DayLateText(d Day, i int) string {
	f, parts := d.Fields[i], []string(nil)
	if f.Hours.Blender > 0 && !math.IsInf(float64(d.Has.Blender), 1) {
		parts = append(parts, DayHours(f.Hours.Blender)+" of the blender")
	}
	if f.Hours.Spreader > 0 && !math.IsInf(float64(d.Has.Spreader), 1) {
		parts = append(parts, DayHours(f.Hours.Spreader)+" of a spreader")
	}
	return fmt.Sprintf("%s, priority %d: takes %s", Name(f.Path), f.Priority, strings.Join(parts, " and "))
}

// DayTakes says what a field does today.
func DayTakes(d Day, f DayField) string {
	switch {
	case f.Err != nil:
		return "failed"
	case !f.Served():
		return "not served"
	case f.Shared >= 0:
		return "loading " + DayLetter(f.Shared)
	}
	said := f.Way.Words()
	if n := len(f.Loadings); n > 0 {
		said += ", " + figures.Plural(n, "loading", "loadings")
	}
	if len(d.Blends) > 1 {
		said += fmt.Sprintf(", blend %d", f.Blend+1)
	}
	return said
}

// DayWaysText says what the ways are that fields take, or that reasons name.
func DayWaysText(d Day) string {
	var parts []string
	for _, w := range equip.Ways() {
		if slices.ContainsFunc(d.Fields, func(f DayField) bool {
			return f.Shared < 0 && (f.Way == w.Name || slices.ContainsFunc(f.Why, func(why string) bool { return strings.HasPrefix(why, w.Name.Words()+": ") }))
		}) {
			parts = append(parts, w.Name.Words()+" is "+w.Help)
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "Of the ways, " + strings.Join(parts, "; ") + "."
}

// DayNoWindow says why a field has no bar among the windows.
func DayNoWindow(f DayField) string {
	if f.Err != nil {
		return "failed, see below"
	}
	return "no window"
}

// A DayReason is why fields are not served, all of them for the same.
type DayReason struct {
	Of   string   // the number and the file of a field, the numbers of several
	Why  []string // of each way, or one for all
	Hint string   // what to do about it; of several with the same, the last has it
}

// DayReasons says why fields are not served, in their order; what is the same of several is said once.
func DayReasons(d Day) (list []DayReason) {
	fields, hinted := [][]int{}, map[string][]int{}
	for i, f := range d.Fields {
		if f.Served() {
			continue
		}
		named := Name(f.Path)
		one := DayReason{fmt.Sprintf("%d %s", i+1, named), f.Why, f.Hint}
		if f.Err != nil {
			said := strings.ReplaceAll(f.Err.Error(), "\n", "; ")
			rest, ok := strings.CutPrefix(said, named+": ")
			if !ok {
				one.Of = fmt.Sprint(i + 1)
			}
			one.Why = []string{rest}
		}
		hinted[f.Hint] = append(hinted[f.Hint], i)
		same := slices.IndexFunc(list, func(r DayReason) bool { return slices.Equal(r.Why, one.Why) && r.Hint == one.Hint })
		if same < 0 {
			list, fields = append(list, one), append(fields, []int{i})
			continue
		}
		fields[same] = append(fields[same], i)
		list[same].Of = tell.Capital(fieldsText(fields[same]))
	}
	told := map[string]bool{}
	for k := range slices.Backward(list) {
		switch hint := list[k].Hint; {
		case told[hint]:
			list[k].Hint = ""
		case len(hinted[hint]) > len(fields[k]):
			list[k].Hint = fieldsText(hinted[hint]) + ": " + hint
			fallthrough
		default:
			told[hint] = true
		}
	}
	return list
}

// DayApartTitle stands over what [DayApart] says.
const DayApartTitle = "Share no loading"

// DayApart says of the fields that are served and share no loading what stands against one for all
// of each; fields with one reason stand together.
func DayApart(d Day) (list []string) {
	var reasons []string
	fields := map[string][]int{}
	for i, f := range d.Fields {
		if !f.Served() || f.Apart == "" {
			continue
		}
		if len(fields[f.Apart]) == 0 {
			reasons = append(reasons, f.Apart)
		}
		fields[f.Apart] = append(fields[f.Apart], i)
	}
	for _, why := range reasons {
		list = append(list, tell.Capital(fieldsText(fields[why]))+": "+why)
	}
	return list
}

// DayOrdersText says what the amounts of a day are.
func DayOrdersText(d Day) string { return "To have at hand, for the fields served, " + DayOrdersBy(d) }

// DayOrdersBy says what the amounts go by.
func DayOrdersBy(d Day) string {
	shared := slices.ContainsFunc(d.Runs, func(r rx.Run) bool {
		return slices.ContainsFunc(r.Lots, func(l rx.Lot) bool { return len(l.Fields) > 1 })
	})
	less := ""
	if slices.ContainsFunc(d.Left, func(l DayLeft) bool { return l.Used > 0 }) {
		less = ", less what left-over blend brings"
	}
	switch {
	case !d.Written:
		return "before batches are rounded" + less
	case shared:
		return "as their own sheets dose it, or as their batches do where they share them" + less
	}
	return "as their own sheets dose it" + less
}

// DayServed counts the fields that are served.
func DayServed(d Day) string {
	n := 0
	for _, f := range d.Fields {
		if f.Served() {
			n++
		}
	}
	return figures.Plural(n, "field", "fields")
}

// DayOrderText is the amount of a product, in packages where their sizes are known.
func DayOrderText(o DayOrder) string {
	amount := func(v float64) string { return figures.Thousands(figures.Fixed(v, 2)) }
	said := fmt.Sprintf("%s %s", amount(o.Amount), o.Unit)
	if len(o.Of) > 1 {
		var of []string
		for k, v := range o.Of {
			if v > 0 {
				of = append(of, fmt.Sprintf("%s for blend %d", amount(v), k+1))
			}
		}
		said += " (" + strings.Join(of, ", ") + ")"
	}
	if len(o.Packs) == 0 {
		return said
	}
	packs := each.Of(o.Packs, func(k day.Pack) string { return fmt.Sprintf("%d x %s %s", k.Count, figures.Trim(k.Size), o.Unit) })
	return said + fmt.Sprintf("; in packages %s, which leaves %s %s", strings.Join(packs, " and "), figures.Fixed(o.Left, 2), o.Unit)
}

package sheet

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// mostListed is how many lines or numbers a sheet lists, so that a list stays on a page;
// zones.csv has the rest.
const mostListed = 40

// zoneList names zones by their numbers, neighbors in a row joined: "3, 7-9"; with more
// than a page takes, where tells where the rest is found.
func zoneList(zones []int, where string) string {
	var words []string
	shown := 0
	for i := 0; i < len(zones) && len(words) < mostListed; {
		j := i
		for j+1 < len(zones) && zones[j+1] == zones[j]+1 {
			j++
		}
		switch {
		case j == i:
			words = append(words, fmt.Sprint(zones[i]))
		case j == i+1:
			words = append(words, fmt.Sprint(zones[i]), fmt.Sprint(zones[j]))
		default:
			words = append(words, fmt.Sprintf("%d-%d", zones[i], zones[j]))
		}
		i = j + 1
		shown = i
	}
	text := strings.Join(words, ", ")
	if more := len(zones) - shown; more > 0 {
		text += fmt.Sprintf(" and %d more: %s", more, where)
	}
	return text
}

// The columns of zones.csv that sheets send people to.
func (d *draft) dryColumn() string     { return `"dry rate ` + d.dryUnit() + `"` }
func (d *draft) plannedColumn() string { return `"dry rate by plan ` + d.dryUnit() + `"` }
func (d *draft) onGroundColumn() string {
	return `"stabilizer by plan ` + d.rateUnit() + `"`
}

// noRates lists the zones that have no rate; nothing where there are none.
func (d *draft) noRates() (f rx.Fact, some bool) {
	var zones []int
	var area unit.Area
	for _, z := range d.p.Zones {
		if !z.HasRate() {
			zones, area = append(zones, z.Number()), area+z.Area
		}
	}
	if len(zones) == 0 {
		return rx.Fact{}, false
	}
	return rx.Fact{
		What: "Without a rate", Value: d.area(area),
		Note: plural(len(zones), "zone", "zones") + ": " + zoneList(zones, "zones.csv, where column "+d.dryColumn()+" is empty"),
	}, true
}

// changed is a zone, or all zones of one prescribed rate, whose dry rate is another than
// prescribed.
type changed struct {
	zone     int // its number
	zones    int
	area     unit.Area
	old, new unit.DryRate
}

func (c changed) mass() unit.Mass { return (c.new - c.old).Over(c.area) }

// changes lists the zones whose dry rates a refit has changed, in file order.
func (c *crew) changes() []changed {
	var list []changed
	for i, z := range c.p.Zones {
		if !z.HasRate() {
			continue
		}
		var now unit.DryRate
		for _, l := range c.dryLayers() {
			now += l.DryRate(c.p, i)
		}
		if now-z.Dry > 1e-9*z.Dry || z.Dry-now > 1e-9*z.Dry {
			list = append(list, changed{z.Number(), 1, z.Area, z.Dry, now})
		}
	}
	return list
}

// byRate joins zones of one prescribed rate, the lowest first.
func byRate(list []changed) []changed {
	at := map[[2]unit.DryRate]int{}
	var joined []changed
	for _, c := range list {
		key := [2]unit.DryRate{c.old, c.new}
		i, ok := at[key]
		if !ok {
			i = len(joined)
			at[key] = i
			joined = append(joined, changed{old: c.old, new: c.new})
		}
		joined[i].zones++
		joined[i].area += c.area
	}
	slices.SortFunc(joined, func(a, b changed) int {
		if a.old < b.old {
			return -1
		}
		return 1
	})
	return joined
}

// refitted lists what a refit has made of the rates: zone by zone where that fits on a
// page, else rate by rate, and where that does not either, tells where it stands.
func (d *draft) refitted() {
	if d.plan.Way.Name != rx.Refit {
		return
	}
	list := d.changes()
	s := rx.Section{Title: "Dry rates that were changed"}
	if len(list) == 0 {
		s.Notes = []string{"None: every zone keeps its prescribed rate."}
		d.add(s)
		return
	}
	var area unit.Area
	for _, c := range list {
		area += c.area
	}
	w := d.plan.Way
	s.Facts = []rx.Fact{
		{What: "Changed", Value: plural(len(list), "zone", "zones"), Note: d.area(area) + " of " + d.area(d.p.Area())},
		{What: "Dry added", Value: d.mass(w.DryAdded)},
		{What: "Dry removed", Value: d.mass(w.DryRemoved)},
	}
	if w.NKnown {
		s.Facts[1].Note, s.Facts[2].Note = d.mass(w.NAdded)+" of N", d.mass(w.NRemoved)+" of N"
	}
	const column = "zones.csv holds every zone: columns "
	whole := column + d.dryColumn() + " and " + d.plannedColumn() + "."
	rates := byRate(list)
	switch {
	case len(list) <= mostListed:
		s.Tables = []rx.Table{d.changedTable("zone", list, func(c changed) string { return fmt.Sprint(c.zone) })}
	case len(rates) <= mostListed:
		s.Tables = []rx.Table{d.changedTable("zones", rates, func(c changed) string { return num(float64(c.zones), 0) })}
		s.Notes = []string{"By rate, since the zones are more than a page takes. " + whole}
	default:
		s.Notes = []string{fmt.Sprintf("%d zones at %d rates are more than a page takes. ", len(list), len(rates)) + whole}
	}
	s.Notes = append(s.Notes, "Ask whoever drew the prescription before you spread it.")
	d.add(s)
}

func (d *draft) changedTable(what string, list []changed, name func(changed) string) rx.Table {
	table := rx.Table{Head: []string{what, d.areaUnit(), "prescribed " + d.dryUnit(), "to spread", "change " + d.massUnit()}, Left: make([]bool, 5)}
	for _, c := range list {
		sign := ""
		if c.new > c.old {
			sign = "+"
		}
		table.Rows = append(table.Rows, []string{name(c), d.areaN(c.area), d.dryN(c.old), d.dryN(c.new), sign + num(c.mass().In(d.s), 0)})
	}
	return table
}

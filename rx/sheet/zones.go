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
func (w show) dryColumn() string     { return `"dry rate ` + w.dryUnit() + `"` }
func (w show) plannedColumn() string { return `"dry rate by plan ` + w.dryUnit() + `"` }
func (w show) onGroundColumn() string {
	return `"stabilizer by plan ` + w.rateUnit() + `"`
}

// zoneNote counts zones and names them.
func (w show) zoneNote(zones []int, where string) string {
	return plural(len(zones), "zone", "zones") + ": " + zoneList(zones, where)
}

// noRates names the zones that have no rate, and their ground.
func (in *inputs) noRates() values {
	var zones []int
	var area unit.Area
	for _, z := range in.p.Zones {
		if !z.HasRate() {
			zones, area = append(zones, z.Number()), area+z.Area
		}
	}
	return values{
		"zones without a rate": len(zones) > 0, "ground without a rate": in.area(area),
		"which have none": in.zoneNote(zones, "zones.csv, where column "+in.dryColumn()+" is empty"),
	}
}

// changed is a zone, or all zones of one prescribed rate, whose dry rate is another than
// prescribed.
type changed struct {
	zone     int // its number
	zones    int
	area     unit.Area
	old, new unit.DryRate
}

func (c changed) mass() unit.Mass { return unit.MassOver(c.new-c.old, c.area) }

// changes lists the zones whose dry rates the plan has changed, in file order.
func (in *inputs) changes() []changed {
	var list []changed
	for i, z := range in.p.Zones {
		if !z.HasRate() {
			continue
		}
		var now unit.DryRate
		for _, l := range in.dryLayers() {
			now += l.DryRate(in.p, i)
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

// newRates lists what a way that may change rates has made of them: zone by zone where
// that fits on a page, else rate by rate, and where that does not either, tells where it
// stands.
func (d *document) newRates() {
	if !d.plan.Way.NewRates {
		return
	}
	w, list := d.plan.Way, d.changes()
	rates := byRate(list)
	var area unit.Area
	for _, c := range list {
		area += c.area
	}
	byZone, listed := len(list) > 0 && len(list) <= mostListed, len(rates) <= mostListed
	var table rx.Table
	switch {
	case byZone:
		table = d.changedTable("zone", list, func(c changed) string { return fmt.Sprint(c.zone) })
	case listed:
		table = d.changedTable("zones", rates, func(c changed) string { return num(float64(c.zones), 0) })
	}
	d.write("Dry rates that were changed", values{
		"some changed": len(list) > 0, "zones changed": plural(len(list), "zone", "zones"), "ground changed": d.area(area), "field as drawn": d.area(d.p.Area()),
		"dry added": d.mass(w.DryAdded), "dry removed": d.mass(w.DryRemoved),
		"N known": w.NKnown, "N in dry added": d.mass(w.NAdded), "N in dry removed": d.mass(w.NRemoved),
		"listed by rate": len(list) > 0 && listed && !byZone, "too many to list": !listed && !byZone,
		"count of zones": fmt.Sprint(len(list)), "count of rates": fmt.Sprint(len(rates)),
		"dry column": d.dryColumn(), "planned column": d.plannedColumn(),
	}, only(len(list) > 0 && listed, table)...)
}

func (w show) changedTable(what string, list []changed, name func(changed) string) rx.Table {
	table := rx.Table{Head: []string{what, w.areaUnit(), "prescribed " + w.dryUnit(), "to spread", "change " + w.massUnit()}, Left: make([]bool, 5)}
	for _, c := range list {
		sign := ""
		if c.new > c.old {
			sign = "+"
		}
		table.Rows = append(table.Rows, []string{name(c), w.areaN(c.area), w.dryN(c.old), w.dryN(c.new), sign + num(c.mass().In(w.s), 0)})
	}
	return table
}

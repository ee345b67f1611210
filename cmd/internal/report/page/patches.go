package page

import (
	"fmt"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/check"
)

// mostPatches is how many patches of ground off label the page lists.
const mostPatches = 40

// mostNamed is how many zones a patch names.
const mostNamed = 8

// offTable lists the connected ground off label, the largest patch first, and says what it
// leaves out.
func offTable(r report.Result, q figures.Quantities) (*pageTable, string) {
	patches := check.Patches(r.Prescription, r.Assessment)
	if len(patches) == 0 {
		return nil, ""
	}
	ac, dry, rate := q.Symbols()
	t := &pageTable{Caption: "Ground off label, the largest patch first", Hidden: true, Head: heads("patch", "<verdict", ac, "dry "+dry, "stabilizer "+rate)}
	if r.Plan != nil {
		t.Head = append(t.Head, number("by the plan"))
	}
	t.Head = append(t.Head, number("latitude, longitude"), words("zones"))
	for i, one := range patches[:min(len(patches), mostPatches)] {
		t.Rows = append(t.Rows, patchRow(r, q, i+1, one))
	}
	rest := unit.Area(0)
	for _, one := range patches[len(t.Rows):] {
		rest += one.Area
	}
	if more := len(patches) - len(t.Rows); more > 0 {
		return t, fmt.Sprintf("And %s more, %s %s together, each smaller than those above.", figures.Plural(more, "patch", "patches"), q.Area(rest), ac)
	}
	return t, ""
}

func patchRow(r report.Result, q figures.Quantities, n int, one rx.Patch) []pageCell {
	verdict := words(one.Verdict.String())
	verdict.Fill = verdictFill(one.Verdict)
	if one.Season {
		verdict = words("season")
		verdict.Fill = svg.Season.Fill()
	}
	id := number(fmt.Sprint(n))
	id.Zones = marked(r, one.Zones)
	rates := rx.Range[unit.LiquidRate]{Min: unit.StabilizerRate(r.Assessment.Loading, one.Dry.Min), Max: unit.StabilizerRate(r.Assessment.Loading, one.Dry.Max)}
	row := []pageCell{id, verdict, figure(q.Area(one.Area), fmt.Sprintf("patches.%d.area", n), one.Area.In(q.System)),
		number(q.DryRange(one.Dry.Min, one.Dry.Max)), number(q.SideRange(rates, r.Assessment.Range))}
	if r.Plan != nil {
		row = append(row, number(plannedRange(r, q, one.Zones)))
	}
	return append(row, number(figures.Place(one.Place)), words(named(one.Zones)))
}

// named lists the numbers of zones, and counts those beyond some.
func named(zones []int) string {
	list := each.Of(zones[:min(len(zones), mostNamed)], func(n int) string { return fmt.Sprint(n) })
	text := strings.Join(list, ", ")
	if more := len(zones) - len(list); more > 0 {
		text += " and " + figures.Count(more) + " more"
	}
	return text
}

// plannedRange prints what a plan puts on zones, and on how much of them where that is not
// all.
func plannedRange(r report.Result, q figures.Quantities, zones []int) string {
	var rates rx.Range[unit.LiquidRate]
	var with, all unit.Area
	first := true
	for _, n := range zones {
		i := zoneAt(r.Prescription, n)
		rates.Widen(r.Plan.Stabilizer[i], first)
		first = false
		area := r.Prescription.Zones[i].Area
		with, all = with+r.Plan.WithStabilizer(i, area), all+area
	}
	text := q.SideRange(rates, r.Assessment.Range)
	if r.Plan.KeptOut == nil || with == all {
		return text
	}
	return fmt.Sprintf("%s on %s %s", text, q.Area(with), unit.Symbol[unit.Area](q.System))
}

// zoneAt returns the index of a zone by its number, of those in ascending order.
func zoneAt(p *rx.Prescription, number int) int {
	low, high := 0, len(p.Zones)
	for low < high {
		if mid := (low + high) / 2; p.Zones[mid].Number() < number {
			low = mid + 1
		} else {
			high = mid
		}
	}
	return low
}

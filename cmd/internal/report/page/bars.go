package page

import (
	"fmt"
	"math"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// pageBar shows how the field's acres divide: if the blend were impregnated as one, or by
// the chosen way.
type pageBar struct {
	Title  string
	Shares []pageShare
}

// pageShare is one part of a bar.
type pageShare struct {
	Fill    string
	Name    string
	Cell    pageCell
	Percent string
	Width   string // percent; empty for nothing
}

// bars divides the field's acres as one blend and, of a plan, by the chosen way. The parts
// stand in one order on both.
func (v *pageView) bars(r report.Result, q figures.Quantities) {
	total := r.Prescription.Area()
	if !(total > 0) {
		return
	}
	before := barOf(total, q)
	a := r.Assessment
	before.Title, v.SplitText = "As one blend", "If "+report.Impregnated(r.Prescription)+" is impregnated"
	if a.Loading > 0 {
		before.Title += " at " + q.Loading(a.Loading)
		v.SplitText += " at " + q.Loading(a.Loading)
	}
	for _, verdict := range shownInBars(a) {
		area, key := verdictGround(a, verdict)
		before.add(verdictFill(verdict), report.VerdictText(verdict), area, key)
		if off := a.OverSeason.Area; verdict == rx.Within && off > 0 {
			before.add(svg.Season.Fill(), report.SeasonText, off, seasonKey)
		}
	}
	if r.Plan == nil {
		v.Bars = []pageBar{before.pageBar}
		return
	}
	after := barOf(total, q)
	after.Title = "By the chosen way: " + r.Plan.Way.Name.Words()
	plan := r.Plan
	within := plan.StabilizerGround(r.Prescription.Zones)
	none, unrated := a.Shares[rx.NoDry].Area, a.Shares[rx.NoRate].Area
	after.add(verdictFill(rx.Within), report.VerdictText(rx.Within), within, "")
	if left := total - within - none - unrated; float64(left) > 1e-6*float64(total) {
		after.add(svg.KeepOut.Fill(), "without stabilizer", left, "")
	}
	after.rest(a)
	v.Bars = []pageBar{before.pageBar, after.pageBar}
}

// shownInBars lists the verdicts from left to right: below, within, above, then what gets
// nothing.
func shownInBars(a *rx.Assessment) (list []rx.Verdict) {
	for _, v := range []rx.Verdict{rx.Below, rx.Within, rx.Above, rx.NoDry, rx.NoRate} {
		if v != rx.NoDry && v != rx.NoRate || a.Shares[v].Zones > 0 {
			list = append(list, v)
		}
	}
	return list
}

// barMaker adds parts to a bar.
type barMaker struct {
	pageBar
	total, x float64
	q        figures.Quantities
}

func barOf(total unit.Area, q figures.Quantities) *barMaker {
	return &barMaker{total: float64(total), q: q}
}

func (b *barMaker) add(fill, name string, area unit.Area, key string) {
	share := float64(float64(area) / b.total * 10000)
	from := math.Round(b.x)
	b.x += share
	width := ""
	if wide := math.Round(b.x) - from; wide > 0 {
		width = figures.Trim(wide / 100)
	}
	cell := number(fmt.Sprintf("%s %s", b.q.Area(area), unit.Symbol[unit.Area](b.q.System)))
	if key != "" {
		cell = figure(cell.Text, key, area.In(b.q.System))
	}
	b.Shares = append(b.Shares, pageShare{Fill: fill, Name: name, Width: width, Cell: cell, Percent: figures.Fixed(share/100, 1) + " %"})
}

// rest adds the ground that gets nothing.
func (b *barMaker) rest(a *rx.Assessment) {
	for _, v := range []rx.Verdict{rx.NoDry, rx.NoRate} {
		if a.Shares[v].Zones > 0 {
			b.add(verdictFill(v), report.VerdictText(v), a.Shares[v].Area, areaKey(v))
		}
	}
}

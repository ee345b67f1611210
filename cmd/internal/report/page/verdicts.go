package page

import (
	"fmt"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// verdictTable is what each verdict amounts to.
func verdictTable(r report.Result, q figures.Quantities) pageTable {
	ac, dry, rate := q.Symbols()
	t := pageTable{
		Caption: "What each verdict amounts to", Hidden: true,
		Head: heads("<verdict", "zones", ac, "share of all", "dry "+dry, "stabilizer "+rate),
	}
	total := r.Prescription.Area()
	for _, v := range report.ShownVerdicts(r.Assessment) {
		s := r.Assessment.Shares[v]
		name := words(report.VerdictText(v))
		name.Fill = verdictFill(v)
		row := []pageCell{name, number(figures.Count(s.Zones)), figure(q.Area(s.Area), areaKey(v), s.Area.In(q.System)), number(shareText(s.Area, total)), number(""), number("")}
		if s.Zones > 0 && v != rx.NoRate && v != rx.NoDry {
			row[4].Text = q.DryRange(s.Dry.Min, s.Dry.Max)
			row[5].Text = q.SideRange(s.Stabilizer, r.Assessment.Range)
		}
		t.Rows = append(t.Rows, row)
		if off := r.Assessment.OverSeason; v == rx.Within && off.Zones > 0 {
			name := words("of it, " + report.SeasonText)
			name.Fill = svg.Season.Fill()
			t.Rows = append(t.Rows, []pageCell{name, number(figures.Count(off.Zones)), figure(q.Area(off.Area), seasonKey, off.Area.In(q.System)),
				number(shareText(off.Area, total)), number(q.DryRange(off.Dry.Min, off.Dry.Max)), number(q.SideRange(off.Stabilizer, r.Assessment.Range))})
		}
	}
	t.Total = []pageCell{words("all"), number(figures.Count(len(r.Prescription.Zones))), figure(q.Area(total), "area.total", total.In(q.System)), number(""), number(""), number("")}
	return t.labeled()
}

func shareText(part, all unit.Area) string {
	if !(all > 0) {
		return ""
	}
	return figures.Fixed(float64(part/all)*100, 1) + " %"
}

// tightText counts the zones that leave the label when the spreader is off.
func tightText(r report.Result, q figures.Quantities) string {
	n, area := 0, unit.Area(0)
	for i, tight := range r.Assessment.Tight {
		if tight {
			n, area = n+1, area+r.Prescription.Zones[i].Area
		}
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("Of those within, %s (%s %s) are tight: they leave the label range when the spreader is off by its rate error of %s.",
		figures.Plural(n, "zone", "zones"), q.Area(area), unit.Symbol[unit.Area](q.System), r.Assessment.Terms.RateError)
}

// seasonKey is what JSON calls the acres that the season maximum alone puts off label.
const seasonKey = "area.over_season"

// verdictFill is what a drawing is filled with where it shows a verdict.
func verdictFill(v rx.Verdict) string { return verdictInk(v).Fill() }

func verdictInk(v rx.Verdict) svg.Ink { return svg.Ink(v.String()) }

// verdictGround returns the ground of a verdict without what the season maximum alone
// puts off label, and the name that JSON has for it; none where that is another figure.
func verdictGround(a *rx.Assessment, v rx.Verdict) (area unit.Area, key string) {
	if v == rx.Within && a.OverSeason.Zones > 0 {
		return a.Shares[v].Area - a.OverSeason.Area, ""
	}
	return a.Shares[v].Area, areaKey(v)
}

// areaKey returns what JSON calls the acres of a verdict.
func areaKey(v rx.Verdict) string {
	return [...]string{rx.Within: "area.within", rx.Below: "area.below", rx.Above: "area.above", rx.NoDry: "area.no_dry", rx.NoRate: "area.no_rate"}[v]
}

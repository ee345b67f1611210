package report

import (
	"fmt"
	"strconv"

	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// verdictTable is what each verdict amounts to.
func verdictTable(r Result, q quantities) pageTable {
	ac, dry, rate := q.symbols()
	t := pageTable{
		Caption: "What each verdict amounts to", Hidden: true,
		Head: heads("<verdict", "zones", ac, "share of all", "dry "+dry, "stabilizer "+rate),
	}
	total := r.Prescription.Area()
	for _, v := range shownVerdicts(r.Assessment) {
		s := r.Assessment.Shares[v]
		name := words(verdictText(v))
		name.Fill = verdictFill(v)
		row := []pageCell{name, number(thousands(fmt.Sprint(s.Zones))), figure(q.ground(s.Area), areaKey(v), s.Area.In(q.s)), number(shareText(s.Area, total)), number(""), number("")}
		if s.Zones > 0 && v != rx.NoRate && v != rx.NoDry {
			row[4].Text = q.dryRange(s.Dry.Min, s.Dry.Max)
			row[5].Text = q.sideRange(s.Stabilizer, r.Assessment.Range)
		}
		t.Rows = append(t.Rows, row)
		if off := r.Assessment.OverSeason; v == rx.Within && off.Zones > 0 {
			name := words("of it, " + seasonText)
			name.Fill = svg.Season.Fill()
			t.Rows = append(t.Rows, []pageCell{name, number(thousands(fmt.Sprint(off.Zones))), figure(q.ground(off.Area), seasonKey, off.Area.In(q.s)),
				number(shareText(off.Area, total)), number(q.dryRange(off.Dry.Min, off.Dry.Max)), number(q.sideRange(off.Stabilizer, r.Assessment.Range))})
		}
	}
	t.Total = []pageCell{words("all"), number(thousands(fmt.Sprint(len(r.Prescription.Zones)))), figure(q.ground(total), "area.total", total.In(q.s)), number(""), number(""), number("")}
	return t.labeled()
}

func shareText(part, all unit.Area) string {
	if !(all > 0) {
		return ""
	}
	return fixed(float64(part/all)*100, 1) + " %"
}

// tightText counts the zones that leave the label when the spreader is off.
func tightText(r Result, q quantities) string {
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
		plural(n, "zone", "zones"), q.ground(area), unit.Symbol[unit.Area](q.s), r.Assessment.Terms.RateError)
}

// mostOffRows is how many off-label zones the page lists.
const mostOffRows = 40

// offTable lists the off-label zones, the largest first, and says what it leaves out.
func offTable(r Result, q quantities) (*pageTable, string) {
	a, zones := r.Assessment, r.Prescription.Zones
	off := offZones(r.Prescription, a)
	if len(off) == 0 {
		return nil, ""
	}
	ac, dry, rate := q.symbols()
	t := &pageTable{Caption: "Off-label zones, the largest first", Hidden: true, Head: heads("zone", "<verdict", ac, "dry "+dry, "stabilizer "+rate)}
	if r.Plan != nil {
		t.Head = append(t.Head, number("by the plan"))
	}
	t.Head = append(t.Head, number("latitude, longitude"))
	for _, i := range off[:min(len(off), mostOffRows)] {
		t.Rows = append(t.Rows, offRow(r, q, i))
	}
	more := len(off) - len(t.Rows)
	if more == 0 {
		return t, ""
	}
	rest := unit.Area(0)
	for _, i := range off[len(t.Rows):] {
		rest += zones[i].Area
	}
	where := "rxsplit check --json lists all of them."
	if r.Plan != nil {
		where = "zones.csv, beside this page, lists all of them."
	}
	return t, fmt.Sprintf("And %s more, %s %s together; %s", plural(more, "zone", "zones"), q.ground(rest), ac, where)
}

// plannedRate prints what a plan puts on a zone, and on how much of it where that is not
// all.
func plannedRate(r Result, q quantities, i int) string {
	text := q.rate(r.Plan.Stabilizer[i])
	if r.Plan.KeptOut == nil || r.Plan.KeptOut[i] == 0 {
		return text
	}
	with := r.Plan.WithStabilizer(i, r.Prescription.Zones[i].Area)
	return fmt.Sprintf("%s on %s %s", text, q.ground(with), unit.Symbol[unit.Area](q.s))
}

func offRow(r Result, q quantities, i int) []pageCell {
	z := r.Prescription.Zones[i]
	verdict := words(offWord(r.Assessment, i))
	verdict.Fill = offFill(r.Assessment, i)
	id := number(fmt.Sprint(z.Number()))
	id.Zone = z.Number()
	row := []pageCell{id, verdict, figure(q.ground(z.Area), fmt.Sprintf("zones.%d.area", z.Number()), z.Area.In(q.s)), number(q.dry(z.Carrier)),
		number(q.sideRate(unit.StabilizerRate(r.Assessment.Loading, z.Carrier), r.Assessment.Range))}
	if r.Plan != nil {
		row = append(row, number(plannedRate(r, q, i)))
	}
	return append(row, number(placeText(r.Prescription.Place(i))))
}

// sideRate prints a rate with as many decimals as show on which side of the label's
// ends it lies: 40.004 is not printed as 40.0 where 40 is the most.
func (q quantities) sideRate(s unit.LiquidRate, label rx.Range[unit.LiquidRate]) string {
	for decimals := 1; decimals < 6; decimals++ {
		text := fixed(s.In(q.s), decimals)
		shown, err := strconv.ParseFloat(text, 64)
		if err != nil || label.Under(s) == (shown < label.Min.In(q.s)) && label.Over(s) == (shown > label.Max.In(q.s)) {
			return text
		}
	}
	return q.rate(s)
}

func (q quantities) sideRange(s, label rx.Range[unit.LiquidRate]) string {
	low, high := q.sideRate(s.Min, label), q.sideRate(s.Max, label)
	if low == high {
		return low
	}
	return low + " to " + high
}

package text

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
)

// Day prints a plant's day: what can be done, the windows of the fields on one axis, the
// loadings, who takes what, and what to order.
func Day(w io.Writer, d report.Day) error {
	p := &printer{w: w}
	if d.Date != "" {
		p.f("%s\n\n", report.DayTitle(d))
	}
	p.wrapped("", "", report.DayText(d))
	dayBlends(p, d)
	dayDrawing(p, d)
	dayLoadings(p, d)
	dayFields(p, d)
	if hours := report.DayHoursText(d); hours != "" {
		p.f("\n")
		p.wrapped("", "", hours)
	}
	dayRuns(p, d)
	dayOrders(p, d)
	if len(d.Left) > 0 {
		p.f("\nLeft over:\n")
		for i := range d.Left {
			p.wrapped("  ", "    ", report.DayLeftText(d, i))
		}
		p.wrapped("  ! ", "    ", report.DayLeftAsk)
	}
	if apart := report.DayApart(d); len(apart) > 0 {
		p.f("\n%s:\n", report.DayApartTitle)
		for _, text := range apart {
			p.wrapped("  ", "    ", text)
		}
	}
	dayReasons(p, d)
	if len(d.Late) > 0 {
		p.f("\nPlanned, and more than the day has time for:\n")
		for _, i := range d.Late {
			p.wrapped(fmt.Sprintf("  %d ", i+1), "    ", report.DayLateText(d, i))
		}
	}
	return p.err
}

// dayBlends tells the blends apart, where there are several.
func dayBlends(p *printer, d report.Day) {
	if len(d.Blends) < 2 {
		return
	}
	p.f("\n")
	for k, b := range d.Blends {
		p.wrapped(fmt.Sprintf("Blend %d: ", k+1), "  ", report.DayBlendText(b))
	}
}

// Columns of the drawing.
const (
	drawnName = 22
	drawnEnds = 18
	drawnAxis = lineWidth - drawnName - 6 - drawnEnds
)

// dayDrawing draws the windows as bars over one axis of loadings, the day's loadings as letters.
func dayDrawing(p *printer, d report.Day) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, f := range d.Fields {
		if f.Window != nil {
			low, high = min(low, float64(f.Window.Min)), max(high, float64(f.Window.Max))
		}
	}
	if low > high {
		return
	}
	at := func(l unit.Loading) int {
		if high == low {
			return drawnAxis / 2
		}
		return int(math.Round((float64(l) - low) / (high - low) * (drawnAxis - 1)))
	}
	p.f("\n")
	p.wrapped("", "", fmt.Sprintf("%s, in %s:", report.DayWindowsText(d), unit.Symbol[unit.Loading](d.Units)))
	left, right := figures.Thousands(figures.Short(unit.Loading(low).In(d.Units))), figures.Thousands(figures.Short(unit.Loading(high).In(d.Units)))
	p.f("%*s%s%*s\n", drawnName+6, "", left, drawnAxis-len(left), right)
	named := report.DayNames(d)
	for i, f := range d.Fields {
		row := []rune(strings.Repeat(" ", drawnAxis))
		if f.Window == nil {
			copy(row, []rune(report.DayNoWindow(f)))
		} else {
			for x := at(f.Window.Min); x <= at(f.Window.Max); x++ {
				row[x] = '='
			}
		}
		for k, l := range d.Loadings {
			switch {
			case f.Blend != l.Blend:
			case f.Window != nil && f.Shared == k:
				row[at(l.Value)] = []rune(report.DayLetter(k))[0]
			case row[at(l.Value)] == ' ':
				row[at(l.Value)] = '|'
			}
		}
		ends := ""
		if f.Window != nil {
			ends = report.DayWindow(d, f)
		}
		p.f("%s\n", strings.TrimRight(fmt.Sprintf("%4d  %-*s%s%*s", i+1, drawnName, drawn(named[i]), string(row), drawnEnds, ends), " "))
	}
	for _, text := range report.DayEnds(d) {
		p.wrapped("  ", "    ", text)
	}
}

// drawn is a name as the drawing has room for it.
func drawn(called string) string {
	name := []rune(report.Plain(called))
	if len(name) > drawnName-2 {
		name = append(name[:drawnName-5], []rune("...")...)
	}
	return string(name)
}

func dayLoadings(p *printer, d report.Day) {
	if len(d.Loadings) == 0 {
		return
	}
	q := figures.In(d.Units)
	rows, blending, blend := make([][]string, len(d.Loadings)), "", ""
	if len(d.Blends) > 1 {
		blend = "blend"
	}
	if d.Blending > 0 {
		blending = "blending"
	}
	for k, l := range d.Loadings {
		batches, time, of := "", "", ""
		if blend != "" {
			of = fmt.Sprint(l.Blend + 1)
		}
		if l.Batches > 0 {
			batches = figures.Count(l.Batches)
		}
		if l.Time > 0 {
			time = report.DayHours(l.Time)
		}
		rows[k] = []string{report.DayLetter(k), q.Loading(l.Value), fmt.Sprint(len(l.Fields)), q.Mass(l.Mass), batches, of, time}
	}
	p.f("\n")
	p.table("  ", []column{{"loading", true}, {"", false}, {"fields", false}, {"dry as prescribed", false}, {"batches", false}, {blend, false}, {blending, false}}, rows)
}

func dayFields(p *printer, d report.Day) {
	q := figures.In(d.Units)
	rows := make([][]string, len(d.Fields))
	for i, f := range d.Fields {
		row := []string{fmt.Sprintf("%d %s", i+1, f.By(report.Name(f.Called()))), q.Area(f.Area), "", "", "", report.DayTakes(d, f)}
		if f.Err != nil {
			row[1] = ""
		}
		if f.Served() {
			row[2] = q.RateRange(f.Rate.Min, f.Rate.Max)
		}
		if f.Shared >= 0 {
			row[3] = q.Rate(f.Mean)
		}
		if f.Cost != nil {
			row[4] = unit.Cents(unit.Money(*f.Cost))
		}
		rows[i] = row
	}
	columns := []column{
		{"field", true}, {unit.Symbol[unit.Area](d.Units), false}, {unit.Symbol[unit.LiquidRate](d.Units), false},
		{"mean", false}, {"cost", false}, {"takes", true},
	}
	for i := len(columns) - 1; i > 0; i-- { // without prices or a shared loading a column has nothing to say
		if !slices.ContainsFunc(rows, func(row []string) bool { return row[i] != "" }) {
			columns = slices.Delete(columns, i, i+1)
			for n := range rows {
				rows[n] = slices.Delete(rows[n], i, i+1)
			}
		}
	}
	p.f("\n")
	p.table("  ", columns, rows)
	for _, text := range []string{report.DayWaysText(d), report.DaySharedText(d)} {
		if text != "" {
			p.f("\n")
			p.wrapped("", "", text)
		}
	}
}

// dayRuns lists the blend runs, what trucks carry, and what people have to answer about them.
func dayRuns(p *printer, d report.Day) {
	runs := report.DayRunsTitle
	if report.DayJoined(d) {
		runs += "; fields joined by + share batches"
	}
	for _, t := range []struct {
		title string
		of    func(report.Day) ([]string, [][]string)
	}{{runs + ":", report.DayRuns}, {report.DayHaulsTitle + ":", report.DayHauls}} {
		head, rows := t.of(d)
		if len(rows) == 0 {
			continue
		}
		columns := make([]column, len(head))
		for i, h := range head {
			columns[i] = column{h, i > 0 && report.DayWords(h)}
		}
		p.f("\n")
		p.wrapped("", "", t.title)
		long := manyFields(head, rows)
		p.table("  ", columns, rows)
		for _, text := range long {
			p.wrapped("  ", "    ", text)
		}
	}
	for _, note := range report.DayRunNotes(d) {
		p.wrapped("  ? ", "    ", note)
	}
}

// manyFields puts a count where the fields of a row have no room, and returns what says which they are.
func manyFields(head []string, rows [][]string) (long []string) {
	const most = 15
	at := slices.Index(head, "fields")
	for _, row := range rows {
		if at >= 0 && len(row[at]) > most {
			count := fmt.Sprintf("%d fields", strings.Count(row[at], "+")+1)
			long = append(long, fmt.Sprintf("In run %s, %s: %s.", row[0], count, row[at]))
			row[at] = count
		}
	}
	return long
}

func dayOrders(p *printer, d report.Day) {
	if len(d.Orders) == 0 {
		return
	}
	p.f("\n")
	p.wrapped("", "", report.DayOrdersText(d)+":")
	for _, o := range d.Orders {
		p.wrapped("  ", "    ", o.What+": "+report.DayOrderText(o))
	}
}

// dayReasons says why fields are not served, by the way where several reasons stand.
func dayReasons(p *printer, d report.Day) {
	reasons := report.DayReasons(d)
	if len(reasons) > 0 {
		p.f("\nNot served:\n")
	}
	for _, r := range reasons {
		if len(r.Why) == 1 {
			p.wrapped("  ", "    ", r.Of+": "+r.Why[0])
		} else {
			p.wrapped("  ", "    ", r.Of+":")
			for _, why := range r.Why {
				p.wrapped("    ", "      ", why)
			}
		}
		if r.Hint != "" {
			p.wrapped("    -> ", "       ", r.Hint)
		}
	}
}

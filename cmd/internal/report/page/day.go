package page

import (
	"fmt"
	"html/template"
	"io"
	"slices"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
)

// Small is a small map of a prescription: its dry rates.
type Small struct {
	Wide, High int
	Body       template.HTML
}

// SmallOf draws it.
func SmallOf(r report.Result) (s Small) {
	q := figures.In(r.Units)
	theme := carrierTheme(r, q, drySteps(r, q), "")
	s.Wide, s.High, s.Body = svg.Thumb(groundOf(r.Prescription), theme.Map)
	return s
}

// dayView is the page of a plant's day as data.
type dayView struct {
	Style                        template.CSS
	Policy                       string
	Patterns                     template.HTML
	Title, Said, Shared, Ordered string
	Ways                         string // what those are that fields take
	Hours                        string
	Late                         []string
	Windows                      []chart
	WindowsTitle                 string
	Ends                         []string // what makes those of windows
	Blends                       []string // where there are several
	Loadings                     pageTable
	Runs, Hauls                  pageTable
	Joined                       bool // fields share batches
	Asks                         []string
	Cards                        []pageSheet
	Head                         []pageCell
	Fields                       []dayRow
	Orders                       [][2]string
	Left                         []string
	Apart                        []string
	ApartTitle                   string
	Reasons                      []report.DayReason
	Version                      string
}

type dayRow struct {
	Number     int
	Name, Link string
	Small      Small
	Cells      []pageCell
}

// Day prints the page of a plant's day; small are the maps of the fields that have a plan, by
// their index. It needs no script.
func Day(w io.Writer, d report.Day, version string, small map[int]Small) error {
	v := dayView{
		Style: template.CSS(Style()), Patterns: svg.Patterns(), Version: version, Title: report.DayTitle(d),
		Said: report.DayText(d), Shared: report.DaySharedText(d), Ways: report.DayWaysText(d), Ordered: report.DayOrdersText(d), Hours: report.DayHoursText(d), Windows: windowCharts(d), WindowsTitle: report.DayWindowsText(d), Ends: report.DayEnds(d), Loadings: dayLoadingsTable(d),
	}
	v.Joined = report.DayJoined(d)
	v.Runs, v.Hauls, v.Asks = dayTable(report.DayRunsTitle, report.DayRuns, d), dayTable(report.DayHaulsTitle, report.DayHauls, d), report.DayRunNotes(d)
	for i, s := range d.Cards {
		v.Cards = append(v.Cards, sheetOf(s, fmt.Sprintf("card-%d", i+1)))
	}
	v.Style += template.CSS(headStyle("A day of a plant", v.Title, "rxsplit "+version, v.Cards))
	v.Policy = policyOf(string(v.Style), "")
	v.Head = heads("no.", "<field", "<takes", unit.Symbol[unit.Area](d.Units), "stabilizer, "+unit.Symbol[unit.LiquidRate](d.Units), "mean", "cost, at most")
	named := report.DayNames(d)
	for i, f := range d.Fields {
		row := dayRow{Number: i + 1, Name: f.By(named[i]), Small: small[i], Cells: dayCells(d, f)}
		for k := range row.Cells {
			row.Cells[k].Label = v.Head[k+2].Text
		}
		if i >= mostSmall {
			row.Small = Small{}
		}
		if f.Folder != "" {
			row.Link = f.Folder + "/report.html"
		}
		v.Fields = append(v.Fields, row)
	}
	if len(d.Blends) > 1 {
		for _, b := range d.Blends {
			v.Blends = append(v.Blends, report.DayBlendText(b))
		}
	}
	v.Reasons = report.DayReasons(d)
	v.ApartTitle, v.Apart = report.DayApartTitle, report.DayApart(d)
	for _, i := range d.Late {
		v.Late = append(v.Late, fmt.Sprintf("%d: %s", i+1, report.DayLateText(d, i)))
	}
	for _, o := range d.Orders {
		v.Orders = append(v.Orders, [2]string{o.What, report.DayOrderText(o)})
	}
	for i := range d.Left {
		v.Left = append(v.Left, report.DayLeftText(d, i))
	}
	if len(v.Left) > 0 {
		v.Left = append(v.Left, report.DayLeftAsk)
	}
	return lay(w, "day.html", v)
}

// dayTable lays out one of the tables of runs.
func dayTable(caption string, of func(report.Day) ([]string, [][]string), d report.Day) pageTable {
	head, rows := of(d)
	t := pageTable{Caption: caption}
	for _, h := range head {
		t.Head = append(t.Head, pageCell{Text: h, Left: report.DayWords(h)})
	}
	for _, row := range rows {
		t.Rows = append(t.Rows, cellsUnder(t.Head, row))
	}
	return t.labeled()
}

func dayCells(d report.Day, f report.DayField) []pageCell {
	q := figures.In(d.Units)
	row := []pageCell{words(report.DayTakes(d, f)), number("–"), number("–"), number("–"), number("–")}
	if f.Err == nil {
		row[1].Text = q.Area(f.Area)
	}
	if f.Served() {
		row[2].Text = q.RateRange(f.Rate.Min, f.Rate.Max)
	}
	if f.Shared >= 0 {
		row[3].Text = q.Rate(f.Mean)
	}
	if f.Cost != nil {
		row[4].Text = unit.Cents(unit.Money(*f.Cost))
	}
	return row
}

// mostWindows is how many fields a drawing of windows has, so that it stays on one page in print.
const mostWindows = 30

// windowCharts draw the loadings that keep each field on label, and the day's over them, blend after blend;
// none where no field has a window.
func windowCharts(d report.Day) (list []chart) {
	q := figures.In(d.Units)
	for k := range d.Blends {
		all, title := svg.Intervals{Axis: "loading, " + unit.Symbol[unit.Loading](d.Units)}, "Every field with a window"
		if len(d.Blends) > 1 {
			title = fmt.Sprintf("Blend %d", k+1)
		}
		for n, l := range d.Loadings {
			if l.Blend == k {
				all.Limits = append(all.Limits, svg.Limit{Value: l.Value.In(d.Units), Text: report.DayLetter(n) + ", " + q.Loading(l.Value)})
			}
		}
		for i, f := range d.Fields {
			if f.Blend != k || f.Window == nil {
				continue
			}
			row := svg.Interval{Name: fmt.Sprint(i + 1), Text: report.DayWindow(d, f), Low: f.Window.Min.In(d.Units), High: f.Window.Max.In(d.Units), Bar: true}
			if f.Shared >= 0 {
				row.Value = d.Loadings[f.Shared].Value.In(d.Units)
				row.Text = report.DayLetter(f.Shared) + "  " + row.Text
			}
			all.Rows = append(all.Rows, row)
		}
		for rows := range slices.Chunk(all.Rows, mostWindows) {
			c := all
			c.Rows = rows
			one := chart{Drawing: c.Draw(), ID: fmt.Sprintf("chart-windows-%d", len(list)+1), Title: title}
			one.Desc = fmt.Sprintf("Fields %s to %s: a bar for each that has a window, with its ends; upright lines are the loadings that fields share.", rows[0].Name, rows[len(rows)-1].Name)
			list = append(list, one)
		}
	}
	return list
}

// dayLoadingsTable lists what to blend, blend after blend, in its order: the lowest loading first.
func dayLoadingsTable(d report.Day) pageTable {
	q := figures.In(d.Units)
	t := pageTable{Caption: "Shared loadings", Head: heads("<loading", "of", "blend", "<for fields", "dry as prescribed", "batches", "blending")}
	for k, l := range d.Loadings {
		var of string
		for _, i := range l.Fields {
			if of != "" {
				of += ", "
			}
			of += fmt.Sprint(i + 1)
		}
		batches, time := "–", "–"
		if l.Batches > 0 {
			batches = figures.Count(l.Batches)
		}
		if l.Time > 0 {
			time = report.DayHours(l.Time)
		}
		t.Rows = append(t.Rows, []pageCell{words(report.DayLetter(k)), number(q.Loading(l.Value)), number(fmt.Sprint(l.Blend + 1)), words(of), number(q.Mass(l.Mass)), number(batches), number(time)})
	}
	return t.labeled()
}

package page

import (
	"bytes"
	"context"
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"

	"rxsplit/cmd/internal/report"
	"rxsplit/internal/oracle/browser"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/sheet"
)

const plantJob = `blend: [%s]
blender: {batch: 3 ton, batch-time: 9 min}
spreader: {swath: 70 ft, truck: 8 ton, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}}
`

// plantDay is a day of so many fields and of three blends, the last with a herbicide on it: runs of several
// cards, batches that fields share, a line that is to be flushed, names that are long.
func plantDay(t *testing.T, count int) report.Day {
	d := report.Day{Written: true, RateError: rx.Range[unit.Ratio]{Min: 0.05, Max: 0.05}, Opened: 6, Fewest: 6}
	var terms []rx.Terms
	for _, blend := range []string{
		"{name: urea, grade: 46-0-0, share: 100 %}",
		"{name: urea, grade: 46-0-0, share: 60 %}, {name: ammonium sulfate, grade: 21-0-0-24S, share: 40 %}",
		"{name: urea, share: 50 %}, {name: ammonium sulfate, share: 30 %}, {name: muriate of potash, share: 20 %}",
	} {
		job, err := equip.ParseJob("job.yaml", fmt.Appendf(nil, plantJob, blend))
		if err != nil {
			t.Fatal(err)
		}
		one := rxtest.Terms(rxtest.Profile(t, string(label.DemoYAML())))
		if one.Job = job; len(terms) == 2 {
			one.Further = rxtest.Further(40)
		}
		terms = append(terms, one)
		d.Blends = append(d.Blends, day.Blend{Materials: job.Blend, Stabilizer: one.Label})
	}
	for k := range 6 {
		d.Loadings = append(d.Loadings, report.DayLoading{Blend: k / 2, Value: unit.Loading(250 + 20*k)})
	}
	var works []day.Work
	for i := range count {
		blend, shared := i%3, i%3*2+i/3%2
		f := report.DayField{
			Path: fmt.Sprintf("field-%d-of-a-long-name.geojson", i+1), Folder: fmt.Sprintf("%02d-field", i+1), Area: 160 * unit.Acre, Blend: blend, Way: rx.OneLoad,
			Window: &day.Window{Min: unit.Loading(240 - i), Max: unit.Loading(360 + i)}, Shared: shared, Loadings: []unit.Loading{d.Loadings[shared].Value},
			DayDiffers: report.DayDiffers{Customer: fmt.Sprintf("Customer number %d (invented)", i/5+1), Priority: 2},
		}
		if i%7 == 6 { // by boom
			f.Window, f.Shared, f.Loadings, f.Way = nil, -1, nil, rx.WetBoom
			d.Hauls = append(d.Hauls, day.Untreated(terms[blend], i, "untreated dry", 20*unit.Ton))
		} else {
			l := &d.Loadings[shared]
			l.Fields = append(l.Fields, i)
			load := rx.Load{Loading: l.Value, Further: make([]unit.Loading, len(terms[blend].Further)), Materials: terms[blend].Job.Blend, Mass: unit.Mass(11.3+float64(i%5)) * unit.Ton}
			for k := range load.Further {
				load.Further[k] = 40
			}
			works = append(works, day.Work{Field: i, Blend: blend, Shared: shared, Customer: f.Customer, Terms: terms[blend], Load: load, Window: *f.Window})
		}
		d.Fields = append(d.Fields, f)
	}
	d.Runs, d.Asks = day.Runs(works, []day.Left{
		{Weighed: 2 * unit.Ton, Load: rx.Load{Loading: 380}, Taken: 0.02, Blend: 1, Customer: "Customer number 1 (invented)"},
		{Weighed: unit.Ton, Load: rx.Load{Loading: 300}, Taken: 0.02, Blend: 0, Customer: "Customer number 1 (invented)"},
	})
	for n, r := range d.Runs {
		for _, w := range works {
			if w.Shared == r.Shared {
				d.Hauls = append(d.Hauls, day.HaulOf(w, n, "treated dry"))
			}
		}
	}
	d.Orders = []report.DayOrder{{What: "urea", Amount: 100, Unit: "ton", Of: []float64{50, 30, 20}}, {What: "stabilizer", Amount: 200, Unit: "gal", Of: []float64{100, 60, 40}}}
	c := sheet.DayCards{Date: "2026-05-04", Runs: d.Runs, Hauls: d.Hauls, Served: report.DayServed(d), By: report.DayOrdersBy(d)}
	for _, f := range d.Fields {
		c.Fields = append(c.Fields, sheet.DayField{Name: f.Path, Customer: f.Customer, Place: "NE 1/4 of section 00 (invented)", Somewhere: "47.12345, -90.12345", Plan: f.Folder})
	}
	for _, o := range d.Orders {
		c.Orders = append(c.Orders, [2]string{o.What, report.DayOrderText(o)})
	}
	for _, b := range d.Blends {
		c.Blends = append(c.Blends, report.DayBlendText(b))
	}
	c.Left = []sheet.DayLeft{{Text: "L1: 4,000 lb at 380 fl oz/ton, of blend 2, made for Customer number 1 (invented). Used up first: all of it for field 2 in run 3.", Made: "2026-05-01", SpreadBy: "2026-05-07"}}
	d.Cards = c.List()
	return d
}

// printsADay prints a day of many fields: a card is a page, and nothing is small or cut.
func printsADay(t *testing.T, tab context.Context) {
	d := plantDay(t, 40)
	var page bytes.Buffer
	if err := Day(&page, d, "test", nil); err != nil {
		t.Fatal(err)
	}
	printsWhole(t, tab, "a day", page.Bytes(), "A day of a plant A day of 40 fields", d.Cards, 75)
}

// fitsAPhone: a day is read on a phone without going sideways, but for the logs, which are filled in on paper.
func fitsAPhone(t *testing.T, tab context.Context) {
	var page bytes.Buffer
	if err := Day(&page, plantDay(t, 8), "test", nil); err != nil {
		t.Fatal(err)
	}
	url := onDisk(t, page.Bytes())
	for _, width := range []int64{360, 390, 768} {
		browser.Do(t, tab, chromedp.EmulateViewport(width, 800, chromedp.EmulateMobile), chromedp.Navigate(url))
		if got := browser.TooWide(t, tab, width); len(got) > 0 {
			t.Errorf("%d px: too wide: %q", width, got)
		}
		if got := browser.Evaluate[[]string](t, tab, `[...document.querySelectorAll(".scroll")].filter(e => e.scrollWidth > e.clientWidth + 1 && !e.closest(".card")).map(e => e.ariaLabel)`); len(got) > 0 {
			t.Errorf("%d px: goes sideways: %q", width, got)
		}
	}
	if got := browser.Axe(t, tab); len(got) > 0 {
		t.Errorf("%q", got)
	}
}

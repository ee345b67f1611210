package text

import (
	"bytes"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/geo/invent"
	"rxsplit/rx"
	"rxsplit/rx/write"
)

// Every row of every table, worked out by hand. The zones have 40, 60, 45 and 15 ac at 100,
// 180, 250 and 300 lb/ac: 30,550 lb over 160 ac are 190.9 lb/ac, and 30 fl oz/ac on that are
// 314.2 fl oz/ton, 0.1571 fl oz a pound. Of the label's 20 to 40 fl oz/ac that is 127.4 to
// 254.6 lb/ac. The wet boom takes 160·30 = 4,800 fl oz. Two loads: 4,000 lb at 600 fl oz/ton
// and 26,550 lb at 266.6 take 1,200 + 3,539 fl oz. A refit to 125 to 250 lb/ac adds 40·25 lb
// and takes off 15·50 lb, 46 % of it N; 30,800 lb at 320 fl oz/ton take 4,928 fl oz, or 38.5
// gal. Costs: 37.5 gal at $40, 160 ac at $7.50 and at $4; 37.02 gal, 15.275 tons at $12 and
// 160 ac; 38.5 gal, 15.4 tons and 160 ac.
func TestTablesByHand(t *testing.T) {
	check := func(print func(*bytes.Buffer, report.Result) error) func(rx.WayName) (string, error) {
		return func(way rx.WayName) (string, error) {
			var out bytes.Buffer
			err := print(&out, reporttest.Plan(t, invent.FourZones(), way))
			return out.String(), err
		}
	}
	full := check(func(b *bytes.Buffer, r report.Result) error { return Check(b, r) })
	brief := check(func(b *bytes.Buffer, r report.Result) error { return Brief(b, r) })
	plan := check(func(b *bytes.Buffer, r report.Result) error {
		return Plan(b, r, "out", &write.Manifest{Files: make([]write.FileSum, 15)})
	})
	for _, c := range []struct {
		name  string
		print func(rx.WayName) (string, error)
		way   rx.WayName
		rows  []string // in this order, whatever stands between them
	}{
		{"full check", full, "", []string{
			"four.geojson: 4 zones, 160.00 ac", "DRY_LBAC (lb/ac of product)", "100 to 300 lb/ac where it is above 0, mean 190.9, 30,550 lb in all",
			"20 to 40 fl oz/ac", "314.2 fl oz/ton, which puts 30 fl oz/ac", "dry rates of 127.4 to 254.6 lb/ac",
			"verdict zones ac dry lb/ac stabilizer fl oz/ac below the label 1 40.00 100 15.7 within the label 2 105.00 180 to 250 28.3 to 39.3 above the label 1 15.00 300 47.1",
			"zone verdict ac dry stabilizer where (lat, lon) 1 below 40.00 100 15.7 47.35180, -90.39732 4 above 15.00 300 47.1 47.35084, -90.37959",
			"wet-boom ready 30 fl oz/ac everywhere, whatever the dry rate; 1 pass of dry and boom together; 4,800 fl oz (37.50 gal) of stabilizer;",
			// 4,000 lb at 600 take 1,200 fl oz; 26,550 lb at 266.6 are 5 batches of 707.8, which a meter reads as 708.
			"loads ready the dry rates cut at 180 lb/ac, loadings of 600 fl oz/ton, 266.6 fl oz/ton; 2 loads; 2 passes; 4,740 fl oz (37.03 gal) of stabilizer;",
			"base conditional only if", "base of 100 lb/ac at 600 fl oz/ton puts 30 fl oz/ac everywhere, untreated top-up to the prescribed rate; 1 load; 2 passes; 4,800 fl oz (37.50 gal)",
			"refit conditional only if", "rates brought into 125 to 250 lb/ac, then one loading of 320 fl oz/ton; 1 load; 1 pass; 4,929 fl oz (38.51 gal) of stabilizer; dry 1,000 lb added, 750 lb removed; N 460 lb added, 345 lb removed;",
			"one-load impossible", "error 1 zone (15.00 ac) would get 47.1 fl oz/ac", "warning 1 zone (40.00 ac) would get 15.7 fl oz/ac",
		}},
		{"one look", brief, "", []string{
			"314.2 fl oz/ton: 55.00 ac of 160.00 ac treated would be off label: 40.00 ac below, 15.00 ac above 20 to 40 fl oz/ac", "$3,340.00",
			"wet-boom ready 1 pass", "loads ready 2 loads", "base conditional 2 passes", "refit conditional 1 pass, 55.00 ac changed", "one-load impossible",
			"off label ac zones lb/ac where (lat, lon) below 40.00 1 100 47.35180, -90.39732 above 15.00 1 300 47.35084, -90.37959",
		}},
		{"wet boom", plan, rx.WetBoom, []string{
			"4,800 fl oz (37.50 gal)", "$3,340.00, $20.87/ac",
			"layer applies ac rate in all dry untreated dry 4 zones 160.00 100 to 300 30,550 lb liquid stabilizer in water 1 piece 160.00 30 37.50 gal", ": 16 files.",
		}},
		{"loads", plan, rx.Loads, []string{
			"24 to 40 fl oz/ac on 160.00 ac", "$2,864", "layer applies ac rate in all dry-1 treated dry 1 zone 40.00 100 4,000 lb dry-2 treated dry 3 zones 120.00 180 to 300 26,550 lb",
		}},
		{"refit", plan, rx.Refit, []string{
			"2 zones, 55.00 ac: 1,000 lb added, 750 lb removed", "$2,925", "layer applies ac rate in all dry treated dry 4 zones 160.00 125 to 250 30,800 lb",
		}},
		{"base", plan, rx.Base, []string{
			"layer applies ac rate in all", "treated dry 4 zones 160.00 100 16,000 lb", "untreated dry 3 zones 120.00 80 to 200 14,550 lb",
		}},
	} {
		text, err := c.print(c.way)
		if err != nil {
			t.Fatal(err)
		}
		rest := strings.Join(strings.Fields(text), " ")
		for _, row := range c.rows {
			_, after, ok := strings.Cut(rest, row)
			if !ok {
				t.Errorf("%s: no %q, or not in its place, in\n%s", c.name, row, text)
				break
			}
			rest = after
		}
	}
}

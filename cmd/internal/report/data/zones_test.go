package data

import (
	"bufio"
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// Products side by side: what the document says of a zone is about the product that is
// impregnated. By hand: 120 lb/ac of urea at 400 fl oz/ton get 24 fl oz/ac, whatever potash
// goes beside it.
func TestZonesSideBySide(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 170}, rxtest.Ground{Acres: 5, Rate: 60})
	p.Fields = []rx.RateField{{Name: "UREA", Symbol: "lb/ac", Carrier: true}, {Name: "POTASH", Symbol: "lb/ac"}}
	p.Rates = []unit.DryRate{120, 50, 0, 60}
	p.Zones[0].Carrier, p.Zones[1].Carrier = 120, 0
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 400
	var b strings.Builder
	w := bufio.NewWriter(&b)
	writeZones(w, report.Result{Prescription: p, Assessment: rxtest.Grade(t, p, terms)})
	w.Flush()
	for _, want := range []string{`"dry_rate":120,"stabilizer_rate":24,"verdict":"within"`, `"dry_rate":0,"stabilizer_rate":0,"verdict":"no-dry"`} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %s in %s", want, b.String())
		}
	}
}

// A liquid may be called anything: the heads that its name stands in are each one field of CSV, as
// RFC 4180 has it, for encoding/csv to read.
func TestHeadsOfAnyName(t *testing.T) {
	for _, name := range []string{"another", "boost, 2 parts", `the "blue" one`} {
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Further = rxtest.Further(64)
		terms.Further[0].Name = name
		p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 200})
		var b strings.Builder
		if err := ZonesCSV(&b, report.Result{Prescription: p, Assessment: rxtest.Grade(t, p, terms)}); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
		if err != nil || len(rows) != 2 || !slices.Contains(rows[0], "verdict of "+name) {
			t.Errorf("%v: %q", err, b.String())
		}
	}
}

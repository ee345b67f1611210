package page

import (
	"io"
	"testing"

	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// mostPage is what a mail attachment of a page may weigh.
const mostPage = 3_000_000

func TestPageOfManyCellsIsSmall(t *testing.T) {
	cells := 100_000
	if testing.Short() {
		cells = 20_000
	}
	r := reporttest.Plan(t, reporttest.Grid(t, cells, 12), "")
	check := func(what string) {
		page := pageOf(t, r)
		t.Logf("%s: %d bytes", what, len(page))
		if len(page) > mostPage {
			t.Errorf("%s: a page of %d bytes", what, len(page))
		}
	}
	check("smooth rates")
	scatter(r.Prescription)
	r.Assessment = rxtest.Grade(t, r.Prescription, r.Assessment.Terms)
	check("scattered rates")
}

// scatter gives neighbors rates that have nothing to do with each other, so that
// hardly any can be joined.
func scatter(p *rx.Prescription) {
	for i := range p.Zones {
		rate := unit.DryRate(90 + i*7919%211)
		p.Zones[i].Dry, p.Zones[i].Carrier = rate, rate
	}
}

func BenchmarkPage(b *testing.B) {
	r := reporttest.Plan(b, reporttest.Grid(b, 100_000, 12), rx.Loads)
	b.ResetTimer()
	for b.Loop() {
		if err := Write(io.Discard, r); err != nil {
			b.Fatal(err)
		}
	}
}

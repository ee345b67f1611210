package split_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// Of 20 ac, 5 are kept out: the boom is paid for 15, the spreader for 20, and what it
// comes to by the acre is of those 20, as it is for every way. By hand at the prices of
// the job: 30 fl oz/ac on 15 ac at 40 $/gal, 4 $/ac and 7.50 $/ac.
func TestCostWithKeepOuts(t *testing.T) {
	p := rxtest.Read(t, rxtest.Strip(pairs(10, 150, 10, 200)...))
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Job = job(t, priced)
	a := rxtest.Grade(t, p, terms)
	keepOut := rxtest.NorthHalf(p, 1)
	kept, err := geo.AreaOf(keepOut)
	if err != nil {
		t.Fatal(err)
	}
	got, err := split.For(p, a, keepOut).Plan(rx.WetBoom)
	if err != nil {
		t.Fatal(err)
	}
	dry := float64(p.Area())
	sprayed := dry - float64(kept)
	near(t, "kept out", float64(kept), 5, 1e-3)
	boom, _ := item(got.Way, "wet boom")
	near(t, "wet boom", boom.Amount, 4*sprayed, 1e-9)
	spread, _ := item(got.Way, "dry spreading")
	near(t, "dry spreading", spread.Amount, 7.5*dry, 1e-9)
	near(t, "total", got.Way.Cost.High, 30*sprayed/128*40+4*sprayed+7.5*dry, 1e-9)
	near(t, "by the acre", got.Way.Cost.PerAcre, got.Way.Cost.High/dry, 1e-9)
	near(t, "acres that it goes by", float64(got.Way.Cost.Area), dry, 1e-9)
}

// What is said of the liquid layer holds with keep-outs, and with a file of keep-outs
// that touches nothing.
func TestOutlineNoteWithKeepOuts(t *testing.T) {
	p := rxtest.Read(t, rxtest.Strip(pairs(10, 150, 10, 200)...))
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	far := orb.MultiPolygon{orb.Bound{Min: orb.Point{-80, 40}, Max: orb.Point{-79.99, 40.01}}.ToPolygon()}
	const same, less, why = "covers the same ground", ", less the ground in the keep-outs", "everywhere but in the keep-outs"
	for _, c := range []struct {
		name    string
		keepOut orb.MultiPolygon
		has     []string
		lacks   []string
	}{
		{"none", nil, []string{same}, []string{less, why}},
		{"half a zone", rxtest.NorthHalf(p, 1), []string{less, why}, []string{same}},
		{"another field's", far, []string{same}, []string{less, why}},
	} {
		got, err := split.For(p, a, c.keepOut).Plan(rx.WetBoom)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(got.Findings, func(f rx.Finding) bool { return f.Rule() == "outline" })
		text := got.Way.Why + "; " + said(got.Findings[i]).Text
		for _, words := range c.has {
			if !strings.Contains(text, words) {
				t.Errorf("%s: %q lacks %q", c.name, text, words)
			}
		}
		for _, words := range c.lacks {
			if strings.Contains(text, words) {
				t.Errorf("%s: %q has %q", c.name, text, words)
			}
		}
	}
}

// Keep-outs that cover all ground that gets dry leave the boom nothing: no way is left.
func TestKeepOutOfAll(t *testing.T) {
	p := rxtest.Read(t, rxtest.Strip(pairs(10, 150, 10, 200)...))
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	all := p.LonLat.Bound(0).Union(p.LonLat.Bound(1)).Pad(1e-3)
	_, err := split.For(p, a, orb.MultiPolygon{all.ToPolygon()}).Plan(rx.WetBoom)
	if err == nil || !strings.Contains(err.Error(), "nothing to spray") {
		t.Errorf("%v, want that there is nothing to spray", err)
	}
	for _, w := range split.For(p, a, orb.MultiPolygon{all.ToPolygon()}).Ways() {
		if w.Possible() {
			t.Errorf("%s is possible", w.Name)
		}
	}
}

// Two keep-outs whose common edge differs by the rounding of its coordinates leave no piece of
// liquid between them.
func TestKeepOutsThatTouchButForRounding(t *testing.T) {
	p := rxtest.Read(t, rxtest.Strip(pairs(10, 150, 10, 200)...))
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	zone := p.LonLat.Bound(0)
	middle := (zone.Min[0] + zone.Max[0]) / 2
	keepOut := orb.MultiPolygon{
		orb.Bound{Min: zone.Min, Max: orb.Point{middle, zone.Max[1]}}.ToPolygon(),
		orb.Bound{Min: orb.Point{middle + 1.5e-13, zone.Min[1]}, Max: zone.Max}.ToPolygon(),
	}
	got, err := split.For(p, a, keepOut).Plan(rx.WetBoom)
	if err != nil {
		t.Fatal(err)
	}
	liquid := got.Layers[len(got.Layers)-1]
	if len(liquid.PieceArea) != 1 {
		t.Errorf("got pieces of %v ac, want one", liquid.PieceArea)
	}
	near(t, "sprayed", float64(got.Way.Sprayed), float64(p.Zones[1].Area), 1e-6)
}

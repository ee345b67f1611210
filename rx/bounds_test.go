package rx_test

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// tightened are values, by type, that cut into what a label of 20 to 40 fl oz/ac leaves of
// dry rates from 130 to 180 lb/ac at 320 fl oz/ton: 307.7 to 444.4 fl oz/ton, and 125 to
// 250 lb/ac.
var tightened = map[reflect.Type]struct{ least, most float64 }{
	reflect.TypeFor[unit.DryRate](): {150, 160},
	reflect.TypeFor[unit.Loading](): {330, 310},
}

// ends calls try with each end of each field of [rx.Bounds], and what sets it.
func ends(t *testing.T, try func(t *testing.T, set func(*rx.Bounds))) {
	for i := range reflect.TypeFor[rx.Bounds]().NumField() {
		field := reflect.TypeFor[rx.Bounds]().Field(i)
		set := func(name string, kind reflect.Type, part func(reflect.Value) reflect.Value, least bool) {
			to, ok := tightened[kind]
			if !ok {
				t.Fatalf("%s: a value of %s that cuts is to stand in tightened", name, kind)
			}
			t.Run(name, func(t *testing.T) {
				try(t, func(b *rx.Bounds) {
					at := part(reflect.ValueOf(b).Elem().Field(i))
					if at.SetFloat(to.most); least {
						at.SetFloat(to.least)
					}
				})
			})
		}
		if field.Type.Kind() != reflect.Struct {
			set(field.Name, field.Type, func(v reflect.Value) reflect.Value { return v }, strings.HasPrefix(field.Name, "Least"))
			continue
		}
		for k := range field.Type.NumField() {
			end := field.Type.Field(k)
			set(field.Name+"."+end.Name, end.Type, func(v reflect.Value) reflect.Value { return v.Field(k) }, end.Name == "Min")
		}
	}
}

// Whatever a label bounds on how to impregnate, either end of it is obeyed by the loadings
// that dry rates allow, the dry rates that a loading allows, what is found of a blend as it
// is, and what a refit chooses.
func TestEveryBoundIsObeyed(t *testing.T) {
	const says = "what is tried here"
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 130}, rxtest.Ground{Acres: 10, Rate: 180})
	terms := rxtest.Terms(rxtest.Label(t, ""))
	fixed := terms
	fixed.Loading = 320
	dry := rx.Range[unit.DryRate]{Min: 130, Max: 180}
	free, _ := terms.WindowFor(dry, 0)
	freeDry, _ := terms.DryWindow(320)
	ends(t, func(t *testing.T, set func(*rx.Bounds)) {
		found := len(rxtest.Grade(t, p, fixed).Findings)
		t.Cleanup(rx.WithHowTo(says, set))
		if w, why := terms.WindowFor(dry, 0); w != nil && *w == *free || w == nil && why == "" {
			t.Errorf("Windows goes on: %v %s", w, why)
		}
		if w, why := terms.DryWindow(320); w == freeDry && why == "" {
			t.Errorf("DryWindow goes on: %v", w)
		}
		if now := rxtest.Grade(t, p, fixed).Findings; len(now) <= found {
			t.Errorf("nothing is found of it: %v", now)
		}
		b := rx.Unbounded()
		set(&b)
		plan, err := split.For(p, rxtest.Grade(t, p, terms), nil).Plan(rx.Refit)
		if err != nil {
			t.Fatal(err)
		}
		load := plan.Way.Loads[0]
		if !b.Dry.Contains(load.Rates.Min) || !b.Dry.Contains(load.Rates.Max) || !b.Loading.Contains(load.Loading) || load.Loading > b.MostLiquid*(1+1e-9) {
			t.Errorf("refit goes on: %v lb/ac at %v fl oz/ton", load.Rates, float64(load.Loading))
		}
		if w, why := terms.WindowFor(load.Rates, 0); w == nil {
			t.Errorf("refit's rates have no window: %s", why)
		}
	})
}

// Where no more than 100 lb/ac may be impregnated, the band of a label of 20 to 40 fl oz/ac
// that costs the least goes from 50 to 100: of 50 and 180 lb/ac the lower stays, by hand.
func TestRefitReachesDownFromAMost(t *testing.T) {
	t.Cleanup(rx.WithHowTo("the most", func(b *rx.Bounds) { b.Dry.Max = 100 }))
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 50}, rxtest.Ground{Acres: 10, Rate: 180})
	plan, err := split.For(p, rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, ""))), nil).Plan(rx.Refit)
	if err != nil {
		t.Fatal(err)
	}
	if w := plan.Way; w.DryAdded != 0 || math.Abs(float64(w.DryRemoved)-800) > 1e-6 {
		t.Errorf("got +%v −%v lb, want −800", float64(w.DryAdded), float64(w.DryRemoved))
	}
}

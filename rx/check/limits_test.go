package check_test

import (
	"math"
	"strings"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// spreader is 70 ft wide, drives at 15 mph and needs 4 s to change its rate: 88 ft.
func spreader() *equip.Spreader {
	return &equip.Spreader{
		Swath: 70, Speed: equip.Speeds{Low: 10, Usual: 15, High: 20}, Bins: 1,
		Rates:      label.Know(label.Range[unit.DryRate]{Min: 120, Max: 280}),
		RateChange: label.Know(4 * unit.Second),
	}
}

// with returns terms at 320 fl oz/ton, which has 125 to 250 lb/ac on label.
func with(t *testing.T, s *equip.Spreader) rx.Terms {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 320
	terms.Job = &equip.Job{Spreader: s}
	return terms
}

// grounds pairs acres and lb/ac.
func grounds(acresAndRates ...float64) []rxtest.Ground {
	var list []rxtest.Ground
	for i := 0; i < len(acresAndRates); i += 2 {
		list = append(list, rxtest.Ground{Acres: unit.Area(acresAndRates[i]), Rate: unit.DryRate(acresAndRates[i+1])})
	}
	return list
}

// ran tells why a rule did not look; it must be among those told.
func ran(t *testing.T, a *rx.Assessment, rule string) (why string) {
	t.Helper()
	for _, r := range a.Rules {
		if r.Rule == rule {
			return r.Why
		}
	}
	t.Fatalf("no word of rule %s", rule)
	return ""
}

func checkWords(t *testing.T, text string, words ...string) {
	t.Helper()
	for _, w := range words {
		if !strings.Contains(text, w) {
			t.Errorf("%q is not in: %s", w, text)
		}
	}
}

// Pounds and verdicts by hand, at 320 fl oz/ton and spreader limits of 120 to 280.
func TestSpreaderLimits(t *testing.T) {
	for _, c := range []struct {
		name    string
		rates   rx.Range[unit.DryRate]
		grounds []rxtest.Ground
		zones   []int
		acres   float64
		words   []string
	}{
		{"all inside", rx.Range[unit.DryRate]{Min: 120, Max: 280}, grounds(10, 121, 10, 279), nil, 0, nil},
		{"at the limits", rx.Range[unit.DryRate]{Min: 120, Max: 280}, grounds(10, 120, 10, 280), nil, 0, nil},
		{"nothing and no rate", rx.Range[unit.DryRate]{Min: 120, Max: 280}, grounds(10, 0, 10, math.NaN(), 1, 200), nil, 0, nil},
		{
			"below, and still below the label", rx.Range[unit.DryRate]{Min: 120, Max: 280},
			grounds(40, 100, 60, 180, 45, 250, 15, 260),
			[]int{1},
			40,
			[]string{"40.00 ac in zone 1 would get 100 lb/ac", "no less than 120 lb/ac at 15 mph", "800 lb too much", "no verdict changes"}, // 40·20
		},
		{
			"below and above, and both come on label", rx.Range[unit.DryRate]{Min: 130, Max: 240}, rxtest.FourGrounds(),
			[]int{1, 3, 4},
			100,
			// 40·30 = 1200; 45·10 + 15·60 = 1350
			[]string{"1,200 lb too much", "60.00 ac in zones 3 and 4 would get 250 to 300 lb/ac", "no more than 240 lb/ac", "1,350 lb too little", "40.00 ac from below to within", "15.00 ac from above to within"},
		},
		{
			"a high minimum puts it above the label", rx.Range[unit.DryRate]{Min: 260, Max: 500}, rxtest.FourGrounds(),
			[]int{1, 2, 3},
			145,
			[]string{"40.00 ac from below to above", "105.00 ac from within to above"},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := spreader()
			s.Rates = label.Know(label.Range[unit.DryRate](c.rates))
			a := rxtest.Grade(t, rxtest.Plain(c.grounds...), with(t, s))
			f, ok := found(a, "spreader-limits")
			if ok != (c.zones != nil) {
				t.Fatalf("found: %v %+v", ok, f)
			}
			if !ok {
				return
			}
			numbers(t, "zones", f.Zones, c.zones...)
			near(t, "acres", float64(f.Area), c.acres, 1e-9)
			checkWords(t, said(f).Text, c.words...)
			if f.Severity != rx.Warning || f.About() != rx.AboutEquipment {
				t.Errorf("got %v about %v", f.Severity, f.About())
			}
		})
	}
}

// Zones on both sides of the limits in any order: what is told of each side, and of
// both together, goes from the lowest rate to the highest.
func TestSpreaderLimitsInAnyOrder(t *testing.T) {
	for _, c := range []struct {
		name    string
		grounds []rxtest.Ground
		got     string
		words   []string
	}{
		{"both sides", grounds(10, 300, 10, 100, 10, 350, 10, 90), "90 to 350 lb/ac", []string{"would get 90 to 100 lb/ac", "500 lb too much", "would get 300 to 350 lb/ac", ": 900 lb too little"}}, // 10·(20+30); 10·(20+70)
		{"above alone", grounds(10, 350, 10, 300), "300 to 350 lb/ac", []string{": 900 lb too little"}},
		{"below alone", grounds(10, 90, 10, 100), "90 to 100 lb/ac", []string{"500 lb too much"}},
	} {
		f, ok := found(rxtest.Grade(t, rxtest.Plain(c.grounds...), with(t, spreader())), "spreader-limits")
		if !ok || said(f).Got != c.got {
			t.Errorf("%s: got %q, want %q", c.name, said(f).Got, c.got)
		}
		checkWords(t, said(f).Text, c.words...)
	}
}

// What a spreader meters per minute stays, so at 10 mph it spreads 15/10 of what it
// does at 15 mph, and at 20 mph 15/20.
func TestSpreaderLimitsGoWithTheSpeed(t *testing.T) {
	f, _ := found(rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), with(t, spreader())), "spreader-limits")
	checkWords(t, said(f).Hint, "180 to 420 lb/ac at 10 mph", "90 to 210 lb/ac at 20 mph")
	s := spreader()
	s.Speed = equip.Speeds{Low: 15, Usual: 15, High: 15}
	f, _ = found(rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), with(t, s)), "spreader-limits")
	checkWords(t, said(f).Hint, "slower driving allows higher rates")
}

// Products side by side: each has the limits, the verdict goes with the carrier.
func TestSpreaderLimitsOfProductsSideBySide(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 300}, rxtest.Ground{Acres: 20, Rate: 300}, rxtest.Ground{Acres: 5, Rate: 300})
	p.Fields = []rx.RateField{{Name: "A", Carrier: true}, {Name: "B"}}
	p.Rates = []unit.DryRate{200, 100, 150, 150, 120, 180} // A and B of each zone
	for i := range p.Zones {
		p.Zones[i].Carrier = p.Rates[2*i]
	}
	f, ok := found(rxtest.Grade(t, p, with(t, spreader())), "spreader-limits")
	if !ok {
		t.Fatal("100 lb/ac of B is below 120")
	}
	numbers(t, "zones", f.Zones, 1)
	checkWords(t, said(f).Text, "200 lb too much", "no verdict changes") // 10·20
}

func TestSpreaderLimitsInMetric(t *testing.T) {
	terms := with(t, spreader())
	terms.Units = unit.Metric
	f, _ := found(rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms), "spreader-limits")
	checkWords(t, inMetric(f).Text, "16.19 ha", "kg/ha", "24.14 km/h", "mL/t", "kg too much")
	checkWords(t, inMetric(f).Hint, "kg/ha at 16.09 km/h")
	checkNoUS(t, f)
}

func checkNoUS(t *testing.T, f rx.Finding) {
	t.Helper()
	for _, symbol := range []string{" lb", " ac", " ft", " mph", " oz", "gal"} {
		for _, text := range []string{inMetric(f).Text, inMetric(f).Hint, inMetric(f).Got, inMetric(f).Want} {
			if strings.Contains(text, symbol) {
				t.Errorf("%q in metric units: %s", symbol, text)
			}
		}
	}
}

// Without equipment the rules say so.
func TestMachineRulesSkip(t *testing.T) {
	bare := spreader()
	bare.Rates = label.Known[label.Range[unit.DryRate]]{}
	untreated := rxtest.Plain(rxtest.Ground{Acres: 1, Rate: 0})
	fallback := spreader()
	fallback.DefaultRate = label.Know(unit.DryRate(100))
	field := rxtest.Plain(rxtest.FourGrounds()...)
	noJob := rxtest.Terms(rxtest.Label(t, ""))
	unset := with(t, fallback)
	unset.Loading = 0
	for _, c := range []struct {
		rule  string
		p     *rx.Prescription
		terms rx.Terms
		why   string
	}{
		{"spreader-limits", field, noJob, "no spreader"},
		{"narrow-zone", field, noJob, "no spreader"},
		{"short-zone", field, noJob, "no spreader"},
		{"rate-steps", field, noJob, "no spreader"},
		{"controller-default", field, noJob, "no spreader"},
		{"spreader-limits", field, with(t, nil), "no spreader"},
		{"spreader-limits", field, with(t, bare), "rates"},
		{"narrow-zone", field, with(t, bare), "no polygons"},
		{"short-zone", field, with(t, bare), "no polygons"},
		{"rate-steps", field, with(t, bare), ""},
		{"controller-default", field, with(t, bare), "default-rate and lost-rate"},
		{"controller-default", untreated, unset, "no zone is treated"},
		{"controller-default", field, with(t, fallback), ""},
	} {
		why := ran(t, rxtest.Grade(t, c.p, c.terms), c.rule)
		if c.why == "" && why != "" || !strings.Contains(why, c.why) {
			t.Errorf("%s: skipped for %q, want %q", c.rule, why, c.why)
		}
	}
}

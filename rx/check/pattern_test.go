package check_test

import (
	"strings"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/tell"
)

// overlapped are the catches of a test whose coefficient of variation is that of the
// three pans: of 10−d, 10, 10+d it is 10·d %, s being d.
func overlapped(d equip.Catch) equip.PanTest {
	return equip.PanTest{Rate: label.Know(unit.DryRate(200)), Passes: equip.Overlapped, Spacing: 25, Caught: []equip.Catch{10 - d, 10, 10 + d}}
}

func TestPatternCV(t *testing.T) {
	// Triangles are flat at half their base, 40 ft here, and not at 70.
	triangle := equip.PanTest{Passes: equip.SinglePass, Spacing: 4}
	for i := range 21 {
		triangle.Caught = append(triangle.Caught, equip.Catch(10-max(i-10, 10-i)))
	}
	for _, c := range []struct {
		name  string
		tests []equip.PanTest
		units unit.System
		want  []string // nil: nothing is told
	}{
		{"satisfactory", []equip.PanTest{overlapped(1.99)}, unit.US, nil},
		{"not satisfactory", []equip.PanTest{overlapped(2.1)}, unit.US, []string{"pan test 1 (200 lb/ac) of the spreader: CV 21.0 % at the swath of 70 ft, not satisfactory.", "Over 20 % is not satisfactory, over 25 % poor (Fulton, Univ. Kentucky, on ASAE S341)"}},
		{"poor", []equip.PanTest{overlapped(1), overlapped(3)}, unit.US, []string{"pan test 2", "CV 30.0 % at the swath of 70 ft, poor."}},
		{"a swath that would do", []equip.PanTest{triangle}, unit.US, []string{"pan test 1 of the spreader", "poor; lowest 0.0 % at 40 ft; satisfactory, up to 20 %, as wide as "}},
		{"metric", []equip.PanTest{triangle}, unit.Metric, []string{"at the swath of 21.34 m", "at 12.19 m"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := spreader()
			s.PanTests = c.tests
			terms := with(t, s)
			terms.Units = c.units
			f, ok := found(rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms), "pattern-cv")
			if ok != (c.want != nil) {
				t.Fatalf("found: %v %+v", ok, f)
			}
			if ok && (f.Severity != rx.Warning || f.About() != rx.AboutEquipment) {
				t.Errorf("got %+v", f)
			}
			if ok {
				checkWords(t, tell.Text(f, c.units), c.want...)
			}
			if c.units == unit.Metric {
				checkNoUS(t, f)
			}
			if strings.HasPrefix(c.name, "a swath") {
				checkWords(t, said(f).Hint, "or drive a swath of ")
			}
		})
	}
}

// The grade that rates are read by is held against that of the blend.
func TestAnalysis(t *testing.T) {
	urea := equip.Material{Name: "urea", Grade: label.Know(equip.Grade{N: 0.46}), Share: 1}
	mixed := equip.Blend{urea, {Name: "potash", Grade: label.Know(equip.Grade{K2O: 0.6}), Share: 0.2}}
	mixed[0].Share = 0.8
	for _, c := range []struct {
		name     string
		blend    equip.Blend
		grades   []string
		nutrient bool
		want     string
	}{
		{"the same", equip.Blend{urea}, []string{"46-0-0"}, true, ""},
		{"rounded", equip.Blend{urea}, []string{"46.5-0-0"}, true, ""},
		{"another", equip.Blend{urea}, []string{"34-0-0"}, true, "the analysis of field RATE, 34-0-0 says 34 % N, the blend's materials make 46 %. Its rates of N became product by the analysis"},
		{"a blend", mixed, []string{"46-0-0"}, false, "46-0-0 says 46 % N, the blend's materials make 36.8 %."},
		{"of each material", mixed, []string{"46-0-0", "0-0-60"}, false, ""},
		{"the wrong way round", mixed, []string{"0-0-60", "46-0-0"}, false, "0-0-60 says 0 % N, urea, the material in its place, has 46 %"},
		{"not said", equip.Blend{urea}, []string{""}, false, ""},
		{"no grade", equip.Blend{{Name: "urea", Share: 1}}, []string{"34-0-0"}, false, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := rxtest.Plain(rxtest.FourGrounds()...)
			p.Fields = nil
			for _, g := range c.grades {
				p.Fields = append(p.Fields, rx.RateField{Name: "RATE", Unit: unit.PoundPerAcre, Symbol: "lb/ac", Share: unit.Ratio(1 / float64(len(c.grades))), Grade: g, Nutrient: c.nutrient})
			}
			for _, z := range p.Zones {
				for range c.grades {
					p.Rates = append(p.Rates, z.Dry/unit.DryRate(len(c.grades)))
				}
			}
			terms := with(t, nil)
			terms.Job.Blend = c.blend
			f, ok := found(rxtest.Grade(t, p, terms), "analysis")
			if ok != (c.want != "") || ok && f.Severity != rx.Warning {
				t.Fatalf("found: %v %+v", ok, f)
			}
			checkWords(t, said(f).Text, c.want)
		})
	}
}

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

// material is one of a blend.
func material(name string, share unit.Ratio, n unit.Ratio) equip.Material {
	return equip.Material{Name: name, Share: share, Grade: label.Know(equip.Grade{N: n})}
}

// The blend of the job is held against the columns of the file, by names where all tell.
func TestOtherBlend(t *testing.T) {
	columns := func(names ...string) *rx.Prescription {
		p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 200})
		p.Fields = nil
		for i, share := range []unit.Ratio{0.6, 0.25, 0.15}[:len(names)] {
			p.Fields = append(p.Fields, rx.RateField{Name: names[i], Unit: unit.PoundPerAcre, Symbol: "lb/ac", Share: share})
			p.Rates = append(p.Rates, 200*unit.DryRate(share))
		}
		return p
	}
	blend := func(shares ...unit.Ratio) (b equip.Blend) {
		for i, share := range shares {
			b = append(b, material([]string{"urea", "ammonium sulfate", "potash"}[i], share, 0))
		}
		return b
	}
	for _, c := range []struct {
		name  string
		p     *rx.Prescription
		blend equip.Blend
		says  string // empty where they are one
	}{
		{"another blend", columns("A", "B", "C"), blend(0.8, 0.05, 0.15), "A 60 %, B 25 %, C 15 %; the blend of the job is urea 80 %, ammonium sulfate 5 %, potash 15 %"},
		{"the same", columns("A", "B", "C"), blend(0.6, 0.25, 0.15), ""},
		{"in another order", columns("A", "B", "C"), blend(0.15, 0.6, 0.25), ""},
		{"in another order, by names", columns("UREA", "Ammonium sulfate", "Potash"), blend(0.15, 0.6, 0.25), "UREA 60 %"},
		{"rounded", columns("A", "B", "C"), blend(0.606, 0.246, 0.148), ""},
		{"fewer materials than columns", columns("A", "B", "C"), blend(0.6, 0.4), "urea 60 %, ammonium sulfate 40 %"},
		{"a column may be a blend", columns("A", "B"), blend(0.5, 0.25, 0.25), ""},
		{"one column", columns("A"), blend(0.6, 0.25, 0.15), ""},
	} {
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Job = &equip.Job{Blend: c.blend}
		f, some := found(rxtest.Grade(t, c.p, terms), "blend-differs")
		if some != (c.says != "") || some && (f.Severity != rx.Error || f.About() != rx.AboutFile || !strings.Contains(tell.Text(f, unit.US), c.says)) {
			t.Errorf("%s: found %v, %+v", c.name, some, f)
		}
	}
}

// A ceiling of 100 lb/ac of N is 217.4 lb/ac of urea: zones of 250 and 300 pass it.
func TestMostN(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Job = &equip.Job{Blend: equip.Blend{material("urea", 1, 0.46)}, MostN: label.Know(100 * unit.PoundPerAcre)}
	a := rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms)
	f, some := found(a, "most-n")
	if !some || !f.Doubt() {
		t.Fatalf("got %+v", a.Findings)
	}
	numbers(t, "zones", f.Zones, 3, 4)
	if said := tell.Text(f, unit.US); !strings.Contains(said, "115 to 138 lb/ac of N, more than the job's own ceiling, 100 lb/ac") {
		t.Errorf("got %s", said)
	}
	terms.Job.MostN = label.Know(138 * unit.PoundPerAcre)
	if _, some := found(rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms), "most-n"); some {
		t.Error("a rate on the ceiling is questioned")
	}
	terms.Job.Blend = nil // of what is spread nobody knows the N
	if why := ran(t, rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms), "most-n"); !strings.Contains(why, "the grade of the dry is not known") {
		t.Errorf("without a grade: %q", why)
	}
	terms.Job = &equip.Job{Blend: equip.Blend{material("urea", 1, 0.46)}}
	if why := ran(t, rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms), "most-n"); !strings.Contains(why, "names no ceiling for N") {
		t.Errorf("without a ceiling: %q", why)
	}
}

package rx

import (
	"fmt"
	"math"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Two liquids may go into one tank where both labels allow it: one that forbids it is named alone,
// else each that says nothing, and a liquid without a label says nothing.
func TestTankMix(t *testing.T) {
	profile := func(p label.Permission) *label.Profile { return &label.Profile{TankMix: p} }
	for _, c := range []struct {
		first label.Permission
		other *label.Profile
		may   label.Permission
		names string
	}{
		{label.Allowed, profile(label.Allowed), label.Allowed, "[]"}, {label.Allowed, profile(label.Unsaid), label.Unsaid, "[h]"}, {label.Allowed, profile(label.Forbidden), label.Forbidden, "[h]"}, {label.Allowed, nil, label.Unsaid, "[h]"},
		{label.Unsaid, profile(label.Allowed), label.Unsaid, "[stabilizer]"}, {label.Unsaid, profile(label.Unsaid), label.Unsaid, "[stabilizer h]"}, {label.Unsaid, profile(label.Forbidden), label.Forbidden, "[h]"}, {label.Unsaid, nil, label.Unsaid, "[stabilizer h]"},
		{label.Forbidden, profile(label.Allowed), label.Forbidden, "[stabilizer]"}, {label.Forbidden, profile(label.Unsaid), label.Forbidden, "[stabilizer]"}, {label.Forbidden, profile(label.Forbidden), label.Forbidden, "[stabilizer h]"}, {label.Forbidden, nil, label.Forbidden, "[stabilizer]"},
	} {
		may, names := (Terms{Label: profile(c.first)}).TankMix(JobLiquid{Name: "h", Label: c.other})
		if may != c.may || fmt.Sprint(names) != c.names {
			t.Errorf("%v with %+v: %v by %v, want %v by %s", c.first, c.other, may, names, c.may, c.names)
		}
	}
}

// One solvent makes a solvent of all; it is water only where each is said to be, in any order.
func TestBaseOfLiquids(t *testing.T) {
	of := func(list ...label.Base) (liquids []JobLiquid) {
		for _, b := range list {
			liquids = append(liquids, JobLiquid{Label: &label.Profile{Base: b}})
		}
		return liquids
	}
	bare := JobLiquid{}
	const unknown = label.Base(0)
	for i, c := range []struct {
		liquids []JobLiquid
		want    label.Base
	}{
		{nil, label.Water}, {of(label.Water, label.Water), label.Water}, {of(label.Water, label.Solvent), label.Solvent}, {of(label.Solvent, label.Water), label.Solvent},
		{of(label.Water, unknown), unknown}, {of(unknown, label.Water), unknown}, {append(of(label.Water), bare), unknown}, {append([]JobLiquid{bare}, of(label.Water)...), unknown},
		{append([]JobLiquid{bare}, of(label.Solvent)...), label.Solvent}, {of(unknown, label.Solvent), label.Solvent},
	} {
		if got := BaseOf(c.liquids); got != c.want {
			t.Errorf("case %d: %v, want %v", i, got, c.want)
		}
	}
}

// The field of a liquid's rate: letters and digits of its name, capital, what stands between them
// as one line, ten at most, none at the ends.
func TestFieldOfALiquid(t *testing.T) {
	for name, want := range map[string]string{
		"herbicide": "HERBICIDE", "Micro mix 2": "MICRO_MIX", "a--b": "A_B", " x ": "X", "Zn/Mn 0.5%": "ZN_MN_0_5", "ÜBER": "BER", "0123456789a": "0123456789", "123456789 0": "123456789", "!!": "",
	} {
		if got := (JobLiquid{Name: name}).Field(); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}

// A season has room for a pass where what is left of its maximum is the label's least at least.
func TestHasRoom(t *testing.T) {
	limited := &label.Profile{Rate: label.Range[unit.LiquidRate]{Min: 20, Max: 40}, SeasonMax: label.Know(unit.LiquidRate(60))}
	for _, c := range []struct {
		label   *label.Profile
		already unit.LiquidRate
		want    bool
	}{{limited, 0, true}, {limited, 40, true}, {limited, 40.0001, false}, {limited, 60, false}, {limited, 90, false}, {nil, 90, true}, {&label.Profile{Rate: limited.Rate}, 90, true}, {&label.Profile{Rate: limited.Rate, SeasonMax: label.Know(unit.LiquidRate(10))}, 0, true}} {
		if got := (JobLiquid{Label: c.label}).HasRoom(c.already); got != c.want {
			t.Errorf("%v applied: %v", c.already, got)
		}
	}
	l := JobLiquid{AlreadyApplied: 5}
	if l.AlreadyOn(1) != 5 {
		t.Error(l.AlreadyOn(1))
	}
	if l.Already = []unit.LiquidRate{7, 8}; l.AlreadyOn(1) != 8 || l.AlreadyOn(0) != 7 {
		t.Error(l.AlreadyOn(1))
	}
}

// A liquid of a job goes on the blend where nothing else is said, with the density of its label
// where it has none of its own.
func TestLiquidsOfAJob(t *testing.T) {
	p := &label.Profile{Density: label.Know(unit.Density(9))}
	l := NewLiquid(equip.Liquid{Name: "h", Rate: label.Know(unit.LiquidRate(4)), Loading: label.Know(unit.Loading(64)), AlreadyApplied: label.Know(unit.LiquidRate(2)), Price: label.Know(3 * unit.DollarPerGallon)}, p)
	if l.Name != "h" || l.On != equip.OnBlend || l.Density.Or(0) != 9 || l.Intended != 4 || l.Loading != 64 || l.AlreadyApplied != 2 || l.Price.Or(0) != 3*unit.DollarPerGallon || l.Label != p || l.Further() != "h" || l.named("why") != "h: why" || l.named("") != "" {
		t.Errorf("%+v", l)
	}
	boom := NewLiquid(equip.Liquid{Name: "m", On: equip.OnBoom, Density: label.Know(unit.Density(8))}, p)
	bare := NewLiquid(equip.Liquid{Name: "b"}, nil)
	if _, known := bare.Density.Get(); boom.On != equip.OnBoom || boom.Density.Or(0) != 8 || known || bare.Label != nil {
		t.Errorf("%+v %+v", boom, bare)
	}
	if _, graded := bare.Range(); graded {
		t.Error("a liquid without a label is graded")
	}
	terms := Terms{Label: &label.Profile{}, Intended: 30, Loading: 320, AlreadyApplied: 1, Further: []JobLiquid{l, boom, bare}}
	names := ""
	for _, list := range [][]JobLiquid{terms.FurtherOn(equip.OnBlend), terms.FurtherOn(equip.OnBoom), terms.onBlend(), terms.anyLoading().Further} {
		for _, one := range list {
			names += fmt.Sprintf("%s %v %v, ", one.Name, one.Intended, float64(one.Loading))
		}
		names += "; "
	}
	if want := "h 4 fl oz/ac 64, b 0 fl oz/ac 0, ; m 0 fl oz/ac 0, ; stabilizer 30 fl oz/ac 0, h 4 fl oz/ac 64, b 0 fl oz/ac 0, ; h 4 fl oz/ac 0, m 0 fl oz/ac 0, b 0 fl oz/ac 0, ; "; names != want || terms.Further[0].Loading != 64 {
		t.Errorf("%s\nwant %s", names, want)
	}
	if s := terms.Stabilizer(); s.Further() != "" || s.named("why") != "why" || s.Loading != 320 || s.AlreadyApplied != 1 || s.On != equip.OnBlend {
		t.Errorf("%+v", s)
	}
}

// A zone is tight where a liquid of the blend is on label there, but not with the rate error, and
// none of the blend is off: what goes on by the boom does not count.
func TestTightOnBlend(t *testing.T) {
	graded := func(on equip.Carriage, v Verdict, tight, over bool) Graded {
		return Graded{Liquid: JobLiquid{On: on, Label: &label.Profile{}}, Verdicts: []Verdict{v}, Tight: []bool{tight}, Season: []bool{over}}
	}
	const blend, boom = equip.OnBlend, equip.OnBoom
	for i, c := range []struct {
		first Graded
		more  []Graded
		want  bool
	}{
		{graded(blend, Within, true, false), nil, true}, {graded(blend, Within, false, false), nil, false}, {graded(blend, Above, false, false), nil, false}, {graded(blend, Within, true, true), nil, false},
		{graded(blend, Within, false, false), []Graded{graded(blend, Within, true, false)}, true}, {graded(blend, Within, true, false), []Graded{graded(blend, Below, false, false)}, false},
		{graded(blend, Within, true, false), []Graded{graded(boom, Above, false, false)}, true}, {graded(blend, Within, false, false), []Graded{graded(boom, Within, true, false)}, false},
	} {
		a := &Assessment{Graded: c.first, Further: c.more}
		if got := tightOnBlend(a.Liquids(), 0); got != c.want {
			t.Errorf("case %d: %v", i, got)
		}
	}
}

// What a boom's tank weighs counts what is known of all that is in it: 6 of 640 parts at 11 lb/gal take the
// place of water, 30 at 9 lb/gal too.
func TestMixDensityOfAllLiquids(t *testing.T) {
	const water = float64(equip.WaterDensity)
	aid := JobLiquid{Name: "aid", On: equip.OnBoom, Intended: 6, Density: label.Know(unit.Density(11))}
	unknown, blended := aid, aid
	unknown.Density, blended.On = label.Known[unit.Density]{}, equip.OnBlend
	for _, c := range []struct {
		what    string
		label   label.Known[unit.Density]
		further []JobLiquid
		want    float64
	}{
		{"the stabilizer alone", label.Know(unit.Density(9)), nil, water + 30.0/640*(9-water)},
		{"and a further liquid", label.Know(unit.Density(9)), []JobLiquid{aid}, water + 30.0/640*(9-water) + 6.0/640*(11-water)},
		{"and two", label.Know(unit.Density(9)), []JobLiquid{aid, aid}, water + 30.0/640*(9-water) + 12.0/640*(11-water)},
		{"one that nobody weighed", label.Know(unit.Density(9)), []JobLiquid{unknown}, water + 30.0/640*(9-water)},
		{"one on the blend", label.Know(unit.Density(9)), []JobLiquid{blended}, water + 30.0/640*(9-water)},
		{"a stabilizer that nobody weighed", label.Known[unit.Density]{}, []JobLiquid{aid}, water},
	} {
		terms := Terms{Label: &label.Profile{Density: c.label}, Further: c.further}
		if got := float64(terms.MixDensity(640, 30)); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %v, want %v", c.what, got, c.want)
		}
	}
	if got := (Terms{Label: &label.Profile{Density: label.Know(unit.Density(9))}}).MixDensity(30, 30); math.Abs(float64(got)-9) > 1e-12 {
		t.Errorf("of the stabilizer alone: %v", got)
	}
}

// Dry rates are taken into what labels say of impregnated dry, or it is said why none is left; both ends belong to it.
func TestInsideDry(t *testing.T) {
	for _, c := range []struct {
		low, high, least, most, min, max unit.DryRate
		why                              string
	}{
		{100, 300, 150, 250, 150, 250, ""}, {100, 300, 50, 400, 100, 300, ""}, {100, 300, 300, 400, 300, 300, ""}, {100, 300, 50, 100, 100, 100, ""},
		{100, 300, 300.1, 400, 0, 0, "no more than 300 lb/ac may be spread, and x is 300.1 lb/ac"},
		{100, 300, 50, 99.9, 0, 0, "no less than 100 lb/ac may be spread, and x is 99.9 lb/ac"},
	} {
		dry := Range[unit.DryRate]{Min: c.low, Max: c.high}
		undo := WithHowTo("x", func(b *Bounds) { b.Dry = Range[unit.DryRate]{Min: c.least, Max: c.most} })
		why := JobLiquid{Label: &label.Profile{}}.insideDry(&dry, unit.US)
		undo()
		if why != c.why || why == "" && (dry.Min != c.min || dry.Max != c.max) {
			t.Errorf("%v to %v in %v to %v: %v to %v, %q", c.low, c.high, c.least, c.most, dry.Min, dry.Max, why)
		}
	}
}

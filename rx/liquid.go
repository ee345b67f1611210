package rx

import (
	"slices"
	"strings"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// JobLiquid is a liquid of a job: the stabilizer, or a further one with a label of its own.
type JobLiquid struct {
	Name           string
	Label          *label.Profile    // nil if none is given: what lands is told, and not graded
	Intended       unit.LiquidRate   // that is wanted on the ground; 0 if a loading alone is given
	Loading        unit.Loading      // fixed by the plant; 0 if it is not
	AlreadyApplied unit.LiquidRate   // this season, before this pass
	Already        []unit.LiquidRate // of each zone, where a layer says it; else nil
	On             equip.Carriage
	Density        label.Known[unit.Density]
	Price          label.Known[unit.VolumePrice]

	stabilizer bool
}

// NewLiquid returns a further liquid of a job with its label profile; nil for none.
func NewLiquid(l equip.Liquid, p *label.Profile) JobLiquid {
	out := JobLiquid{
		Name: l.Name, Label: p, Intended: l.Rate.Or(0), Loading: l.Loading.Or(0), AlreadyApplied: l.AlreadyApplied.Or(0),
		On: l.On, Density: l.Density, Price: l.Price,
	}
	if out.On == "" {
		out.On = equip.OnBlend
	}
	if _, said := out.Density.Get(); !said && p != nil {
		out.Density = p.Density
	}
	return out
}

// HasRoom reports whether the season leaves room for one pass, beside a rate that is applied already.
func (l JobLiquid) HasRoom(already unit.LiquidRate) bool {
	r, graded := l.Range()
	most, limited := unit.LiquidRate(0), false
	if graded {
		most, limited = l.Label.SeasonMax.Get()
	}
	return !limited || already == 0 || most-already >= r.Min*(1-leeway)
}

// AlreadyOn returns what a zone, by index, has had of the liquid this season.
func (l JobLiquid) AlreadyOn(zone int) unit.LiquidRate {
	if l.Already != nil {
		return l.Already[zone]
	}
	return l.AlreadyApplied
}

// Field returns the name of the field that holds a further liquid's rate in a layer of what
// was applied: the letters and digits of its name, capital, ten at most.
func (l JobLiquid) Field() string {
	var b []rune
	for _, r := range strings.ToUpper(l.Name) {
		if r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			b = append(b, r)
		} else if len(b) > 0 && b[len(b)-1] != '_' {
			b = append(b, '_')
		}
	}
	return strings.Trim(string(b[:min(len(b), 10)]), "_")
}

// Range returns the label's range of rates; graded is false without a label.
func (l JobLiquid) Range() (r Range[unit.LiquidRate], graded bool) {
	if l.Label == nil {
		return r, false
	}
	return Range[unit.LiquidRate](l.Label.Rate), true
}

// Further returns the name of a further liquid for findings, in which the stabilizer's goes
// without saying; empty for that.
func (l JobLiquid) Further() string {
	if l.stabilizer {
		return ""
	}
	return l.Name
}

// Stabilizer returns the stabilizer as one of the liquids.
func (t Terms) Stabilizer() JobLiquid {
	return JobLiquid{
		Name: "stabilizer", Label: t.Label, Intended: t.Intended, Loading: t.Loading, AlreadyApplied: t.AlreadyApplied, Already: t.Already,
		On: equip.OnBlend, Density: t.Label.Density, stabilizer: true,
	}
}

// FurtherOn lists the further liquids that go on with one thing.
func (t Terms) FurtherOn(c equip.Carriage) (list []JobLiquid) {
	for _, l := range t.Further {
		if l.On == c {
			list = append(list, l)
		}
	}
	return list
}

// RidesOnDry reports whether a liquid, 0 for the stabilizer, then the further ones, goes where the
// dry goes whatever the way: a further one on the blend, which a boom's layer can't leave out.
func (t Terms) RidesOnDry(k int) bool { return k > 0 && t.Further[k-1].On == equip.OnBlend }

// onBlend lists the liquids that a load may have, in the order of their loadings: the
// stabilizer, whose loading the plant may have fixed for one load and not for others, then
// the further ones.
func (t Terms) onBlend() []JobLiquid {
	list := make([]JobLiquid, 1, 1+len(t.Further))
	list[0] = t.Stabilizer()
	list[0].Loading = 0
	return append(list, t.FurtherOn(equip.OnBlend)...)
}

// anyLoading returns the terms as the labels alone set them: the plant has fixed nothing.
func (t Terms) anyLoading() Terms {
	t.Further = slices.Clone(t.Further)
	for i := range t.Further {
		t.Further[i].Loading = 0
	}
	return t
}

// named puts the name of a further liquid before a reason.
func (l JobLiquid) named(why string) string {
	if l.stabilizer || why == "" {
		return why
	}
	return l.Name + ": " + why
}

// BaseOf returns what liquids are made with: a solvent where one of them is; water only
// where all are said to be.
func BaseOf(liquids []JobLiquid) label.Base {
	base := label.Water
	for _, l := range liquids {
		switch {
		case l.Label == nil:
			base = label.Base(0) // unknown
		case l.Label.Base == label.Solvent:
			return label.Solvent
		case l.Label.Base != label.Water:
			base = l.Label.Base
		}
	}
	return base
}

// TankMix says whether a further liquid may go into the tank with the stabilizer, which
// both labels must allow, and which of them forbid it or, if none does, say nothing.
func (t Terms) TankMix(l JobLiquid) (may label.Permission, names []string) {
	for _, want := range []label.Permission{label.Forbidden, label.Unsaid} {
		for _, one := range []JobLiquid{t.Stabilizer(), l} {
			if one.Label == nil && want == label.Unsaid || one.Label != nil && one.Label.TankMix == want {
				names = append(names, one.Name)
			}
		}
		if len(names) > 0 {
			return want, names
		}
	}
	return label.Allowed, nil
}

package app

import (
	"fmt"
	"math"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
	"rxsplit/rx/equip"
)

// leftOver is treated blend that is left over, as it was said.
type leftOver struct {
	data.DayLeftOver
	file string // of the job that it was blended by; empty for the day's
}

// cutLeft takes apart what a flag says.
func cutLeft(text string) (l leftOver, err error) {
	mass, loading, ok := strings.Cut(text, " at ")
	if !ok {
		err = fmt.Errorf("%q does not say how much there is, and at which loading", text)
	}
	l.Weighed, l.Loading = mass, loading
	if err == nil {
		_, err = l.weight()
	}
	if err == nil {
		_, err = parseLoading(loading)
	}
	if err != nil {
		err = &Error{What: "--left: " + err.Error(), Hint: `give what was weighed and its loading, such as --left "1.2 ton at 300 fl oz/ton"`}
	}
	return l, err
}

func (l leftOver) weight() (unit.Mass, error) {
	mass, err := unit.Parse[unit.Mass](l.Weighed)
	if err == nil && !(mass > 0) {
		err = fmt.Errorf("%q is no weight of blend", l.Weighed)
	}
	return mass, err
}

// read works out what it holds.
func (l leftOver) read(t rx.Terms) (out report.DayLeft, err error) {
	if out.Weighed, err = l.weight(); err != nil {
		return out, err
	}
	if out.Loading, err = parseLoading(l.Loading); err != nil {
		return out, err
	}
	out.Customer, out.Made, out.Job = l.Customer, l.Made, l.Job
	liquid := t.Stabilizer()
	per, _ := liquid.AgentPerLiquid()
	out.Taken = equip.AgentShare(out.Loading, per)
	density, ok := liquid.Density.Get()
	if out.Rough = !ok; ok {
		out.Taken += equip.LiquidShare(out.Loading, density)
	}
	return out, nil
}

// useLeft finds what of the day can be made of what is left over.
func useLeft(l report.DayLeft, d report.Day) report.DayLeft {
	l.Blend = blendBy(d, l.Job)
	for i, f := range d.Fields {
		if f.Blend >= 0 && f.Blend == l.Blend && f.Window != nil && day.Holds(*f.Window, l.Loading) {
			l.AsIs = append(l.AsIs, i)
		}
	}
	for k, shared := range d.Loadings {
		if shared.Blend != l.Blend {
			continue
		}
		common := day.Window{Max: unit.Loading(math.Inf(1))}
		for _, i := range shared.Fields {
			common = day.Common(common, *d.Fields[i].Window)
		}
		untreated, volume, err := l.To(shared.Value, common)
		if err == nil && shared.Value != l.Loading {
			l.Becomes = append(l.Becomes, report.DayBecomes{Shared: k, Untreated: untreated, Liquid: volume})
		}
	}
	return l
}

// blendBy returns the one blend of the fields that go by a job; -1 where they have none, or several.
func blendBy(d report.Day, job int) int {
	blend := -1
	for _, f := range d.Fields {
		switch {
		case f.Job != job || f.Blend < 0 || f.Blend == blend:
		case blend >= 0:
			return -1
		default:
			blend = f.Blend
		}
	}
	return blend
}

package app

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
	"rxsplit/rx/equip"
)

// leftOver reads what is left over of treated blend.
func leftOver(t rx.Terms, list []string) (out []report.DayLeft, err error) {
	for _, text := range list {
		one, err := leftOf(t, text)
		if err != nil {
			return nil, &Error{What: "--left: " + err.Error(), Hint: `give what was weighed and its loading, such as --left "1.2 ton at 300 fl oz/ton"`}
		}
		out = append(out, one)
	}
	return out, nil
}

func leftOf(t rx.Terms, text string) (l report.DayLeft, err error) {
	mass, loading, ok := strings.Cut(text, " at ")
	if !ok {
		return l, fmt.Errorf("%q does not say how much there is, and at which loading", text)
	}
	if l.Weighed, err = unit.Parse[unit.Mass](mass); err != nil {
		return l, err
	}
	if l.Loading, err = parseLoading(loading); err != nil {
		return l, err
	}
	if !(l.Weighed > 0) {
		return l, fmt.Errorf("%q is no weight of blend", mass)
	}
	liquid := t.Stabilizer()
	per, _ := liquid.AgentPerLiquid()
	l.Taken = equip.AgentShare(l.Loading, per)
	density, ok := liquid.Density.Get()
	if l.Rough = !ok; ok {
		l.Taken += equip.LiquidShare(l.Loading, density)
	}
	return l, nil
}

// useLeft finds what of the day can be made of what is left over.
func useLeft(l report.DayLeft, d report.Day) report.DayLeft {
	if l.Blend = -1; len(d.Blends) == 1 {
		l.Blend = 0
	}
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

// withLeft tells of the left-over blend beside a day.
func withLeft(d report.Day, left []report.DayLeft) report.Day {
	d.Left = slices.Clone(left)
	for i := range d.Left {
		d.Left[i] = useLeft(d.Left[i], d)
	}
	return d
}

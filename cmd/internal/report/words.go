package report

import (
	"fmt"
	"strings"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// VerdictText puts a verdict into words.
func VerdictText(v rx.Verdict) string {
	switch v {
	case rx.Below:
		return "below the label"
	case rx.Within:
		return "within the label"
	case rx.Above:
		return "above the label"
	case rx.NoDry:
		return "no dry (rate 0)"
	}
	return "no rate given"
}

// Impregnated names what check holds against the label.
func Impregnated(p *rx.Prescription) string {
	if i := p.CarrierField(); i >= 0 {
		return p.Fields[i].Name + " alone"
	}
	return "the whole blend"
}

// RateHead says which fields the rates are from, and what each counts.
func RateHead(p *rx.Prescription) string {
	names := make([]string, len(p.Fields))
	for i, f := range p.Fields {
		counts := f.Counts()
		if f.Nutrient {
			counts += ", as " + f.Grade
		}
		names[i] = fmt.Sprintf("%s (%s)", f.Name, counts)
		if f.Carrier {
			names[i] += ", which is impregnated"
		}
	}
	text := "from field " + strings.Join(names, ", ")
	if len(names) > 1 && p.Blend() {
		text += ", spread as one blend"
	}
	return text
}

// OnLabelText names the dry rates that stay on label at the loading of the check.
func OnLabelText(a *rx.Assessment, q figures.Quantities) string {
	if a.WhyNoRate != "" {
		return "no dry rate, since " + a.WhyNoRate
	}
	rates := q.DryRange(a.OnLabel.Min, a.OnLabel.Max)
	if low := q.Dry(a.OnLabel.Min); rates == low {
		return "a dry rate of " + low + " " + unit.Symbol[unit.DryRate](q.System)
	}
	return "dry rates of " + rates + " " + unit.Symbol[unit.DryRate](q.System)
}

// CostText prints a cost in all and by area of the ground that dry is spread on, and
// what nobody priced.
func CostText(c *rx.Cost, q figures.Quantities) string {
	text := fmt.Sprintf("%s, %s/%s spread", unit.Cents(unit.Money(c.Total)), unit.Cents(unit.Money(c.PerAcre/unit.Acre.In(q.System))), unit.Symbol[unit.Area](q.System))
	if len(c.Missing) > 0 {
		text += " without " + strings.Join(c.Missing, ", ")
	}
	if len(c.NotCounted) > 0 {
		text += ", not counted: " + strings.Join(c.NotCounted, "; ")
	}
	return text
}

// FileErrors counts the errors about the file, which stop a split.
func FileErrors(findings []rx.Finding) int {
	n := 0
	for _, f := range findings {
		if f.About() == rx.AboutFile && f.Severity == rx.Error {
			n++
		}
	}
	return n
}

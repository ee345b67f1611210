package report

import (
	"cmp"
	"fmt"
	"math"

	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// chart is a drawing with what a screen reader is told of it.
type chart struct {
	svg.Drawing
	ID, Title, Desc string
	Note            string
}

// stabilizerChart draws acres over the stabilizer rate that they would get from
// one impregnated blend, with the label range.
func stabilizerChart(r Result, q quantities) chart {
	a, symbol := r.Assessment, unit.Symbol[unit.LiquidRate](q.s)
	label := rx.Range[float64]{Min: a.Range.Min.In(q.s), Max: a.Range.Max.In(q.s)}
	b := newBars(a.Stabilizer.Min.In(q.s), a.Stabilizer.Max.In(q.s), label.Min, cmp.Or(label.Max-label.Min, label.Max)/20)
	for i, z := range r.Prescription.Zones {
		if z.Treated() {
			count(b, unit.StabilizerRate(a.Loading, z.Carrier).In(q.s), a.Verdicts[i], z.Area, label)
		}
	}
	name := fmt.Sprintf("label range %s %s", q.rateRange(a.Range.Min, a.Range.Max), symbol)
	c := chart{
		ID: "chart-stabilizer", Title: "Ground over stabilizer rate, if impregnated",
		Desc: fmt.Sprintf("Bars of %s over %s. %s; %s %s below it, %s within, %s above.", unit.Symbol[unit.Area](q.s), symbol, name,
			q.ground(a.Shares[rx.Below].Area), unit.Symbol[unit.Area](q.s), q.ground(a.Shares[rx.Within].Area), q.ground(a.Shares[rx.Above].Area)),
	}
	b.Units, b.Rate, b.Bands = q.s, symbol+" of stabilizer", []svg.Band{{Low: label.Min, High: label.Max, Text: name}}
	c.Drawing = b.Draw()
	return c
}

// dryChart draws acres over the dry rate, with the dry rates that stay on label at
// the loading of the check and, where the plan has others, at those.
func dryChart(r Result, q quantities) chart {
	a, symbol := r.Assessment, unit.Symbol[unit.DryRate](q.s)
	low, high, _ := r.Prescription.CarrierRange()
	window := rx.Range[float64]{Min: a.OnLabel.Min.In(q.s), Max: a.OnLabel.Max.In(q.s)}
	b := newBars(low.In(q.s), high.In(q.s), window.Min, dryBin(r.Prescription, high.In(q.s)-low.In(q.s), q.s))
	for i, z := range r.Prescription.Zones {
		if z.Treated() {
			count(b, z.Carrier.In(q.s), a.Verdicts[i], z.Area, window)
		}
	}
	name := fmt.Sprintf("on label at %s: %s", q.loading(a.Loading), q.dryRange(a.OnLabel.Min, a.OnLabel.Max))
	desc := name + " " + symbol
	if a.WhyNoRate != "" {
		name = fmt.Sprintf("on label at %s: none", q.loading(a.Loading))
		desc, window = name, rx.Range[float64]{Min: b.Low, Max: b.Low}
	}
	c := chart{
		ID: "chart-dry", Title: "Ground over dry rate, with what stays on label",
		Desc: fmt.Sprintf("Bars of %s over %s of dry product. %s.", unit.Symbol[unit.Area](q.s), symbol, desc),
	}
	b.Units, b.Rate, b.Bands = q.s, symbol+" of dry product", append([]svg.Band{{Low: window.Min, High: window.Max, Text: name}}, planBands(r, q)...)
	c.Drawing = b.Draw()
	return c
}

// dryBin returns the width of bars over dry rates: the spacing of the rates where
// they are few, else a 40th of their range, rounded.
func dryBin(p *rx.Prescription, span float64, s unit.System) float64 {
	if !(span > 0) {
		return 1
	}
	return svg.NiceStep(span / 40)
}

// planBands lists the dry rates that the treated layers of the plan serve.
func planBands(r Result, q quantities) []svg.Band {
	if r.Plan == nil {
		return nil
	}
	var list []svg.Band
	for _, l := range r.Plan.Layers {
		if !l.Treated || math.Abs(float64(l.Loading-r.Assessment.Loading)) < 1e-9*float64(l.Loading) || len(list) == 5 {
			continue
		}
		serves, _ := r.Assessment.Terms.DryWindow(l.Loading)
		list = append(list, svg.Band{Low: serves.Min.In(q.s), High: serves.Max.In(q.s), Text: fmt.Sprintf("%s at %s: %s", l.Name, r.planned(l.Loading), q.dryRange(serves.Min, serves.Max))})
	}
	return list
}

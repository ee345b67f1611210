package page

import (
	"cmp"
	"fmt"
	"math"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// chart is a drawing with what a screen reader is told of it.
type chart struct {
	svg.Drawing
	ID, Title, Desc string
}

// stabilizerChart draws acres over the stabilizer rate that they would get from
// one impregnated blend, with the label range.
func stabilizerChart(r report.Result, q figures.Quantities) chart {
	a, symbol := r.Assessment, unit.Symbol[unit.LiquidRate](q.System)
	label := rx.Range[float64]{Min: a.Range.Min.In(q.System), Max: a.Range.Max.In(q.System)}
	b := newBars(a.Stabilizer.Min.In(q.System), a.Stabilizer.Max.In(q.System), label.Min, cmp.Or(label.Max-label.Min, label.Max)/20)
	for i, z := range r.Prescription.Zones {
		if z.Treated() {
			count(b, unit.StabilizerRate(a.Loading, z.Carrier).In(q.System), a.Verdicts[i], z.Area, label)
		}
	}
	name := fmt.Sprintf("label range %s %s", q.RateRange(a.Range.Min, a.Range.Max), symbol)
	c := chart{
		ID: "chart-stabilizer", Title: "Ground over stabilizer rate, if impregnated",
		Desc: fmt.Sprintf("Bars of %s over %s. %s; %s %s below it, %s within, %s above.", unit.Symbol[unit.Area](q.System), symbol, name,
			q.Area(a.Shares[rx.Below].Area), unit.Symbol[unit.Area](q.System), q.Area(a.Shares[rx.Within].Area), q.Area(a.Shares[rx.Above].Area)),
	}
	b.Units, b.Rate, b.Bands = q.System, symbol+" of stabilizer", []svg.Band{{Low: label.Min, High: label.Max, Text: name}}
	c.Drawing = b.Draw()
	return c
}

// dryChart draws acres over the dry rate, with the dry rates that stay on label at
// the loading of the check and, where the plan has others, at those.
func dryChart(r report.Result, q figures.Quantities) chart {
	a, symbol := r.Assessment, unit.Symbol[unit.DryRate](q.System)
	low, high, _ := r.Prescription.CarrierRange()
	window := rx.Range[float64]{Min: a.OnLabel.Min.In(q.System), Max: a.OnLabel.Max.In(q.System)}
	b := newBars(low.In(q.System), high.In(q.System), window.Min, dryBin(high.In(q.System)-low.In(q.System)))
	for i, z := range r.Prescription.Zones {
		if z.Treated() {
			count(b, z.Carrier.In(q.System), a.Verdicts[i], z.Area, window)
		}
	}
	name := fmt.Sprintf("on label at %s: %s", q.Loading(a.Loading), q.DryWindow(a.OnLabel))
	desc := name + " " + symbol
	if a.WhyNoRate != "" {
		name = fmt.Sprintf("on label at %s: none", q.Loading(a.Loading))
		desc, window = name, rx.Range[float64]{Min: b.Low, Max: b.Low}
	}
	c := chart{
		ID: "chart-dry", Title: "Ground over dry rate, with what stays on label",
		Desc: fmt.Sprintf("Bars of %s over %s of dry product. %s.", unit.Symbol[unit.Area](q.System), symbol, desc),
	}
	b.Units, b.Rate, b.Bands = q.System, symbol+" of dry product", append([]svg.Band{{Low: window.Min, High: window.Max, Text: name}}, planBands(r, q)...)
	c.Drawing = b.Draw()
	return c
}

// dryBin returns the width of bars over dry rates of a span: a 40th of it, rounded.
func dryBin(span float64) float64 {
	if !(span > 0) {
		return 1
	}
	return svg.NiceStep(span / 40)
}

// planBands lists the dry rates that the treated layers of the plan serve.
func planBands(r report.Result, q figures.Quantities) []svg.Band {
	if r.Plan == nil {
		return nil
	}
	var list []svg.Band
	for _, l := range r.Plan.Layers {
		if !l.Treated || l.Loading == 0 || math.Abs(float64(l.Loading-r.Assessment.Loading)) < 1e-9*float64(l.Loading) || len(list) == 5 {
			continue
		}
		serves, _ := r.Assessment.Terms.DryWindow(l.Load(0, l.Dry, nil).Loadings()...)
		list = append(list, svg.Band{Low: serves.Min.In(q.System), High: serves.Max.In(q.System), Text: fmt.Sprintf("%s at %s: %s", l.Name, r.Planned(l.Loading), q.DryWindow(serves))})
	}
	return list
}

// stacked lists the verdicts of a bar from the axis up.
func stacked() [3]rx.Verdict { return [3]rx.Verdict{rx.Below, rx.Within, rx.Above} }

// mostBars is how many bars a chart holds.
const mostBars = 48

// newBars makes room for rates from low to high in bars of a size above 0; an anchor, if
// above 0, is the end of a bar.
func newBars(low, high, anchor, size float64) *svg.Bars {
	for (high-low)/size > mostBars-2 {
		size *= 2
	}
	b := &svg.Bars{Size: size, Low: anchor - float64(math.Ceil((anchor-low)/size-1e-9)*size)}
	for _, v := range stacked() {
		b.Stack = append(b.Stack, svg.Part{Ink: verdictInk(v), Name: report.VerdictText(v)})
	}
	b.Areas = make([][]unit.Area, int(math.Floor((high-b.Low)/size+1e-9))+1)
	for i := range b.Areas {
		b.Areas[i] = make([]unit.Area, len(b.Stack))
	}
	return b
}

// count adds ground at a rate; what lies on the end of two bars goes to the one
// that the verdict belongs to.
func count(b *svg.Bars, rate float64, v rx.Verdict, area unit.Area, label rx.Range[float64]) {
	i := int(math.Floor((rate-b.Low)/b.Size + 1e-9))
	if v == rx.Within && rate >= label.Max*(1-1e-9) && rate > b.Low+float64(b.Size/2) {
		i = int(math.Ceil((rate-b.Low)/b.Size-1e-9)) - 1
	}
	i = min(max(i, 0), len(b.Areas)-1)
	for k, s := range stacked() {
		if s == v {
			b.Areas[i][k] += area
		}
	}
}

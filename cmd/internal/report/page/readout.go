package page

import (
	"fmt"
	"html/template"
	"io"
	"slices"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/rx/readout"
)

// readoutView is the page of what strips say, as data.
type readoutView struct {
	Style   template.CSS
	Policy  string
	Title   string
	Said    []string
	Parts   []readoutPart
	Caution string
	Inputs  [][2]string
	Version string
}

// readoutPart is one of the things that strips were read for.
type readoutPart struct {
	Title   string
	Said    []string
	Charts  []chart
	Table   pageTable
	Remarks []string
}

// WriteReadout prints the page of what strips say. It needs no script.
func WriteReadout(w io.Writer, r report.Readout) error {
	v := readoutView{Style: template.CSS(Style()), Title: "What untreated strips say", Caution: report.ReadoutCaution, Version: r.Version}
	if r.Pooled != nil {
		v.Title = "What untreated strips of several fields say"
		v.Said = report.PooledText(r)
		v.Parts = append(v.Parts, pooledPart(r))
	}
	for i, one := range r.Results {
		said := []string{report.ReadoutText(r, one)}
		if profit := report.ProfitText(r, one); profit != "" {
			said = append(said, profit)
		}
		part := resultPart(r, one, i)
		if i == 0 {
			v.Said = said
		} else {
			part.Said = append(said, part.Said...)
		}
		v.Parts = append(v.Parts, part)
	}
	v.Style += template.CSS(headStyle("Untreated strips", v.Title, "rxsplit "+r.Version))
	v.Policy = policyOf(string(v.Style), "")
	for _, in := range r.Inputs {
		v.Inputs = append(v.Inputs, [2]string{in.Role + ": " + in.Path, in.SHA256})
	}
	return lay(w, "readout.html", v)
}

var readoutTitles = map[string]string{readout.Yield: "Yield", readout.Index: "Vegetation index", readout.Stalk: "Nitrate-N in stalks"}

func resultPart(r report.Readout, one readout.Result, i int) readoutPart {
	part := readoutPart{Title: readoutTitles[one.What], Remarks: report.ReadoutRemarks(r, one)}
	if one.Cleaned != nil {
		part.Said = append(part.Said, report.CleanText(one.Cleaned))
		if one.All != nil {
			part.Said = append(part.Said, fmt.Sprintf("Of all points, without cleaning: %s, interval %s.", report.Signed(one.What, one.All.Mean), report.Between(one.What, one.All.Interval)))
		}
	}
	if one.What != readout.Stalk {
		part.Said = append(part.Said, report.WithoutOneText(one))
	}
	if power := report.PowerText(r, one); power != "" {
		part.Said = append(part.Said, power)
	}
	part.Charts = append(part.Charts, differencesChart(r, one, i))
	if one.Profit != nil && one.Profit.Interval != nil && r.Money.Cost > 0 {
		part.Charts = append(part.Charts, chanceChart(r, one.Estimate.Chance))
	}
	part.Table = replicateTable(r, one)
	return part
}

// differencesChart draws the replicates' differences, and their mean with its interval.
func differencesChart(r report.Readout, one readout.Result, i int) chart {
	value, text, axis, zero := func(d float64) float64 { return d }, func(v float64) string { return report.Signed(one.What, v) }, "treated less untreated, "+r.UnitOf(one.What), "no difference"
	if one.What == readout.Stalk {
		value, axis, zero = readout.Ratio, "treated by untreated, as a ratio", "the same"
		text = func(v float64) string { return figures.Fixed(v, 2) }
	}
	var c svg.Intervals
	c.Axis, c.Limits = axis, []svg.Limit{{Value: value(0), Text: zero}}
	if one.Profit != nil {
		c.Limits = append(c.Limits, svg.Limit{Value: one.Profit.BreakEven, Text: "break-even"})
	}
	for _, d := range one.Readings {
		v := value(d.Difference)
		c.Rows = append(c.Rows, svg.Interval{Name: fmt.Sprint("replicate ", d.Rep), Text: text(v), Value: v, Low: v, High: v})
	}
	mean := value(one.Estimate.Mean)
	row := svg.Interval{Name: "mean", Text: text(mean), Value: mean, Low: mean, High: mean, Sum: true}
	if in := one.Estimate.Interval; in != nil {
		row.Low, row.High = value(in.Low), value(in.High)
	}
	c.Rows = append(c.Rows, row)
	return chart{
		Drawing: c.Draw(), ID: fmt.Sprint("chart-differences-", i), Title: "Difference of each replicate, and their mean with its " + report.LevelText(one.Estimate.Level) + " interval",
		Desc: report.ReadoutText(r, one) + " The table below holds each replicate.",
	}
}

// chanceChart draws the chance that treating pays over the price of the yield.
func chanceChart(r report.Readout, chance func(limit float64) float64) chart {
	pays := func(price float64) float64 { return chance(r.Money.Cost / price) }
	c := svg.Curve{
		Axis: fmt.Sprintf("price, %s, at a cost of %s %s", r.Money.PerYield, figures.Fixed(r.Money.Cost, 2), r.Money.Per), High: 2 * r.Money.Price, Of: pays,
		Mark: svg.Limit{Value: r.Money.Price, Text: "price today"},
	}
	return chart{
		Drawing: c.Draw(), ID: "chart-chance", Title: "Chance that treating pays, over the price",
		Desc: fmt.Sprintf("At half the price %s %%, at the price %s %%, at twice the price %s %%. One less the one-sided p.",
			figures.Fixed(100*pays(r.Money.Price/2), 0), figures.Fixed(100*pays(r.Money.Price), 0), figures.Fixed(100*pays(2*r.Money.Price), 0)),
	}
}

func replicateTable(r report.Readout, one readout.Result) pageTable {
	head, rows := r.Replicates(one)
	t := pageTable{Caption: "Replicates, " + r.UnitOf(one.What)}
	t.Head = heads(slices.Concat([]string{"<replicate"}, head, []string{"points of each"})...)
	for i, texts := range rows {
		at := one.Readings[i]
		points := fmt.Sprintf("%d, %d, %d", at.Untreated.Points, at.Treated[0].Points, at.Treated[1].Points)
		t.Rows = append(t.Rows, append(cellsUnder(t.Head, texts), number(points)))
	}
	return t
}

// pooledPart draws the fields and their mean.
func pooledPart(r report.Readout) readoutPart {
	part := readoutPart{Title: "Fields"}
	var c svg.Intervals
	c.Axis, c.Limits = "treated less untreated, "+r.Unit, []svg.Limit{{Value: 0, Text: "no difference"}}
	if r.BreakEven != nil {
		c.Limits = append(c.Limits, svg.Limit{Value: *r.BreakEven, Text: "break-even"})
	}
	t := pageTable{Caption: "Fields, " + r.Unit, Head: heads("<field", "replicates", "difference", "interval", "<treated yields")}
	for _, texts := range r.Joined() {
		t.Rows = append(t.Rows, cellsUnder(t.Head, texts))
	}
	for _, f := range r.Fields {
		e := f.Estimate
		c.Rows = append(c.Rows, svg.Interval{Name: f.Name, Text: report.Signed(readout.Yield, e.Mean), Value: e.Mean, Low: e.Interval.Low, High: e.Interval.High})
	}
	p := r.Pooled
	row := svg.Interval{Name: "mean of fields", Text: report.Signed(readout.Yield, p.Mean), Value: p.Mean, Low: p.Mean, High: p.Mean, Sum: true}
	if p.Interval != nil {
		row.Low, row.High = p.Interval.Low, p.Interval.High
	}
	c.Rows = append(c.Rows, row)
	part.Charts = append(part.Charts, chart{Drawing: c.Draw(), ID: "chart-fields", Title: "Difference of each field, and the mean over fields", Desc: report.PooledText(r)[0]})
	if r.Money != nil && r.Money.Cost > 0 && p.Interval != nil {
		part.Charts = append(part.Charts, chanceChart(r, p.Chance))
	}
	part.Table = t
	return part
}

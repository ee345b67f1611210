package data

import (
	"io"
	"math"
	"strconv"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/geo"
	"rxsplit/internal/cores"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// ZonesCSV prints one row a zone: what the prescription gives it, what it would
// get if the whole blend were impregnated, and what it gets by the plan.
func ZonesCSV(w io.Writer, r report.Result) error {
	line := []byte(nil)
	for k, c := range zoneColumns(r) {
		if k > 0 {
			line = append(line, ',')
		}
		line = append(line, csvCell(c.head)...)
	}
	if _, err := w.Write(append(line, '\n')); err != nil {
		return err
	}
	return cores.Write(w, len(r.Prescription.Zones), func() cores.Encode {
		columns := zoneColumns(r) // which keep what they printed last
		return func(dst []byte, from, to int) ([]byte, error) {
			for i := from; i < to; i++ {
				for k, c := range columns {
					if k > 0 {
						dst = append(dst, ',')
					}
					dst = c.cell(dst, i)
				}
				dst = append(dst, '\n')
			}
			return dst, nil
		}
	})
}

// column is one of the file: its head, and what appends its cell in the row of a zone.
type column struct {
	head string
	cell func(line []byte, zone int) []byte
}

// zoneColumns lists the columns. Where products are spread side by side, the rate of the
// impregnated one stands beside that of all. The area that gets stabilizer is less than the
// zone's where a keep-out cuts into it. The cell "tight" is empty where no rate error was
// given to look with.
func zoneColumns(r report.Result) []column {
	a, zones, units := r.Assessment, r.Prescription.Zones, r.Units
	area, dry, rate := " "+unit.Symbol[unit.Area](units), " "+unit.Symbol[unit.DryRate](units), " "+unit.Symbol[unit.LiquidRate](units)
	list := []column{
		{"zone", func(line []byte, i int) []byte { return strconv.AppendInt(line, int64(zones[i].Number()), 10) }},
		areaColumn("area"+area, func(i int) float64 { return zones[i].Area.In(units) }),
		rateColumn("dry rate"+dry, func(i int) float64 { return zones[i].Dry.In(units) }),
	}
	if !r.Prescription.Blend() {
		list = append(list, rateColumn("dry rate impregnated"+dry, func(i int) float64 { return zones[i].Carrier.In(units) }))
	}
	list = append(list,
		rateColumn("stabilizer if impregnated"+rate, func(i int) float64 {
			return unit.StabilizerRate(a.Loading, zones[i].Carrier).In(units)
		}),
		wordColumn("verdict if impregnated", func(i int) string { return a.Verdicts[i].String() }),
		wordColumn("tight", func(i int) string { return yesOrNo(a.Tight[i], a.Tight[i] || a.Terms.RateError > 0) }),
		wordColumn("over season maximum", func(i int) string { return yesOrNo(a.PassesSeason(i), a.Season != nil) }),
	)
	if r.Plan != nil {
		list = append(list,
			rateColumn("stabilizer by plan"+rate, func(i int) float64 { return r.Plan.Stabilizer[i].In(units) }),
			areaColumn("area with stabilizer"+area, func(i int) float64 { return r.Plan.WithStabilizer(i, zones[i].Area).In(units) }),
			rateColumn("dry rate by plan"+dry, func(i int) float64 { return planRate(r, i).In(units) }),
		)
	}
	for k, l := range a.Terms.Further {
		g := &a.Further[k]
		list = append(list,
			rateColumn(l.Name+" if put on as one blend"+rate, func(i int) float64 { return g.Rate(zones[i]).In(units) }),
			wordColumn("verdict of "+l.Name, func(i int) string { return g.Verdicts[i].String() }),
		)
		if r.Plan != nil {
			list = append(list, rateColumn(l.Name+" by plan"+rate, func(i int) float64 { return r.Plan.Further[k][i].In(units) }))
		}
	}
	return list
}

func wordColumn(head string, of func(zone int) string) column {
	return column{head, func(line []byte, i int) []byte { return append(line, of(i)...) }}
}

func rateColumn(head string, of func(zone int) float64) column { return figureColumn(head, 4, of) }
func areaColumn(head string, of func(zone int) float64) column { return figureColumn(head, 6, of) }

// figureColumn prints figures, NaN as an empty cell. It keeps the text of the last: areas
// and rates repeat, and printing a number is most of the work.
func figureColumn(head string, decimals int, of func(zone int) float64) column {
	last, text := math.NaN(), []byte(nil)
	return column{head, func(line []byte, i int) []byte {
		v := of(i)
		if math.IsNaN(v) {
			return line
		}
		if v != last {
			last, text = v, geo.AppendFixed(text[:0], v, decimals)
		}
		return append(line, text...)
	}}
}

// yesOrNo answers a question; with nothing where it was not asked.
func yesOrNo(yes, asked bool) string {
	switch {
	case !asked:
		return ""
	case yes:
		return "yes"
	}
	return "no"
}

// csvCell quotes a head that a name may have put a comma, a quote or a line end into.
func csvCell(text string) string {
	if !strings.ContainsAny(text, ",\"\r\n") {
		return text
	}
	return `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
}

// planRate is what all dry layers of the plan spread in a zone; NaN without a rate.
func planRate(r report.Result, zone int) (sum unit.DryRate) {
	for i := range r.Plan.Layers {
		if l := &r.Plan.Layers[i]; l.Product == rx.Dry {
			sum += l.DryRate(r.Prescription, zone)
		}
	}
	return sum
}

package data

import (
	"bufio"
	"cmp"
	"io"
	"math"
	"strconv"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// ZonesCSV prints one row a zone: what the prescription gives it, what it would
// get if the whole blend were impregnated, and what it gets by the plan. Where
// products are spread side by side, the rate of the impregnated one stands beside
// that of all. The area that gets stabilizer is less than the zone's where a keep-out
// cuts into it. The cell "tight" is empty where no rate error was given to look with.
func ZonesCSV(w io.Writer, r report.Result) error {
	buf := bufio.NewWriterSize(w, 1<<16)
	further := make([][]cells, len(r.Assessment.Terms.Further))
	area, dry, rate := unit.Symbol[unit.Area](r.Units), unit.Symbol[unit.DryRate](r.Units), unit.Symbol[unit.LiquidRate](r.Units)
	heads := []string{"zone", "area " + area, "dry rate " + dry}
	sideBySide := !r.Prescription.Blend()
	if sideBySide {
		heads = append(heads, "dry rate impregnated "+dry)
	}
	heads = append(heads, "stabilizer if impregnated "+rate, "verdict if impregnated", "tight", "over season maximum")
	if r.Plan != nil {
		heads = append(heads, "stabilizer by plan "+rate, "area with stabilizer "+area, "dry rate by plan "+dry)
	}
	for i, l := range r.Assessment.Terms.Further {
		heads = append(heads, csvCell(l.Name+" if put on as one blend "+rate), csvCell("verdict of "+l.Name))
		if r.Plan != nil {
			heads = append(heads, csvCell(l.Name+" by plan "+rate))
		}
		further[i] = make([]cells, 2)
	}
	buf.WriteString(strings.Join(heads, ",") + "\n")
	var line []byte
	areas := cells{decimals: 6}
	var dries, carriers, asOne, byPlan, drySums cells // rates: a column each
	for i, z := range r.Prescription.Zones {
		line = strconv.AppendInt(line[:0], int64(z.Number()), 10)
		line = areas.append(line, z.Area.In(r.Units))
		line = dries.append(line, z.Dry.In(r.Units))
		if sideBySide {
			line = carriers.append(line, z.Carrier.In(r.Units))
		}
		line = asOne.append(line, unit.StabilizerRate(r.Assessment.Loading, z.Carrier).In(r.Units))
		line = append(line, ',')
		line = append(line, r.Assessment.Verdicts[i].String()...)
		line = append(line, ',')
		switch {
		case r.Assessment.Tight[i]:
			line = append(line, "yes"...)
		case r.Assessment.Terms.RateError > 0:
			line = append(line, "no"...)
		}
		line = append(line, seasonCell(r.Assessment, i)...)
		if r.Plan != nil {
			line = byPlan.append(line, r.Plan.Stabilizer[i].In(r.Units))
			line = areas.append(line, r.Plan.WithStabilizer(i, z.Area).In(r.Units))
			line = drySums.append(line, planRate(r, i).In(r.Units))
		}
		for k := range further {
			g := &r.Assessment.Further[k]
			line = further[k][0].append(line, g.Rate(z).In(r.Units))
			line = append(append(line, ','), g.Verdicts[i].String()...)
			if r.Plan != nil {
				line = further[k][1].append(line, r.Plan.Further[k][i].In(r.Units))
			}
		}
		line = append(line, '\n')
		buf.Write(line)
	}
	return buf.Flush()
}

// csvCell quotes a head that a name may have put a comma, a quote or a line end into.
func csvCell(text string) string {
	if !strings.ContainsAny(text, ",\"\r\n") {
		return text
	}
	return `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
}

// seasonCell says whether a zone would be above the season maximum; nothing where the
// label has none.
func seasonCell(a *rx.Assessment, i int) string {
	switch {
	case a.Season == nil:
		return ","
	case a.Season[i]:
		return ",yes"
	}
	return ",no"
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

// cells prints figures as cells, each behind its comma, and keeps the text of the last:
// areas and rates repeat, and printing a number is most of the work.
type cells struct {
	decimals int // 0 for the four of a rate
	last     float64
	text     []byte // of last; none before the first
}

// append appends a cell; NaN is an empty one.
func (c *cells) append(dst []byte, v float64) []byte {
	if v != c.last || c.text == nil {
		c.last, c.text = v, append(c.text[:0], ',')
		if !math.IsNaN(v) {
			c.text = strconv.AppendFloat(c.text, v, 'f', cmp.Or(c.decimals, 4), 64)
		}
	}
	return append(dst, c.text...)
}

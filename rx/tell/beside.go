package tell

import (
	"math"
	"strconv"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// beside prints a range of rates that lies on one side of a limit, or that limit, so that
// the two read as different: the range in as many decimals as show it, up to five, as 40.004
// is not to be printed as 40.0 where 40 is the most; the limit in full where its few digits
// would stand on the other side, as 2104.9 mL/ha is more than 2104.64 and reads as less than
// 2105.
func beside(v, with any, s unit.System) (string, bool) {
	switch v := v.(type) {
	case rx.Range[unit.LiquidRate]:
		limit, ok := with.(unit.LiquidRate)
		return besideLimit(v, limit, s), ok
	case unit.LiquidRate:
		r, ok := with.(rx.Range[unit.LiquidRate])
		return limitBeside(v, r, s), ok
	}
	return "", false
}

// nearest is the end of a range that lies next to a limit beside it.
func nearest(r rx.Range[unit.LiquidRate], limit unit.LiquidRate) unit.LiquidRate {
	if r.Max < limit {
		return r.Max
	}
	return r.Min
}

func besideLimit(r rx.Range[unit.LiquidRate], limit unit.LiquidRate, s unit.System) string {
	near, decimals := nearest(r, limit), 1
	for d := 1; d < 6; d++ {
		scale := math.Pow10(d)
		if math.Round(near.In(s)*scale) != math.Round(limit.In(s)*scale) {
			decimals = d
			break
		}
	}
	low, high := decimal(r.Min.In(s), decimals), decimal(r.Max.In(s), decimals)
	if low != high {
		low += " to " + high
	}
	return low + " " + symbol(limit, s)
}

func limitBeside(limit unit.LiquidRate, r rx.Range[unit.LiquidRate], s unit.System) string {
	near, brief := nearest(r, limit), limit.Brief(s)
	number, _, _ := strings.Cut(brief, " ")
	shown, err := strconv.ParseFloat(strings.ReplaceAll(number, ",", ""), 64)
	if err != nil || (near > limit) != (near.In(s) > shown) {
		return unit.Thousands(limit.Text(s))
	}
	return brief
}

// decimal prints a number with so many decimals and a comma between thousands.
func decimal(v float64, decimals int) string {
	return unit.Thousands(strconv.FormatFloat(v, 'f', decimals, 64))
}

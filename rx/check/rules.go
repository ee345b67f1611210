package check

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Rule looks at an assessed prescription for one thing.
type Rule struct {
	Name string
	// Skip returns why the rule can't look, empty if it can.
	Skip func(*rx.Prescription, *rx.Assessment) string
	Find func(*rx.Prescription, *rx.Assessment) []rx.Finding
}

// Rules lists the rules in the order in which their findings are told.
func Rules() []Rule {
	joined := new(stretches)
	return []Rule{
		above(), below(), tightZones(), noRate(), noDry(),
		seasonMax(), leastDryRate(), mostLiquid(), loadingRange(),
		carrier(), compatible(), analysis(), sprayVolume(), boomSwath(),
		spreaderLimits(), patternCV(), narrowZone(joined), shortZone(joined), rateSteps(), controllerDefault(),
	}
}

func always(*rx.Prescription, *rx.Assessment) string { return "" }

// selected lists the numbers and the area of the zones for which keep is true.
func selected(p *rx.Prescription, keep func(i int) bool) (zones []int, area unit.Area) {
	for i, z := range p.Zones {
		if keep(i) {
			zones, area = append(zones, z.Number()), area+z.Area
		}
	}
	return zones, area
}

// between prints a range with one decimal, or one value.
func between[Q interface{ In(unit.System) float64 }](low, high Q, symbol string, s unit.System) string {
	a, b := low.In(s), high.In(s)
	if math.Abs(a-b) < 0.05 {
		return fmt.Sprintf("%.1f %s", a, symbol)
	}
	return fmt.Sprintf("%.1f to %.1f %s", a, b, symbol)
}

// beside prints a range of rates that lies on one side of a limit, in as many decimals as
// show it, up to five: 40.004 is not printed as 40.0 where 40 is the most. The limit is
// printed in full where its few digits would stand on the other side: 2104.9 mL/ha is more
// than 2104.64, and reads as less than 2105.
func beside(r rx.Range[unit.LiquidRate], limit unit.LiquidRate, s unit.System) (rates, end string) {
	near := r.Min
	if r.Max < limit {
		near = r.Max
	}
	decimals := 1
	for d := 1; d < 6; d++ {
		scale := math.Pow10(d)
		if math.Round(near.In(s)*scale) != math.Round(limit.In(s)*scale) {
			decimals = d
			break
		}
	}
	end = limit.Brief(s)
	number, _, _ := strings.Cut(end, " ")
	if shown, err := strconv.ParseFloat(number, 64); err != nil || (near > limit) != (near.In(s) > shown) {
		end = limit.Text(s)
	}
	low, high := fmt.Sprintf("%.*f", decimals, r.Min.In(s)), fmt.Sprintf("%.*f", decimals, r.Max.In(s))
	if low != high {
		low += " to " + high
	}
	return low + " " + unit.Symbol[unit.LiquidRate](s), end
}

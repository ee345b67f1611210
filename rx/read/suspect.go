package read

import (
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo/crs"
	"rxsplit/internal/cores"
	"rxsplit/rx"
)

// implausible finds what reads well and is hardly meant, in the order of this
// list. Where a figure decides, it is common practice, no source.
//
// Some input is wrong and can't be told from right: longitude and latitude
// swapped where both places are land, a neighbor zone of UTM, a table whose rows
// stand in another order and holds no areas.
func implausible(s *suspect) []rx.Finding {
	rules := []func(*suspect) []rx.Finding{
		findOddMean, findRowNumbers, findRateIsArea, findOtherArea, findNitrogen, findTenfold, findCutDecimals,
		findOddSize, findOddAreas, findOffZone, findOtherPlace, findOddScale, findNoLand, findSwappedCells, findFarApart, findSlivers,
	}
	found := make([][]rx.Finding, len(rules))
	cores.Each(len(rules), func(i int) { found[i] = rules[i](s) })
	return slices.Concat(found...)
}

// suspect is a prescription under suspicion.
type suspect struct {
	*rx.Prescription
	opt    Options
	system crs.System // that the file was read by
	box    orb.Bound  // of all zones, in lon/lat
}

// sampled is how many zones a rule looks at that compares columns: what holds for
// them holds for the file.
const sampled = 2000

// sample returns up to [sampled] of the zones that keep accepts, evenly spread over the
// file, as indexes.
func (s *suspect) sample(keep func(rx.Zone) bool) []int {
	kept := 0
	for _, zone := range s.Zones {
		if keep(zone) {
			kept++
		}
	}
	out := make([]int, 0, min(sampled, kept))
	at := 0 // of those that are kept
	for z, zone := range s.Zones {
		if !keep(zone) {
			continue
		}
		if at == len(out)*kept/cap(out) {
			out = append(out, z)
		}
		at++
	}
	return out
}

// treated is for [suspect.sample].
func treated(z rx.Zone) bool { return z.Dry > 0 && z.Area > 0 }

// number returns the number in a cell of a zone, as the file has it; ok is false
// if there is none.
func (s *suspect) number(z, field int) (v float64, ok bool) {
	return number(s.Cells.Cell(int(s.Zones[z].Record), field).Text)
}

// isRate reports whether a column is one of the rate fields.
func (s *suspect) isRate(column int) bool {
	for _, f := range s.Fields {
		if f.Index == column {
			return true
		}
	}
	return false
}

// perHectare reports whether a rate field counts per hectare.
func perHectare(f rx.RateField) bool {
	symbol := f.Symbol
	return len(symbol) > 3 && symbol[len(symbol)-3:] == "/ha"
}

// decimals returns how many digits stand behind a number's point, exponents left
// aside.
func decimals(text []byte) int {
	n := 0
	for i, c := range text {
		switch {
		case c == '.':
			n = len(text) - i - 1
		case c == 'e' || c == 'E':
			return 15 // as good as exact
		}
	}
	return n
}

// nearlyAll is the share of zones that have to agree for columns to be taken as
// related.
const nearlyAll = 0.95

// metersPerDegree is a degree of latitude, on average.
const metersPerDegree = 111195.0

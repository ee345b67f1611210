package report

import (
	"cmp"
	"slices"

	"rxsplit/rx"
)

// SeasonText is said of what passes the season maximum alone: it keeps its verdict for
// the pass, and is off label all the same.
const SeasonText = "over the season maximum"

// ShownVerdicts lists the verdicts that are told of: ground that gets no dry, or has no
// rate, only where there is some.
func ShownVerdicts(a *rx.Assessment) []rx.Verdict {
	return slices.DeleteFunc(rx.Verdicts(), func(v rx.Verdict) bool {
		return (v == rx.NoDry || v == rx.NoRate) && a.Shares[v].Zones == 0
	})
}

// OffWord is why a zone, by its index, is off label, in a word for a table; its verdict
// if it is not.
func OffWord(a *rx.Assessment, i int) string {
	if a.OffBySeason(i) {
		return "season"
	}
	return a.Verdicts[i].String()
}

// OffZones lists the off-label zones, by their indexes, the largest first.
func OffZones(p *rx.Prescription, a *rx.Assessment) []int {
	var off []int
	for i := range a.Verdicts {
		if a.Off(i) {
			off = append(off, i)
		}
	}
	slices.SortStableFunc(off, func(x, y int) int { return cmp.Compare(p.Zones[y].Area, p.Zones[x].Area) })
	return off
}

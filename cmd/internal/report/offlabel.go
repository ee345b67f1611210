package report

import (
	"cmp"
	"slices"

	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// What passes the season maximum alone keeps its verdict for the pass, and is off label
// all the same: it has a name and a fill of its own beside the verdicts.
const (
	seasonWord = "season"
	seasonText = "over the season maximum"
	seasonKey  = "area.over_season"
)

// shownVerdicts lists the verdicts that are told of: ground that gets no dry, or has no
// rate, only where there is some.
func shownVerdicts(a *rx.Assessment) []rx.Verdict {
	return slices.DeleteFunc(rx.Verdicts(), func(v rx.Verdict) bool {
		return (v == rx.NoDry || v == rx.NoRate) && a.Shares[v].Zones == 0
	})
}

// offWord is why a zone, by its index, is off label, in a word for a table; its verdict
// if it is not.
func offWord(a *rx.Assessment, i int) string {
	if a.OffBySeason(i) {
		return seasonWord
	}
	return a.Verdicts[i].String()
}

// offFill is what goes with offWord in a drawing.
func offFill(a *rx.Assessment, i int) string {
	if a.OffBySeason(i) {
		return svg.Season.Fill()
	}
	return verdictFill(a.Verdicts[i])
}

// offZones lists the off-label zones, by their indexes, the largest first.
func offZones(p *rx.Prescription, a *rx.Assessment) []int {
	var off []int
	for i := range a.Verdicts {
		if a.Off(i) {
			off = append(off, i)
		}
	}
	slices.SortStableFunc(off, func(x, y int) int { return cmp.Compare(p.Zones[y].Area, p.Zones[x].Area) })
	return off
}

// verdictGround returns the ground of a verdict without what the season maximum alone
// puts off label, and the name that JSON has for it; none where that is another figure.
func verdictGround(a *rx.Assessment, v rx.Verdict) (area unit.Area, key string) {
	if v == rx.Within && a.OverSeason.Zones > 0 {
		return a.Shares[v].Area - a.OverSeason.Area, ""
	}
	return a.Shares[v].Area, areaKey(v)
}

// verdictFill is what a drawing is filled with where it shows a verdict.
func verdictFill(v rx.Verdict) string { return verdictInk(v).Fill() }

func verdictInk(v rx.Verdict) svg.Ink { return svg.Ink(v.String()) }

package page

import (
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// seasonKey is what JSON calls the acres that the season maximum alone puts off label.
const seasonKey = "area.over_season"

// verdictFill is what a drawing is filled with where it shows a verdict.
func verdictFill(v rx.Verdict) string { return verdictInk(v).Fill() }

func verdictInk(v rx.Verdict) svg.Ink { return svg.Ink(v.String()) }

// offFill is what goes with offWord in a drawing.
func offFill(a *rx.Assessment, i int) string {
	if a.OffBySeason(i) {
		return svg.Season.Fill()
	}
	return verdictFill(a.Verdicts[i])
}

// verdictGround returns the ground of a verdict without what the season maximum alone
// puts off label, and the name that JSON has for it; none where that is another figure.
func verdictGround(a *rx.Assessment, v rx.Verdict) (area unit.Area, key string) {
	if v == rx.Within && a.OverSeason.Zones > 0 {
		return a.Shares[v].Area - a.OverSeason.Area, ""
	}
	return a.Shares[v].Area, areaKey(v)
}

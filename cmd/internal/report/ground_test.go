package report_test

import (
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/ground"
)

// What has landed is told as past, what would land is not, and nothing is told of classes that
// have no ground.
func TestGroundSaid(t *testing.T) {
	graded := ground.Liquid{Graded: true, Liquid: rx.JobLiquid{Name: "stabilizer"}}
	classes := func(none, below, within, above, season unit.Area) ground.Liquid {
		l := graded
		for class, v := range map[ground.Class]unit.Area{ground.None: none, ground.Below: below, ground.Within: within, ground.Above: above, ground.OverSeason: season} {
			l.Classes[class].Area = v
		}
		return l
	}
	for _, c := range []struct {
		kind    string
		liquids []ground.Liquid
		want    string
	}{
		{"applied", []ground.Liquid{classes(11.9, 0, 211.15, 4.8, 1e-9)}, "Of 227.85 ac, 211.15 ac got stabilizer inside its label's range, 4.80 ac more, 11.90 ac none."},
		{"passes", []ground.Liquid{classes(0, 2, 220, 0, 5.85)}, "Of 227.85 ac, 220.00 ac would get stabilizer inside its label's range, 5.85 ac so much that its season maximum is passed, 2.00 ac less."},
		{"passes", []ground.Liquid{{}}, "On 227.85 ac of the plan; no liquid is held against its label."},
	} {
		g := report.Ground{Kind: c.kind, Result: &ground.Result{Liquids: c.liquids}}
		g.Sampled.Area = 227.85
		if got := g.Said(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

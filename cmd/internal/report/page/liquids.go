package page

import (
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// liquidTable shows the further liquids; nil if there are none.
func liquidTable(r report.Result, q figures.Quantities) *pageTable {
	if len(r.Assessment.Further) == 0 {
		return nil
	}
	ac, _, rate := q.Symbols()
	t := pageTable{Caption: "Every other liquid", Head: heads("<liquid", "<goes on", "<loading", "lands "+rate, "label "+rate, "below "+ac, "within "+ac, "above "+ac)}
	for i := range r.Assessment.Further {
		g := &r.Assessment.Further[i]
		row := []pageCell{words(g.Liquid.Name), words("the boom"), words(""), number(report.Hundredths(g.Stabilizer, q.System)), number("not graded: no label"), number(""), number(""), number("")}
		if g.Liquid.On == equip.OnBlend {
			row[1], row[2] = words("the blend"), words(g.Loading.Text(q.System))
		}
		if label, graded := g.Liquid.Range(); graded {
			row[4] = number(report.Hundredths(label, q.System))
			for j, v := range []rx.Verdict{rx.Below, rx.Within, rx.Above} {
				row[5+j] = number(q.Ground(g.Shares[v].Area))
			}
		}
		t.Rows = append(t.Rows, row)
	}
	t = t.labeled()
	return &t
}

package sheet

import (
	"fmt"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// stripCount is how many strips a plan leaves untreated.
func stripCount(p *rx.Plan) int {
	if p.Strips == nil {
		return 0
	}
	return len(p.Strips.List)
}

// strips says where the boom is to shut off, and where it goes on again.
func (d *document) strips(l *rx.Layer) {
	s := d.plan.Strips
	table := rx.Table{
		Head: []string{"strip", "pass", "off: lat", "lon", "on: lat", "lon", d.areaUnit(), "left off, by"},
		Left: []bool{false, false, false, false, false, false, false, true},
	}
	for _, one := range s.List {
		start, end := middle(one.Ground[0][0], one.Ground[0][1]), middle(one.Ground[0][3], one.Ground[0][2])
		table.Rows = append(table.Rows, []string{
			fmt.Sprint(one.Rep), fmt.Sprint(one.Pass), degrees(start[1]), degrees(start[0]), degrees(end[1]), degrees(end[0]), d.areaN(one.Area), toWrite,
		})
	}
	d.write("Untreated strips", values{
		"strips left": plural(len(s.List), "strip", "strips"), "strip width": d.length(s.Width), "strip length": d.length(s.Length + 2*s.Ends),
		"untreated ground": d.area(s.Area), "stabilizer saved": d.drop(unit.VolumeOver(l.Rate, s.Area)), "azimuth": fmt.Sprintf("%.4g", s.Azimuth),
		"stop and go": d.length(s.Ends),
	}, table)
}

func middle(a, b orb.Point) orb.Point { return orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2} }

// degrees prints a lon or lat to a tenth of a meter.
func degrees(v float64) string { return fmt.Sprintf("%.6f", v) }

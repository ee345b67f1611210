package ground

import (
	"fmt"

	"rxsplit/geo/track"
	"rxsplit/label/unit"
)

// widest is beyond the working width of any machine that drives over a field: what is wider is
// in another unit.
const widest = 200 * unit.Meter

// checkWidth refuses a log that says a width that no machine has.
func checkWidth(l *track.Log) error {
	sections := 0.0
	for _, s := range l.Sections {
		sections += s
	}
	most := unit.Length(max(l.Width, sections)) * unit.Meter
	for i := range l.Rows {
		if w := unit.Length(l.Rows[i].Width) * unit.Meter; w > most {
			most = w
		}
	}
	if most <= widest {
		return nil
	}
	return &Error{
		What: fmt.Sprintf("%s: it works %s wide, and no machine is wider than %s", l.Name, most.Brief(unit.Metric), widest.Brief(unit.Metric)),
		Hint: "compare the unit of the width in the map, width-unit",
	}
}

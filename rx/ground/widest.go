package ground

import (
	"fmt"

	"rxsplit/geo/track"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// widest is beyond the working width of any machine that drives over a field: what is wider is
// in another unit.
const widest = 200 * unit.Meter

// checkWidth refuses a log that says a width that no machine has.
func checkWidth(l *track.Log) error {
	most := unit.Length(0)
	for i := range l.Rows {
		most = max(most, unit.Length(l.WidthAt(&l.Rows[i]))*unit.Meter)
	}
	if most <= widest {
		return nil
	}
	return &Error{
		What: fmt.Sprintf("%s: it works %s wide, and no machine is wider than %s", l.Name, most.Brief(unit.Metric), widest.Brief(unit.Metric)),
		Hint: "compare the unit of the width in the map, width-unit",
	}
}

// widths are those that a log and a job state of one machine.
type widths struct {
	Log            string
	Width, Planned unit.Length
}

// otherUnit is how many times a width has to be the other for the two to be told: a boom that is
// wider by half is another boom, and one of three times, it seems, feet taken for meters.
const otherUnit = 2.5

// otherRate is the same of a mean rate. Half of it is laid on purpose, in two passes; kilograms taken for
// pounds are 2.2.
const otherRate = 2.1

// findWidth tells of a log that works much wider or narrower than the job's machine.
func (r *Result) findWidth(d *Drive) {
	job, planned := r.Field.Assessment.Terms.Job, unit.Length(0)
	switch dry := r.Field.Plan.Layers[d.Layer].Product == rx.Dry; {
	case job == nil:
	case dry && job.Spreader != nil:
		planned = job.Spreader.Swath
	case !dry && job.Boom != nil:
		planned = job.Boom.Width
	}
	width := unit.Length(d.laid.Widest) * unit.Meter
	bySection := d.Swaths != nil || len(d.Log.Machines) > 1 // it may be: a part of the machine in each row
	if ratio := float64(width / planned); planned > 0 && width > 0 && (ratio > otherUnit || ratio < 1/otherUnit && !bySection) {
		r.add(logWidth.Find(rx.Warning, widths{d.Log.Name, width, planned}), 0, nil)
	}
}

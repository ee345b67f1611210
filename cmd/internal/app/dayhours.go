package app

import (
	"math"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
)

// hoursOf is what a way takes of the machines, as far as it is known. The boom's is that of its
// width and speed, and of as much for turns and empty runs as the machine that was driven on paper
// takes; filling, roads and waiting are in none.
func hoursOf(t rx.Terms, w rx.Way) (h day.Hours) {
	h.Blender = w.Minutes
	job := t.Job
	if job == nil {
		return h
	}
	driven := unit.Time(0)
	if w.Driving != nil {
		driven = w.Driving.Time
	}
	switch {
	case w.Sprayed == 0 && job.Spreader != nil:
		h.Spreader = driven
	case w.Sprayed > 0 && job.Boom != nil:
		h.Boom = job.Boom.Covers(w.Sprayed)
		if job.Spreader == nil {
			h.Boom = max(h.Boom, driven)
		} else if driven > 0 {
			h.Boom *= max(1, driven/job.Spreader.Covers(w.Driving.Spread))
		}
	}
	return h
}

// has is what the machines have in the day, the boom left aside: it is assigned within its
// limit.
func (l dayLimits) has() day.Hours {
	none := unit.Time(math.Inf(1))
	h := day.Hours{Blender: none, Spreader: none, Boom: none}
	if l.blender > 0 {
		h.Blender = l.blender
	}
	if l.spreader > 0 {
		h.Spreader = l.spreader
	}
	return h
}

// hours adds up the hours of a day, and marks the fields that don't fit into it.
func hours(d *report.Day, fields []*dayField, limit dayLimits) {
	var of []int
	var works []day.Hours
	var priorities []int
	for i, f := range fields {
		if f.way == nil {
			continue
		}
		h := hoursOf(f.terms, *f.way)
		if len(f.way.Loads) > 0 && h.Blender == 0 {
			d.Untimed++
		}
		h.Blender = f.blending // with what batches that are shared and left-over blend save
		d.Fields[i].Hours, d.Hours = h, d.Hours.Plus(h)
		d.Sprayed += f.way.Sprayed
		of, works, priorities = append(of, i), append(works, h), append(priorities, f.shown.Priority)
	}
	d.Hours.Blender, d.Has = d.Blending, limit.has()
	for _, k := range day.Late(works, priorities, d.Has) {
		d.Late = append(d.Late, of[k])
	}
	if limit.boomTime > 0 {
		d.Has.Boom = limit.boomTime
	}
}

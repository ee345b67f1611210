package app

import (
	"context"
	"fmt"
	"strconv"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/ground"
)

// kindPasses names what would land if a plan is driven.
const kindPasses = "passes"

// PassesAsked says how a plan is to be driven on paper; what is empty takes the usual.
type PassesAsked struct {
	Job     string // file with the machines; empty for the plan's own
	Azimuth string // degrees clockwise from north
	Offset  string // of the first pass, outside the field's edge
	Ahead   string // by which changes are called for earlier
	Laps    string // around the field, before the passes; one if empty
}

// named are its parts by their options, as the folder of results keeps them.
func (a *PassesAsked) named() map[string]*string {
	return map[string]*string{"job": &a.Job, "azimuth": &a.Azimuth, "offset": &a.Offset, "look-ahead": &a.Ahead, "headland": &a.Laps}
}

// Passes drives a written plan on paper and says what would land.
func (r Run) Passes(ctx context.Context, dir string, moved InputsAt, asked PassesAsked) (report.Ground, error) {
	base, err := asked.course()
	if err != nil {
		return report.Ground{}, err
	}
	field, g, err := r.fieldOf(ctx, dir, moved)
	if err != nil {
		return g, err
	}
	if s := field.Plan.Strips; s != nil { // each is one of the boom's passes
		if asked.Azimuth == "" {
			base.Azimuth = s.Azimuth
		}
		if asked.Offset == "" {
			base.Offset = s.Offset
		}
	}
	g.Kind, g.Parameters = kindPasses, valuesOf(asked.named())
	g.Parameters["plan"] = []string{dir}
	job := field.Assessment.Terms.Job
	if asked.Job != "" {
		text, err := readText(asked.Job)
		if err != nil {
			return g, err
		}
		if job, err = equip.ParseJob(asked.Job, text); err != nil {
			return g, textError(IsJob, asked.Job, text, err)
		}
		g.Inputs = append(g.Inputs, inputOf("job", asked.Job, text))
	}
	var drives []*ground.Drive
	var ahead []ground.LookAhead
	options := ground.Options{Context: ctx}
	for i := range field.Plan.Layers {
		course, err := courseOf(&field.Plan.Layers[i], job, base)
		if err != nil {
			return g, err
		}
		g.Courses = append(g.Courses, report.Course{Layer: &field.Plan.Layers[i], Course: course})
		d, err := field.Passes(i, course)
		if err != nil {
			return g, err
		}
		drives = append(drives, d)
		tuneDrive(d.Pieces())
		if course.Dead+course.Ramp > 0 {
			if err := r.tell(ctx, Step{Stage: "look-ahead", Done: i, Total: len(field.Plan.Layers)}); err != nil {
				return g, err
			}
			best, err := field.BestAhead(i, course, options)
			if err != nil {
				return g, canceled(ctx, err)
			}
			ahead = append(ahead, best)
		}
	}
	g, err = r.look(ctx, field, drives, g)
	if err != nil {
		return g, err
	}
	for i := range ahead {
		ahead[i].Landed(g.Result)
	}
	g.Ahead = ahead
	return g, nil
}

// course reads what holds for all layers.
func (a PassesAsked) course() (c ground.Course, err error) {
	c.Laps = 1
	if a.Azimuth != "" {
		if c.Azimuth, err = azimuthOf(a.Azimuth); err != nil {
			return c, ofOption(Option{Name: "azimuth"}, err)
		}
	}
	if a.Offset != "" {
		if c.Offset, err = unit.Parse[unit.Length](a.Offset); err != nil {
			return c, &Error{What: "--offset: " + err.Error()}
		}
	}
	if a.Ahead != "" {
		if c.Ahead, err = unit.Parse[unit.Time](a.Ahead); err != nil {
			return c, &Error{What: "--look-ahead: " + err.Error()}
		}
	}
	if a.Laps != "" {
		if c.Laps, err = strconv.Atoi(a.Laps); err != nil || c.Laps < 0 || c.Laps > mostLaps {
			return c, &Error{What: "--headland: " + a.Laps + " is no number of laps", Hint: fmt.Sprintf("give 0 to %d, such as --headland 1", mostLaps)}
		}
	}
	return c, nil
}

// mostLaps bounds the laps around a field.
const mostLaps = 10

// courseOf takes the machine of a layer from the job.
func courseOf(l *rx.Layer, job *equip.Job, c ground.Course) (ground.Course, error) {
	switch {
	case l.Product == rx.Liquid && job != nil && job.Boom != nil:
		c.Width, c.Speed, c.Sections = job.Boom.Width, job.Boom.Speed.Usual, job.Boom.Sections // one rate: nothing changes on the way
	case l.Product == rx.Dry && job != nil && job.Spreader != nil:
		s := job.Spreader
		c.Width, c.Speed, c.Sections = s.Swath, s.Speed.Usual, s.Sections
		// Half of the time nothing shows, then the rate goes evenly to its new value: common
		// practice, no source.
		change := s.RateChange.Or(equip.LongRateChange)
		c.Dead, c.Ramp = change/2, change/2
	default:
		machine := "spreader"
		if l.Product == rx.Liquid {
			machine = "boom"
		}
		return c, &Error{What: "layer " + l.Name + ": no " + machine + " is known, so nobody knows how wide it is driven", Hint: "give a job file that has one, with --job FILE"}
	}
	return c, nil
}

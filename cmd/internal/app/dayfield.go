package app

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
	"rxsplit/rx/equip"
	"rxsplit/rx/split"
)

// dayField is a field on its way into the day. What its file holds is let go where it is much.
type dayField struct {
	shown    report.DayField
	checked  *checked // what it holds; nil where that is let go
	terms    rx.Terms
	bytes    string  // digests of all that was read of it
	cells    []int64 // of its ground; see [cellsOf]
	blend    day.Blend
	grounds  []day.Ground // that get dry with stabilizer on it
	carrier  unit.Mass    // of what is impregnated
	products []product
	ways     []rx.Way // that it may take today: the whole blend at one loading first, if it has a window
	whole    bool     // the first way is that
	way      *rx.Way  // that it takes; nil if none
	shares   bool
	blending unit.Time // that its part of the day's batches takes; 0 if unknown
	more     float64   // that its shared loading costs beyond its own; below 0 where it is less
	amounts  amounts
}

// dayField reads one file and finds what it may take.
func (r Run) dayField(ctx context.Context, file DayFile, q *Request) *dayField {
	path := file.Path
	f := &dayField{shown: report.DayField{Path: path, Shared: -1, DayDiffers: file.DayDiffers}}
	c, err := r.assess(ctx, path, q)
	if err == nil {
		err = c.refuseFile()
	}
	if err == nil {
		_, open, _ := rx.Accept(c.found(), c.given)
		_, err = c.answered()
		if len(open) > 0 {
			doubt := c.refusal(open, c.assessment.Terms.Units)
			doubt.Hint += "; or, if it is meant so, say why in the entry of the field in a day's list" // an answer is for one file, and not for a folder
			err = doubt
		}
	}
	if err != nil {
		return failedField(path, file.DayDiffers, err)
	}
	p, t := c.prescription, c.assessment.Terms
	f.checked, f.terms, f.blend = c, t, day.BlendOf(t, p, f.unnamed(q))
	for _, file := range p.Source.Files {
		f.bytes += file.SHA256
	}
	f.shown.Area, f.shown.Mass, f.carrier = p.DryArea(), p.DryMass(), p.CarrierMass()
	f.cells = cellsOf(p)
	most := unit.Area(0)
	for i, z := range p.Zones {
		if z.Treated() {
			if z.Area > most {
				most, f.shown.Spot = z.Area, p.Place(i)
			}
			f.grounds = append(f.grounds, day.Ground{Area: z.Area, Dry: z.Carrier})
		}
	}
	f.amounts.dry, f.amounts.carrier = dryOf(p, t)
	f.products = productsOf(p)
	f.findWays(c, c.release.Ways())
	f.shown.Ends[0], f.shown.Ends[1] = t.WindowEnds(p, t.RateError)
	return f
}

// failedField is a field that can't be planned, with its reason.
func failedField(path string, differs report.DayDiffers, err error) *dayField {
	return &dayField{shown: report.DayField{Path: path, Blend: -1, Shared: -1, DayDiffers: differs, Err: &InFolder{path, err}, Hint: Explain(err).Hint}}
}

// sameGround reports whether two entries of one file read the same rates on the same ground, whatever they are called.
func sameGround(a, b Values) bool {
	return !slices.ContainsFunc([]string{"layer", "rate-field", keepOutName}, func(name string) bool { return !slices.Equal(a[name], b[name]) })
}

// refuseCopies has fields fail that are copies of others, byte for byte, and go by the same: nobody means to
// spread them twice.
func refuseCopies(fields []*dayField) {
	for i, f := range fields {
		at := slices.IndexFunc(fields[:i], func(o *dayField) bool {
			return f.bytes != "" && o.bytes == f.bytes && o.shown.Job == f.shown.Job && sameGround(o.shown.Values, f.shown.Values)
		})
		if at >= 0 {
			fields[i] = failedField(f.shown.Path, f.shown.DayDiffers, &Error{
				What: fmt.Sprintf("holds the same as field %d, byte for byte", at+1), Hint: "leave one of them out; or say in a list what differs, such as another rate field",
			})
		}
	}
}

// unnamed tells the dry of a field from that of others, where its job names no materials: by the
// job, the analysis that is given of it, and which of several products is impregnated.
func (f *dayField) unnamed(q *Request) string {
	words := slices.Concat(q.Value("analysis"), q.Value("carrier"))
	if f.shown.Job > 0 {
		words = append(words, fmt.Sprintf("in job %d of the list", f.shown.Job))
	}
	return strings.Join(words, " ")
}

// settledByDay are conditions of a way that the day meets by itself: its shared loadings are metered,
// leave room and say what dose they bring, and a plant has a blender.
var settledByDay = []string{"other-dose", "less-room", "not-metered/loading", "equipment/blender"}

// unmet returns a way with the conditions alone that a day does not meet; those of the whole
// blend at its own loading don't count where it gets the day's.
func unmet(w rx.Way, shared bool) rx.Way {
	w.Conditions = slices.DeleteFunc(slices.Clone(w.Conditions), func(c rx.Finding) bool {
		return c.Key() == "equipment/blender" || shared && slices.Contains(settledByDay, c.Key())
	})
	return w
}

// findWays keeps the ways that can be taken without asking anybody, and the reasons of the
// others.
func (f *dayField) findWays(c *checked, ways []rx.Way) {
	t := c.assessment.Terms
	var why []string
	var others []rx.Way
	for _, w := range ways {
		called, _ := equip.WayOf(w.Name)
		if w.SameAs != "" && !called.Whole {
			continue
		}
		w = unmet(w, called.Whole)
		if told := f.barred(w); told != "" {
			if !slices.Contains(why, told) {
				why = append(why, told)
			}
			if called.Whole {
				f.shown.Window, _ = dayWindow(c)
			}
			continue
		}
		ok := w.Possible() && len(w.Conditions) == 0
		if w.Possible() && !ok {
			f.shown.Hint = "the day takes no way that has conditions: once those of one are met, write the field by itself, with rxsplit split"
		}
		switch {
		case called.Whole:
			window, reason := dayWindow(c)
			f.shown.Window = window
			if f.whole = ok && window != nil; f.whole {
				f.ways = append(f.ways, w)
			} else {
				f.shown.Apart = reasonOf(w, reason, t.Units)
				why = append(why, w.Name.Words()+": "+f.shown.Apart)
			}
		case ok && (w.KeepsRates() || !w.NewRates):
			others = append(others, w)
		default:
			why = append(why, w.Name.Words()+": "+reasonOf(w, "", t.Units))
		}
	}
	f.ways = append(f.ways, others...)
	f.shown.Why = why
	if len(f.grounds) == 0 {
		f.shown.Why = []string{"no zone has a dry rate above 0"}
	}
}

// barred says why a field may not take a way, as its entry in the day's list has it; empty where
// it may.
func (f *dayField) barred(w rx.Way) string {
	switch {
	case f.shown.Fixed != "" && f.shown.Fixed != string(w.Name):
		return "the list has the field take " + f.shown.Fixed
	case f.shown.NotByBoom && w.Sprayed > 0:
		return "the list has the field not take the boom"
	}
	return ""
}

// dayWindow is the window of loadings that leave room for the rate error, between graduations of
// a plant's meter; nil, with the reason, where there is none.
func dayWindow(c *checked) (*day.Window, string) {
	t := c.assessment.Terms
	w, why := t.Window(c.prescription, t.RateError)
	if w == nil {
		return nil, why
	}
	if t.Loading > 0 {
		return w, "" // the plant can meter what it has fixed
	}
	if in, ok := t.Inward(*w); ok && in.Min <= in.Max {
		return &in, ""
	}
	low, high := w.Min.Brief(t.Units), w.Max.Brief(t.Units)
	if low == high {
		return nil, "the one loading that would do, " + w.Min.Text(t.Units) + ", is no graduation of a meter"
	}
	return nil, "no graduation of a meter lies between " + low + " and " + high
}

func reasonOf(w rx.Way, reason string, s unit.System) string {
	switch {
	case !w.Possible() && w.Why != "":
		reason = w.Why
	case reason == "" && len(w.Conditions) > 0:
		reason = report.OnlyIf(w, s)
	case reason == "":
		reason = "it asks the agronomist first"
	}
	return reason
}

// spareBoom leaves the boom to the fields that no loading serves, where nobody says what it
// can do in a day and no price weighs it.
func (f *dayField) spareBoom() {
	if f.whole {
		f.ways = slices.DeleteFunc(slices.Clone(f.ways), func(w rx.Way) bool { return w.Sprayed > 0 })
	}
}

// choices says what the field may take and what that costs.
func (f *dayField) choices(priced bool, out float64, fields int, limit dayLimits) day.Field {
	// That those that come first are served comes first, then that as many are as can be, then
	// that it is the larger ones.
	d := day.Field{Blend: f.shown.Blend, Out: out * (1 + float64(1e-3*min(1, float64(f.shown.Area)/1e6)))}
	for range mostPriority - f.shown.Priority {
		d.Out *= float64(fields + 1)
	}
	for _, w := range f.ways {
		cost := passCounts * float64(w.Passes)
		if priced {
			cost = w.Cost.High
		}
		if called, _ := equip.WayOf(w.Name); called.Whole {
			d.Window, d.Shared = f.shown.Window, cost
			continue
		}
		one := day.Choice{Cost: cost, Loadings: len(w.Loads), Boom: float64(w.Sprayed)}
		if !priced {
			one.Cost += float64(boomAcreCounts * one.Boom)
		}
		if limit.boomTime > 0 {
			one.Boom = float64(hoursOf(f.terms, w).Boom)
		}
		d.Others = append(d.Others, one)
	}
	return d
}

// take has the field take what the day gives it.
func (f *dayField) take(choice int) {
	switch {
	case choice == day.LeftOut:
		if len(f.shown.Why) == 0 || len(f.ways) > 0 {
			f.shown.Why = slices.Insert(f.shown.Why, 0, "it does not fit into the boom's day")
		}
		return
	case choice == day.Sharing:
		f.shares, f.way = true, &f.ways[0]
	case f.whole:
		f.way = &f.ways[1+choice]
	default:
		f.way = &f.ways[choice]
	}
	f.shown.Why, f.shown.Hint = nil, ""
	f.shown.Way, f.shown.Rate = f.way.Name, f.way.Rate
	f.amounts.further = f.way.Further
	if f.shares {
		return
	}
	if f.amounts.stabilizer = f.way.Metered; f.amounts.stabilizer == 0 { // no tank or batch is known
		f.amounts.stabilizer = f.way.Stabilizer
	}
	for _, l := range f.way.Loads {
		f.shown.Loadings = append(f.shown.Loadings, l.Loading)
		f.amounts.agent += agentFor(f.terms, unit.Uptake(l.Loading, l.Mass))
	}
}

// cost returns what the field costs, at the loading that it shares; ok is false where no
// price is known.
func (f *dayField) cost() (c report.DayCost, ok bool) {
	if f.way == nil || f.way.Cost == nil {
		return c, false
	}
	return report.DayCost{Low: f.way.Cost.Low + f.more, High: f.way.Cost.High + f.more}, true
}

// at has the field share a loading: what its batches take is more or less than at its own.
func (f *dayField) at(k int, l unit.Loading) {
	f.shown.Shared, f.shown.Loadings = k, []unit.Loading{l}
	volume := unit.Uptake(l, f.carrier)
	f.amounts.stabilizer, f.amounts.agent = volume, agentFor(f.terms, volume)
	area := unit.Area(0)
	for i, g := range f.grounds {
		area += g.Area
		f.shown.Rate.Widen(unit.StabilizerRate(l, g.Dry), i == 0)
	}
	own := f.way.Loads[0]
	shared := own
	shared.Loading = l
	f.more = split.BlendCost(f.terms, shared) - split.BlendCost(f.terms, own)
	f.shown.Mean = unit.LiquidRate(float64(volume) / float64(area))
}

package app

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"sync/atomic"

	"rxsplit/cmd/internal/report"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
)

// DayAsked says what a day is to keep to; what is empty is not known.
type DayAsked struct {
	Boom     string     // most that the boom does in the day: acres, or hours
	Blender  string     // hours that the blender has
	Spreader string     // hours that the spreaders have together
	Change   string     // what a change of loading costs
	Packages []string   // sizes that the stabilizer comes in
	Left     []string   // treated blend that is left over, such as "1.2 ton at 300 fl oz/ton for NAME made 2026-05-01"
	Today    label.Date // by the clock; what the list says goes before it
}

// dayLimits are those of a day, read.
type dayLimits struct {
	limited  bool      // the boom is, to
	boom     unit.Area // or, where this is not known,
	boomTime unit.Time
	blender  unit.Time // 0 for no limit
	spreader unit.Time
	change   unit.Money
	packages []float64 // of the shown unit of packages
}

// Day is a plant's day that was worked out.
type Day struct {
	Shown report.Day

	jobs   []plantJob
	terms  []rx.Terms // of each
	wrong  []error    // of each: why no field can be planned by it
	said   []leftOver
	left   []report.DayLeft // what that holds
	today  label.Date       // that this goes by; empty where it goes by none
	of     []*Request       // of each field
	asked  DayAsked
	limit  dayLimits
	read   []*dayField  // as they are before anybody assigns them
	kept   atomic.Int64 // bytes of what they hold
	fields []*dayField
}

// Day reads files, on all cores, and assigns them: which share a loading of one blend
// and which go another way. A field that fails stands in the result with its reason.
func (r Run) Day(ctx context.Context, list DayList, q *Request, asked DayAsked) (*Day, error) {
	for i, text := range asked.Left {
		l, err := cutLeft(text)
		if err != nil {
			return nil, err
		}
		l.Where = fmt.Sprintf("--left, number %d", i+1)
		list.Left = append(list.Left, l)
	}
	return r.day(ctx, list, q.jobsOf(&list), asked)
}

// day does it where the jobs are read; the first is the day's own.
func (r Run) day(ctx context.Context, list DayList, jobs []plantJob, asked DayAsked) (*Day, error) {
	files := list.Fields
	if len(files) > mostFields {
		return nil, &Error{What: fmt.Sprintf("%d fields are too many for one day", len(files)), Hint: fmt.Sprintf("plan at most %d together: those that are blended on one day", mostFields)}
	}
	d := &Day{jobs: jobs, said: list.Left, asked: asked, terms: make([]rx.Terms, len(jobs)), wrong: make([]error, len(jobs))}
	for i, j := range jobs {
		if d.terms[i], d.wrong[i] = j.terms(); i == 0 && d.wrong[i] != nil {
			return nil, d.wrong[i]
		}
	}
	var err error
	if d.limit, err = asked.limits(d.terms[0].Units); err != nil {
		return nil, err
	}
	d.today = list.Date
	d.readLeft(list, cmp.Or(list.Date, asked.Today))
	of, paths := make([]*Request, len(files)), make([]string, len(files))
	for i, f := range files {
		of[i], paths[i] = jobs[max(0, f.Job)].request.with(f), f.Path
	}
	fields := make([]*dayField, len(files))
	one := r.quiet()
	rows := inOrder(ctx, paths, func(i int) *dayField {
		if wrong := cmp.Or(files[i].wrong, d.wrong[max(0, files[i].Job)]); wrong != nil {
			f := failedField(paths[i], files[i].DayDiffers, wrong)
			f.shown.Refused = files[i].refused
			return f
		}
		return d.keep(one.dayField(ctx, files[i], of[i]))
	})
	for i, row := range rows {
		if err := r.tell(ctx, Step{"files", i, len(files)}); err != nil {
			return nil, err
		}
		select {
		case fields[i] = <-row:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	refuseCopies(fields)
	d.of, d.read = of, fields
	d.plan()
	return d, nil
}

// plan assigns the fields, as they were read.
func (d *Day) plan() {
	d.fields = make([]*dayField, len(d.read))
	for i, f := range d.read {
		one := *f
		d.fields[i] = &one
	}
	d.Shown = assign(d.terms[0], d.fields, d.limit)
	d.Shown.Date, d.Shown.Left = d.today, d.offered()
	runs(&d.Shown, d.fields)
	d.Shown.Asks = append(d.Shown.Asks, onSameGround(d.fields)...)
	d.lessen()
	hours(&d.Shown, d.fields, d.limit)
	d.Shown.Orders = orders(d.Shown.Units, d.Shown, d.fields, d.limit)
}

// once leaves out files that are named again.
func once(files []string) (list []string) {
	seen := map[string]bool{}
	for _, f := range files {
		if c := filepath.Clean(f); !seen[c] {
			seen[c], list = true, append(list, f)
		}
	}
	return list
}

func (a DayAsked) limits(s unit.System) (l dayLimits, err error) {
	wrong := func(flag string, err error) error { return &Error{What: "--" + flag + ": " + err.Error()} }
	if l.limited = a.Boom != ""; l.limited {
		if l.boom, err = unit.Parse[unit.Area](a.Boom); err != nil {
			var other error
			if l.boomTime, other = unit.Parse[unit.Time](a.Boom); other != nil || l.boomTime <= 0 {
				return l, wrong("boom-day", fmt.Errorf("%w; or hours such as \"8 h\"", err))
			}
		}
	}
	for _, one := range []struct {
		flag, text string
		into       *unit.Time
	}{{"blender-day", a.Blender, &l.blender}, {"spreader-day", a.Spreader, &l.spreader}} {
		if one.text == "" {
			continue
		}
		if *one.into, err = unit.Parse[unit.Time](one.text); err == nil && *one.into <= 0 {
			err = fmt.Errorf("%q leaves no time", one.text)
		}
		if err != nil {
			return l, wrong(one.flag, err)
		}
	}
	if a.Change != "" {
		if l.change, err = unit.Parse[unit.Money](a.Change); err != nil {
			return l, wrong("change-over", err)
		}
	}
	for _, text := range a.Packages {
		size, err := unit.Parse[unit.Volume](text)
		if err == nil && size <= 0 {
			err = fmt.Errorf("%q is no size of a package", text)
		}
		if err != nil {
			return l, wrong("package", err)
		}
		amount, _ := packed(size, s)
		l.packages = append(l.packages, amount)
	}
	if len(l.packages) > day.MostSizes {
		return l, &Error{What: fmt.Sprintf("--package: %d sizes are given", len(l.packages)), Hint: fmt.Sprintf("give %d at most: those that are ordered", day.MostSizes)}
	}
	return l, nil
}

// packed returns a volume in the unit that packages are told in.
func packed(v unit.Volume, s unit.System) (float64, string) {
	if s == unit.Metric {
		return float64(v / unit.Liter), "L"
	}
	return float64(v / unit.Gallon), "gal"
}

// Costs that stand for an order among days where prices are missing: a loading counts 1, and
// fewer passes and fewer acres of the boom settle what is equal.
const (
	loadingCounts  = 1
	passCounts     = 1e-5
	boomAcreCounts = 1e-7
)

// assign works out the day.
func assign(t rx.Terms, fields []*dayField, limit dayLimits) report.Day {
	missing, priced := pricesOf(fields)
	blends := blendsOf(fields)
	if !priced && !limit.limited {
		for _, f := range fields {
			f.spareBoom()
		}
	}
	task := day.Task{Opened: loadingCounts, Boom: math.Inf(1)}
	if priced {
		task.Opened = max(0.01, float64(limit.change)) // of equal days, that of the fewest loadings
	}
	if limit.limited {
		task.Boom = cmp.Or(float64(limit.boomTime), float64(limit.boom))
	}
	out := outCost(fields, task.Opened, priced)
	var taking []*dayField
	for _, f := range fields {
		if f.shown.Err == nil {
			taking = append(taking, f)
			task.Fields = append(task.Fields, f.choices(priced, out, len(fields), limit))
		}
	}
	a := day.Assign(task)
	d := report.Day{Units: t.Units, Opened: a.Opened, Gap: a.Gap(), Missing: missing, Blends: blends}
	for i, f := range taking {
		f.take(a.Takes[i])
		d.Intended.Widen(f.terms.Intended, i == 0)
		d.RateError.Widen(f.terms.RateError, i == 0)
	}
	for k := range blends {
		var windows []day.Window
		for _, f := range taking {
			if f.shown.Blend == k && f.shown.Window != nil {
				windows = append(windows, *f.shown.Window)
			}
		}
		d.Fewest += len(day.Fewest(windows))
		d.Loadings = append(d.Loadings, place(k, len(d.Loadings), fields)...)
	}
	for _, f := range fields {
		if c, ok := f.cost(); ok {
			f.shown.Cost = &c.High
		}
		d.Fields = append(d.Fields, f.shown)
	}
	if priced {
		d.Cost = costOf(fields, float64(limit.change)*float64(a.Opened))
	}
	return d
}

// pricesOf lists the prices that are missing for the ways that fields may take; priced is
// false where they can't be compared by cost.
func pricesOf(fields []*dayField) (missing []string, priced bool) {
	var ways []rx.Way
	for _, f := range fields {
		ways = append(ways, f.ways...)
	}
	missing, priced = rx.Unpriced(ways)
	return missing, priced && len(ways) > 0
}

// outCost is more than all fields can cost together.
func outCost(fields []*dayField, opened float64, priced bool) float64 {
	sum := 1.0
	for _, f := range fields {
		most := opened
		for _, w := range f.ways {
			cost := float64(opened*float64(len(w.Loads))) + 1
			if priced {
				cost += w.Cost.High
			}
			most = max(most, cost)
		}
		sum += most
	}
	return sum
}

// blendsOf numbers the blends of fields, in the order of the fields.
func blendsOf(fields []*dayField) (list []day.Blend) {
	for _, f := range fields {
		if f.shown.Err != nil {
			continue
		}
		if f.shown.Blend = slices.IndexFunc(list, f.blend.Same); f.shown.Blend < 0 {
			f.shown.Blend, list = len(list), append(list, f.blend)
		}
	}
	return list
}

// place lays the loadings of the fields of one blend that share; there are already loadings before
// them.
func place(blend, before int, fields []*dayField) []report.DayLoading {
	var sharing []int
	var dosed []day.Dosed
	var windows []day.Window
	for i, f := range fields {
		if f.shares && f.shown.Blend == blend {
			sharing, windows = append(sharing, i), append(windows, *f.shown.Window)
			dosed = append(dosed, day.Dosed{Window: *f.shown.Window, Grounds: f.grounds, Intended: f.terms.Intended})
		}
	}
	p, _ := day.Place(dosed, len(day.Fewest(windows)))
	list := make([]report.DayLoading, len(p.Loadings))
	for k, l := range p.Loadings {
		common := day.Window{Max: unit.Loading(math.Inf(1))}
		for j, of := range p.Of {
			if of == k {
				common = day.Common(common, windows[j])
			}
		}
		list[k] = report.DayLoading{Blend: blend, Value: fields[sharing[0]].terms.RoundLoading(l, &common)}
		if !day.Holds(common, list[k].Value) {
			list[k].Value = l
		}
	}
	for j, i := range sharing {
		l := &list[p.Of[j]]
		l.Fields, l.Mass = append(l.Fields, i), l.Mass+fields[i].carrier
		fields[i].at(before+p.Of[j], l.Value)
	}
	return list
}

// costOf adds up the costs of the ways and of changing over.
func costOf(fields []*dayField, changes float64) *report.DayCost {
	c := &report.DayCost{Low: changes, High: changes}
	for _, f := range fields {
		if one, ok := f.cost(); ok {
			c.Low, c.High = c.Low+one.Low, c.High+one.High
		}
	}
	return c
}

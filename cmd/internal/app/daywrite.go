package app

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/page"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/write"
)

// The files that hold a plant's day, and tell it as text.
const (
	dayName = "day.json"
	dayText = "day.txt"
)

// WriteDay writes a day into a folder, all or nothing: under a name for each field that is
// served the plan as [Run.Split] writes it, at the day's loading where the field shares one,
// and the day itself as JSON, text and page. The day then shows what the plans' sheets dose.
//
// A field whose plan can't be worked out any more, as its file has changed, say, doesn't end the
// day: it stands in the list with its reason, and the others are planned and written without it.
//
// With force it replaces a whole day that stands there, if nothing else lies in it and nobody
// has approved a plan of it.
func (r Run) WriteDay(ctx context.Context, dir string, d *Day, force bool) error {
	var inputs []string
	for _, j := range d.jobs {
		q := j.request
		inputs = append(append(inputs, q.furtherPaths()...), q.values.one(keepOutName), q.label.path, q.job.path)
	}
	for i, f := range d.fields {
		inputs = append(inputs, f.shown.Path, d.of[i].keepOut())
	}
	if err := outsideOf(dir, inputs...); err != nil {
		return err
	}
	if !force && isDay(dir) {
		return &Error{What: report.Name(dir) + ": is there already", Hint: "choose a new folder with --out, or replace the day in it with --force"}
	}
	for {
		err := r.writeDay(ctx, dir, d, force)
		var refused *write.PlansError
		if !errors.As(err, &refused) {
			return err
		}
		if err := d.without(refused); err != nil {
			return err
		}
	}
}

// without plans the day anew, without the fields whose plans were refused.
func (d *Day) without(refused *write.PlansError) error {
	var why []error
	for k, i := range newDayPlans(d).fields {
		if err := refused.Of[k]; err != nil {
			d.read[i] = failedField(d.read[i].shown.Path, d.read[i].shown.DayDiffers, err)
			d.read[i].shown.Refused = true
			why = append(why, d.read[i].shown.Err)
		}
	}
	d.plan()
	if len(newDayPlans(d).fields) == 0 {
		return errors.Join(why...)
	}
	return nil
}

// writeDay writes the day as it is planned.
func (r Run) writeDay(ctx context.Context, dir string, d *Day, force bool) error {
	if err := d.name(); err != nil {
		return err
	}
	seen, plans := d.seenFrom(dir), newDayPlans(d)
	folder := write.Folder{Dir: dir, Context: ctx, Manifest: dayName}
	if force {
		folder.Whole = wholeDay
	}
	for _, i := range plans.fields {
		f, name := d.fields[i], d.Shown.Fields[i].Folder
		folder.Plans = append(folder.Plans, write.Nested{Name: name, Job: func() (write.Job, error) {
			c, err := r.quiet().again(ctx, f, d.requestOf(i))
			if err != nil {
				return write.Job{}, err
			}
			result, job, err := r.quiet().worked(ctx, c, f.way.Name, Target{Dir: filepath.Join(dir, name)})
			if err != nil {
				return job, err
			}
			return job, plans.add(ctx, r, i, result)
		}})
	}
	if err := canceled(ctx, d.files(&folder, &seen, plans).Write()); err != nil {
		return err
	}
	d.Shown.Written, d.Shown.Orders, d.Shown.Cost = true, seen.Orders, seen.Cost
	for i, f := range seen.Fields {
		d.Shown.Fields[i].Cost = f.Cost
	}
	return nil
}

// name gives each field that is served a folder.
func (d *Day) name() error {
	digits, served := max(2, len(strconv.Itoa(len(d.Shown.Fields)))), false
	for i := range d.Shown.Fields {
		f := &d.Shown.Fields[i]
		if f.Served() {
			f.Folder, served = fmt.Sprintf("%0*d-%s", digits, i+1, folderName(f.Path)), true
		}
	}
	if !served {
		return d.noneServed()
	}
	return nil
}

// noneServed says of the first fields why none is served.
func (d *Day) noneServed() error {
	const most = 5
	e := &Error{What: "no field is served, so there is nothing to write", Hint: "see all of the day, with what to do about each, without --out"}
	for _, f := range d.Shown.Fields[:min(most, len(d.Shown.Fields))] {
		if f.Err != nil {
			e.What += "\n" + f.Err.Error()
		} else {
			e.What += "\n" + f.Path + ": " + strings.Join(f.Why, "; ")
		}
	}
	if more := len(d.Shown.Fields) - most; more > 0 {
		e.What += fmt.Sprintf("\nand %d more", more)
	}
	return e
}

// folderName is a file's name as every system takes it for a folder.
func folderName(path string) string {
	const most = 40
	name := []rune(strings.TrimSuffix(filepath.Base(path), filepath.Ext(path)))
	for i, c := range name {
		if !strings.ContainsRune("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-", c) {
			name[i] = '-'
		}
	}
	return string(name[:min(most, len(name))])
}

// requestOf is what a field is split by.
func (d *Day) requestOf(i int) *Request {
	q := *d.of[i]
	q.values = maps.Clone(q.values)
	f := d.Shown.Fields[i]
	q.values[wayName] = []string{string(f.Way)}
	if run := runOf(d.Shown.Runs, i); run != "" {
		q.values[dayRunName] = []string{run}
	}
	if d.today != "" {
		q.values[dateName] = []string{string(d.today)}
	}
	if f.Shared < 0 {
		return &q
	}
	text := func(l unit.Loading) string {
		return strconv.FormatFloat(l.In(d.Shown.Units), 'g', -1, 64) + " " + unit.Symbol[unit.Loading](d.Shown.Units)
	}
	q.values[loadingName] = []string{text(d.Shown.Loadings[f.Shared].Value)}
	for _, l := range d.leftLots(i) {
		if said := text(l.Lands()); math.Abs(float64(l.Lands()/d.Shown.Loadings[f.Shared].Value-1)) > sameDose && !slices.Contains(q.values[dayLeftName], said) {
			q.values[dayLeftName] = append(q.values[dayLeftName], said)
		}
	}
	return &q
}

// sameDose is how far apart loadings may be to count as one: less than a meter of liquid reads.
const sameDose = 1e-3

// leftLots lists the lots of left-over blend that a field gets.
func (d *Day) leftLots(i int) (list []rx.Lot) {
	for _, r := range d.Shown.Runs {
		for _, l := range r.Lots {
			if l.Left != nil && l.Fields[0] == i {
				list = append(list, l)
			}
		}
	}
	return list
}

// runOf names the run in which a field's blend is made with that of others, or with left-over blend; nothing where its
// own cards say all of it.
func runOf(runs []rx.Run, i int) string {
	blended, by := false, ""
	for n, r := range runs {
		for _, l := range r.Lots {
			if !slices.Contains(l.Fields, i) {
				continue
			}
			if blended = blended || !l.AsIs(); len(l.Fields) > 1 || l.Left != nil {
				by = fmt.Sprintf("run %d", n+1)
			}
		}
	}
	if by != "" && !blended {
		return equip.NoRun
	}
	return by
}

// seenFrom is the day with its files named as a folder sees them.
func (d *Day) seenFrom(dir string) report.Day {
	seen := d.Shown
	seen.Written, seen.Fields = true, slices.Clone(seen.Fields)
	for i := range seen.Fields {
		f := &seen.Fields[i]
		path := relativePath(dir, f.Path)
		if failed, ok := f.Err.(*InFolder); ok {
			f.Err = &InFolder{path, failed.Err}
		}
		f.Path, f.Inputs = path, d.of[i].inputsFrom(dir)
	}
	return seen
}

// dayPlans are the plans of a day, as far as the day's own files tell of them.
type dayPlans struct {
	fields []int // that have one
	mu     sync.Mutex
	done   int
	takes  map[int]taken
	small  map[int]page.Small
}

func newDayPlans(d *Day) *dayPlans {
	p := &dayPlans{takes: map[int]taken{}, small: map[int]page.Small{}}
	for i, f := range d.Shown.Fields {
		if f.Served() {
			p.fields = append(p.fields, i)
		}
	}
	return p
}

// add takes note of a field's plan, lets go of it, and tells how many there are: several are
// worked out at a time, and one tells at a time.
func (p *dayPlans) add(ctx context.Context, r Run, i int, result report.Result) error {
	small, takes := page.SmallOf(result), takenBy(result)
	p.mu.Lock()
	defer p.mu.Unlock()
	p.takes[i], p.small[i] = takes, small
	p.done++
	return r.tell(ctx, Step{"write", p.done, len(p.fields)})
}

// files are those of a day beside its plans. They are made once the plans are.
func (d *Day) files(folder *write.Folder, seen *report.Day, plans *dayPlans) *write.Folder {
	settle := sync.OnceFunc(func() { d.settle(seen, plans) })
	add := func(name string, render func(w io.Writer) error) {
		folder.Files = append(folder.Files, write.Extra{Name: name, Render: func(w io.Writer) error { settle(); return render(w) }})
	}
	add(dayText, func(w io.Writer) error { return text.Day(w, *seen) })
	add("cards.txt", func(w io.Writer) error { return text.Sheets(w, seen.Cards) })
	add("day.html", func(w io.Writer) error { return page.Day(w, *seen, Version, plans.small) })
	folder.List = func(files []write.FileSum, self string) ([]byte, error) {
		parameters, err1 := d.jobs[0].request.parameters()
		jobs, err2 := d.keptJobs()
		var left []data.DayLeftOver
		for _, l := range d.said {
			if l.Job == noJobRead {
				l.Wrong = l.wrong.Error()
			}
			left = append(left, l.DayLeftOver)
		}
		text, err3 := data.DayManifest(*seen, data.DayMade{
			Version: Version, Parameters: parameters, Jobs: jobs, Boom: d.asked.Boom, Blender: d.asked.Blender, Spreader: d.asked.Spreader, Change: d.asked.Change, Packages: d.asked.Packages, Date: d.today, LeftOver: left, Files: files, Self: self,
		})
		return text, errors.Join(err1, err2, err3)
	}
	return folder
}

// settle has a day order and cost what the plans' sheets say.
func (d *Day) settle(seen *report.Day, plans *dayPlans) {
	for i, takes := range plans.takes {
		f := d.fields[i]
		f.amounts, f.way, f.more = takes.amounts, &takes.way, 0
		if c, ok := f.cost(); ok {
			seen.Fields[i].Cost = &c.High
		}
	}
	d.pooled(plans)
	seen.Orders = orders(seen.Units, *seen, d.fields, d.limit)
	seen.Cards = dayCards(*seen)
	if seen.Cost != nil {
		seen.Cost = costOf(d.fields, float64(d.limit.change)*float64(seen.Opened))
	}
}

// taken is the way of a field's plan, and what its sheets weigh and meter.
type taken struct {
	way     rx.Way
	amounts amounts
	exact   []dryAmount // before batches are rounded
}

func takenBy(r report.Result) taken {
	t, w := r.Assessment.Terms, r.Plan.Way
	exact, carrier := dryOf(r.Prescription, t)
	a := amounts{dry: slices.Clone(exact), carrier: carrier, stabilizer: cmp.Or(w.Metered, w.Stabilizer), further: slices.Clone(w.Further)}
	for i := range a.further {
		a.further[i].Volume = cmp.Or(a.further[i].Metered, a.further[i].Volume)
	}
	for _, l := range w.Loads {
		_, batch, ok := t.Batches(l)
		if !ok {
			a.agent += agentFor(t, unit.Uptake(l.Loading, l.Mass))
			continue
		}
		a.weighed(l, batch.Total())
	}
	return taken{w, a, exact}
}

// weighed adds the drying agent of all batches of a load, and what the steps of a scale make of
// its dry.
func (a *amounts) weighed(l rx.Load, all rx.Portion) {
	a.agent += all.AgentInAll()
	if a.carrier != "" {
		a.correct(a.carrier, all.Dry-l.Mass)
		return
	}
	for k, m := range l.Materials {
		a.correct(m.Name, all.Materials[k]-unit.Mass(l.Mass*unit.Mass(m.Share)))
	}
}

// correct adds to a dry product what the steps of a scale make of it.
func (a *amounts) correct(name string, more unit.Mass) {
	for i := range a.dry {
		if a.dry[i].name == name {
			a.dry[i].mass += more
		}
	}
}

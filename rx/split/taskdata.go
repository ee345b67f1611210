package split

import (
	"cmp"
	"fmt"
	"math"

	"rxsplit/geo/raster"
	"rxsplit/geo/taskdata"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// usualCell is the side of a cell where nobody says it: finer than a boom or a spreader
// changes its rate, and fine enough that the acres of zones hold (common practice, no
// source).
const usualCell = 5 * unit.Meter

// mostTaskCells is how many columns and rows of a grid every terminal that is certified
// for prescriptions must take.
const mostTaskCells = 350

// TaskError says why a plan can't be written as task data, and what to do next.
type TaskError struct{ Why, Hint string }

func (e *TaskError) Error() string { return "task data: " + e.Why }

// TaskData lays the layers of a plan out as tasks for terminals of ISO 11783-10. The error
// is a [*TaskError].
func (t *Task) TaskData(plan *rx.Plan, want rx.TaskRequest) (*rx.TaskData, error) {
	b := &tasks{Task: t, plan: plan, out: &rx.TaskData{Request: want}}
	if err := b.allowed(); err != nil {
		return nil, err
	}
	if err := b.ground(); err != nil {
		return nil, err
	}
	for i := range plan.Layers {
		products, err := b.products(i)
		if err != nil {
			return nil, err
		}
		b.add(&plan.Layers[i], products)
	}
	if want.Form != rx.TaskPolygons {
		if err := b.cells(); err != nil {
			return nil, err
		}
		b.total()
	}
	return b.out, b.fits()
}

// ground is what the tasks say of the field.
func (b *tasks) ground() error {
	if job := b.terms.Job; job != nil {
		b.out.Grower, b.out.Field = job.Customer, job.Field
	}
	b.out.Field = cmp.Or(b.out.Field, b.p.Source.Layer, b.p.Source.Name)
	outline, err := fieldOutline(b.p)
	if err != nil {
		return &TaskError{"the outline of the field can't be made: " + err.Error(), "repair the polygon where it was drawn"}
	}
	b.out.Ground, b.out.Area = outline.Polygons, outline.Area
	return nil
}

// fits makes sure that the codes of a task are enough.
func (b *tasks) fits() error {
	for i := range b.out.Tasks {
		t := &b.out.Tasks[i]
		switch b.out.Request.Form {
		case rx.CodeGrid:
			if n := len(t.Codes(b.out.Strips != nil)); n > rx.MostCodes {
				return &TaskError{fmt.Sprintf("a grid of type 1 has %d rates at most, and %s has %d", rx.MostCodes, t.Name, n), "take --grid-type 2"}
			}
		case rx.TaskPolygons:
			if n := len(t.Products[0].Parts(b.p, b.plan)); n >= rx.MostCodes {
				return &TaskError{fmt.Sprintf("a task has %d polygons at most, and %s has %d", rx.MostCodes-1, t.Name, n), "take a grid: leave out --polygons"}
			}
		}
	}
	return nil
}

// tasks lays out one plan.
type tasks struct {
	*Task
	plan *rx.Plan
	out  *rx.TaskData
}

// allowed refuses what would run wrong.
func (b *tasks) allowed() error {
	want := b.out.Request
	switch {
	case want.OneTask && want.Form == rx.TaskPolygons:
		return &TaskError{"the products of one task have one set of polygons, and these have not", "leave out --polygons, or --one-task"}
	case want.OneTask && len(b.plan.Layers) > 1 && b.plan.Way.Passes > 1:
		return &TaskError{fmt.Sprintf("this way takes %d passes, and one task is one pass", b.plan.Way.Passes), "leave out --one-task"}
	}
	for _, l := range b.plan.Layers {
		if l.Product == rx.Liquid && !(l.Mix > 0) {
			return &TaskError{"a boom meters the whole mix, and nobody knows how much of it", "give the boom's volume in the job file"}
		}
	}
	return nil
}

// products lists what a layer applies: its blend, each of several products side by side,
// or its mix.
func (b *tasks) products(layer int) ([]rx.TaskProduct, error) {
	l := &b.plan.Layers[layer]
	if l.Product == rx.Liquid {
		one, err := b.mix(layer, l)
		return []rx.TaskProduct{one}, err
	}
	if !l.SideBySide() {
		one, err := b.dry(layer, -1, l.Treated)
		one.Drawn = rx.Laid{Area: l.Area, Mass: l.Mass}
		return []rx.TaskProduct{one}, err
	}
	var list []rx.TaskProduct
	for k := range l.Columns {
		s := l.Columns[k].Spread
		one, err := b.dry(layer, k, s.Treated)
		if err != nil {
			return nil, err
		}
		one.Drawn = rx.Laid{Area: s.Area, Mass: s.Mass}
		list = append(list, one)
	}
	return list, nil
}

// dry is the blend of a layer, or one of its columns. What is treated stays inside the
// rates that its label allows, and out of keep-outs; ground where the season has no room for the
// stabilizer gets what is without it.
func (b *tasks) dry(layer, column int, treated bool) (rx.TaskProduct, error) {
	l := &b.plan.Layers[layer]
	keepOuts, _ := b.terms.KeptBy()
	one := rx.TaskProduct{Layer: layer, Name: "Dry blend", Counts: make([]int32, len(b.p.Zones)), Treated: treated, Avoids: treated && (keepOuts || l.Loading > 0)}
	if column >= 0 {
		one.Name = b.columnName(l.Columns[column].Field)
	}
	within := rx.Range[unit.DryRate]{Max: unit.DryRate(math.Inf(1))}
	if treated {
		one.Name += ", treated"
		load := l.Load(0, l.Dry, nil)
		if w, why := b.terms.For(load).DryWindow(load.Loadings()...); why == "" && w.Max > 0 {
			within = w
		}
	}
	for z := range b.p.Zones {
		r := l.DryRate(b.p, z)
		if column >= 0 {
			r = l.Columns[column].Rate(b.p, z)
		}
		if math.IsNaN(float64(r)) {
			continue // a zone without a rate gets nothing
		}
		n, err := taskdata.MassCount(r, within.Min, within.Max)
		if err != nil {
			return one, &TaskError{fmt.Sprintf("zone %d: %v", b.p.Zones[z].Number(), err), "correct the rate where the prescription was made"}
		}
		one.Counts[z] = n
	}
	return one, nil
}

// columnName is the name of the column that holds the product of a field.
func (b *tasks) columnName(field int) string {
	list := b.p.DryColumns() // one a field, behind that of all together
	return list[len(list)-len(b.p.Fields)+field].Name
}

// mix is what a boom sprays: the whole mix, at the rate that keeps every liquid in it on
// its label.
func (b *tasks) mix(layer int, l *rx.Layer) (rx.TaskProduct, error) {
	one := rx.TaskProduct{Layer: layer, Name: "Liquid mix", Liquid: true, Counts: make([]int32, len(b.p.Zones)), Avoids: true}
	one.Drawn = rx.Laid{Area: l.Area, Volume: unit.VolumeOver(l.Mix, l.Area)}
	within := b.mixRange(l)
	n, err := taskdata.VolumeCount(l.Mix, within.Min, within.Max)
	if err != nil {
		return one, &TaskError{err.Error(), "correct the boom's volume in the job file"}
	}
	for z := range b.p.Zones {
		if b.plan.Stabilizer[z] > 0 {
			one.Counts[z] = n
		}
	}
	return one, nil
}

// mixRange is the volumes of mix that keep all that is in the tank on label.
func (b *tasks) mixRange(l *rx.Layer) rx.Range[unit.LiquidRate] {
	within := rx.Range[unit.LiquidRate]{Max: unit.LiquidRate(math.Inf(1))}
	narrow := func(r rx.Range[unit.LiquidRate], own unit.LiquidRate) {
		if times := l.Mix / own; own > 0 && r.Contains(own) {
			within.Min, within.Max = max(within.Min, r.Min*times), min(within.Max, r.Max*times)
		}
	}
	pass, _ := b.terms.PassRange()
	narrow(pass, l.Rate)
	for _, f := range l.Further {
		for _, liquid := range b.terms.Further {
			if liquid.Name == f.Name {
				own, _ := b.terms.Pass(liquid)
				narrow(own, f.Rate)
			}
		}
	}
	if v, ok := b.terms.Label.SprayVolume.Get(); ok {
		narrow(rx.Range[unit.LiquidRate](v), l.Mix)
	}
	return within
}

// add makes a task of a layer's products, or puts them into the one task.
func (b *tasks) add(l *rx.Layer, products []rx.TaskProduct) {
	if b.out.Request.OneTask && len(b.out.Tasks) > 0 {
		first := &b.out.Tasks[0]
		first.Name += " + " + l.Name
		first.Products = append(first.Products, products...)
		return
	}
	if l.SideBySide() && !b.out.Request.OneTask { // a task a product: one channel is all that is sure
		for _, one := range products {
			b.out.Tasks = append(b.out.Tasks, rx.TaskLayers{Name: l.Name + ": " + one.Name, Products: []rx.TaskProduct{one}})
		}
		return
	}
	b.out.Tasks = append(b.out.Tasks, rx.TaskLayers{Name: b.named(l), Products: products})
}

// named is a task's name: of a liquid the stabilizer's share in the mix, of a treated load
// its loading.
func (b *tasks) named(l *rx.Layer) string {
	s := b.terms.Units
	per, symbol := unit.SprayVolumeUnit(s)
	switch {
	case b.out.Request.OneTask:
		return l.Name
	case l.Product == rx.Liquid:
		return fmt.Sprintf("%s in %s %s", l.Rate.Brief(s), unit.Digits(float64(l.Mix/per), 4), symbol)
	case l.Treated && l.Loading > 0:
		return l.Name + ": " + l.Loading.Brief(s)
	case l.Treated:
		return l.Name + ": treated"
	}
	return l.Name + ": untreated"
}

// cells lays the zones on the grid.
func (b *tasks) cells() error {
	t := b.out
	box := b.p.LonLat.Extent()
	if t.Cell = t.Request.Cell; t.Cell == 0 {
		t.Cell = cellFor(box)
	}
	grid, err := raster.Cover(box, t.Cell, func(place, size float64) (float64, float64) {
		return taskdata.Decimals(place, 9), taskdata.Decimals(size, 12)
	})
	if err != nil {
		return &TaskError{err.Error(), "give larger cells with --cell, or a smaller field"}
	}
	t.Grid = grid
	shapes := b.p.Grounds()
	t.Owner = grid.Owners(shapes)
	b.edge(shapes)
	if len(b.keepOut) > 0 {
		t.Kept = grid.Touched(b.keepOut)
	}
	if s := b.plan.Strips; s != nil {
		t.Strips = grid.Inside(shells(s.Grounds()))
	}
	return nil
}

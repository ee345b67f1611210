package write

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"rxsplit/geo/taskdata"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// The codes of the zones of a task with a grid of type 2, and of nothing in any task.
const (
	offZone  = 0
	gridZone = 1
)

// taskFiles are the files of a plan's task data, by their names in its folder.
func taskFiles(job Job) taskdata.Files {
	if job.Plan.TaskData == nil {
		return nil
	}
	set := taskSet(job.Prescription, job.Plan, job.Units)
	set.Maker, set.MakerVersion = job.Manifest.Tool.Name, job.Manifest.Tool.Version
	return taskdata.Encode(set)
}

// taskTasks make the files of a plan's task data.
func taskTasks(job Job) (list []task) {
	files := taskFiles(job)
	for _, name := range sortedNames(files) {
		list = append(list, one(taskdata.Folder+"/"+name, func(w io.Writer) error { _, err := w.Write(files[name]); return err }))
	}
	return list
}

func sortedNames(files taskdata.Files) (names []string) {
	for name := range files {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// taskSet is the task data of a plan. Products that the tasks share are named once.
func taskSet(p *rx.Prescription, plan *rx.Plan, units unit.System) *taskdata.Set {
	t := plan.TaskData
	set := &taskdata.Set{
		Grower: t.Grower,
		Fields: []taskdata.Field{{ID: "PFD1", Name: taskdata.Text(t.Field), Area: t.Area, Boundary: rounded(t.Ground)}},
		Shown:  presentations(units),
	}
	for i := range t.Tasks {
		b := builder{set: set, p: p, plan: plan, t: t, own: &t.Tasks[i]}
		set.Tasks = append(set.Tasks, b.task(i))
	}
	return set
}

// presentations say how rates are shown in the user's units: one count of each times a factor.
func presentations(units unit.System) []taskdata.Presentation {
	if units == unit.Metric {
		return []taskdata.Presentation{{ID: "VPN1", Scale: "0.01", Decimals: 1, Unit: "kg/ha"}, {ID: "VPN2", Scale: "0.0001", Decimals: 1, Unit: "L/ha"}}
	}
	return []taskdata.Presentation{{ID: "VPN1", Scale: "0.008921791", Decimals: 1, Unit: "lb/ac"}, {ID: "VPN2", Scale: "0.00001069066699", Decimals: 2, Unit: "gal/ac"}}
}

// builder makes one task.
type builder struct {
	set  *taskdata.Set
	p    *rx.Prescription
	plan *rx.Plan
	t    *rx.TaskData
	own  *rx.TaskLayers
}

func (b *builder) task(i int) taskdata.Task {
	number := fmt.Sprint(i + 1)
	task := taskdata.Task{ID: "TSK" + number, Name: b.own.Name, Field: "PFD1", Status: 1, Default: offZone, Lost: offZone, Outside: offZone}
	values := b.values()
	task.Zones = []taskdata.Zone{{Code: offZone, Name: "off", Values: values}}
	switch b.t.Request.Form {
	case rx.TaskPolygons:
		b.polygons(&task, values[0])
	case rx.CodeGrid:
		b.codes(&task, values, number)
	default:
		b.rates(&task, values, number)
	}
	b.hold(&task, values)
	return task
}

// hold has a liquid go on where the position is lost, if that is asked for: its zone has
// its rate, and nothing of what is dry.
func (b *builder) hold(task *taskdata.Task, values []taskdata.Value) {
	if !b.t.Request.Hold || !slices.ContainsFunc(b.own.Products, func(p rx.TaskProduct) bool { return p.Liquid }) {
		return
	}
	held := slices.Clone(values)
	for k, one := range b.own.Products {
		if one.Liquid {
			held[k].Count = slices.Max(one.Counts)
		}
	}
	code := 0
	for _, z := range task.Zones {
		code = max(code, z.Code+1)
	}
	if code < rx.MostCodes {
		task.Zones = append(task.Zones, taskdata.Zone{Code: code, Name: "position lost", Values: held})
		task.Lost = code
	}
}

// values are those of nothing: each product with its dictionary entry.
func (b *builder) values() (list []taskdata.Value) {
	for _, one := range b.own.Products {
		v := taskdata.Value{DDI: taskdata.SetpointMassPerArea, Shown: "VPN1"}
		amount := taskdata.MassContent
		if one.Liquid {
			v.DDI, v.Shown, amount = taskdata.SetpointVolumePerArea, "VPN2", taskdata.VolumeContent
		}
		v.Product = b.product(b.productName(&one), amount)
		list = append(list, v)
	}
	return list
}

// productName tells treated loads apart: each is another product.
func (b *builder) productName(one *rx.TaskProduct) string {
	l := &b.plan.Layers[one.Layer]
	if one.Treated {
		return l.Name + ": " + one.Name
	}
	return one.Name
}

// product returns the ID of a product of the set.
func (b *builder) product(name string, amount taskdata.DDI) string {
	name = taskdata.Text(name)
	for _, p := range b.set.Products {
		if p.Name == name && p.Amount == amount {
			return p.ID
		}
	}
	id := fmt.Sprintf("PDT%d", len(b.set.Products)+1)
	b.set.Products = append(b.set.Products, taskdata.Product{ID: id, Name: name, Amount: amount})
	return id
}

// grid is the layout of a task's grid.
func (b *builder) grid(number string, kind int) *taskdata.Grid {
	g := b.t.Grid
	return &taskdata.Grid{
		South: g.South, West: g.West, Height: g.Height, Width: g.Width, Columns: g.Columns, Rows: g.Rows,
		File: "GRD" + strings.Repeat("0", 5-len(number)) + number, Type: kind, Zone: taskdata.None,
	}
}

// rates is a grid of type 2.
func (b *builder) rates(task *taskdata.Task, values []taskdata.Value, number string) {
	g := b.grid(number, 2)
	g.Zone, g.Values = gridZone, len(values)
	g.Counts = make([]int32, 0, g.Cells()*g.Values)
	for cell := range g.Cells() {
		for k := range b.own.Products {
			g.Counts = append(g.Counts, b.t.Count(&b.own.Products[k], cell))
		}
	}
	task.Zones = append(task.Zones, taskdata.Zone{Code: gridZone, Name: "grid", Values: values})
	task.Grid = g
}

// codes is a grid of type 1: a code for each rate.
func (b *builder) codes(task *taskdata.Task, values []taskdata.Value, number string) {
	list := b.own.Codes(b.t.Strips != nil)
	for code, counts := range list[1:] {
		own := slices.Clone(values)
		for k := range own {
			own[k].Count = counts[k]
		}
		task.Zones = append(task.Zones, taskdata.Zone{Code: code + 1, Values: own})
	}
	g := b.grid(number, 1)
	counts := make([]int32, len(values))
	for cell := range g.Cells() {
		for k := range b.own.Products {
			counts[k] = b.t.Count(&b.own.Products[k], cell)
		}
		code, _ := slices.BinarySearchFunc(list, counts, slices.Compare[[]int32])
		g.Codes = append(g.Codes, byte(code))
	}
	task.Grid = g
}

// polygons gives each polygon a zone of its own.
func (b *builder) polygons(task *taskdata.Task, value taskdata.Value) {
	for i, part := range b.own.Products[0].Parts(b.p, b.plan) {
		value.Count = part.Count
		task.Zones = append(task.Zones, taskdata.Zone{Code: i + 1, Values: []taskdata.Value{value}, Ground: rounded(orb.MultiPolygon{part.Ground})})
	}
}

// rounded are polygons as task data say their places: to 9 decimals of a degree.
func rounded(mp orb.MultiPolygon) orb.MultiPolygon {
	out := make(orb.MultiPolygon, len(mp))
	for i, polygon := range mp {
		out[i] = make(orb.Polygon, len(polygon))
		for k, ring := range polygon {
			out[i][k] = make(orb.Ring, len(ring))
			for j, p := range ring {
				out[i][k][j] = orb.Point{taskdata.Decimals(p[0], 9), taskdata.Decimals(p[1], 9)}
			}
		}
	}
	return out
}

// makeFolder makes the folder that a file of a plan lies in, if it has one.
func (d *onDisk) makeFolder(name string) error {
	folder, _, inside := strings.Cut(name, "/")
	if !inside {
		return nil
	}
	if err := d.root.Mkdir(folder, 0o777); err != nil && !os.IsExist(err) {
		return err
	}
	return nil
}

// isPlanFile reports whether a name is that of a file in a plan's folder, or in its folder
// of task data.
func isPlanFile(name string) bool {
	name = strings.TrimPrefix(name, taskdata.Folder+"/")
	return name != "" && name == filepath.Base(name) && !strings.ContainsAny(name, `/\`)
}

// compareTaskData reads the task data of a plan back, holds them against the rules of the
// standard, and every cell and polygon against the plan.
func compareTaskData(dir string, p *rx.Prescription, plan *rx.Plan, units unit.System) []Mismatch {
	if plan.TaskData == nil {
		return nil
	}
	files, stick := taskdata.Files{}, map[string][]byte{}
	entries, err := os.ReadDir(filepath.Join(dir, taskdata.Folder))
	if err != nil {
		return []Mismatch{unread(taskdata.Folder, err)}
	}
	for _, e := range entries {
		name := taskdata.Folder + "/" + e.Name()
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			return []Mismatch{unread(name, err)}
		}
		files[e.Name()], stick[name] = data, data
	}
	if faults := taskdata.Check(stick); len(faults) > 0 {
		return []Mismatch{{File: taskdata.Folder, What: "breaks the rules of task data: " + faults[0].String()}}
	}
	got, _, err := taskdata.Decode(files)
	if err != nil {
		return []Mismatch{{File: taskdata.Folder, What: "can't be read back: " + err.Error()}}
	}
	return compareSets(got, p, plan, units)
}

// compareSets holds task data that were read back against a plan: first all that is said
// of the tasks, then what each cell gets.
func compareSets(got *taskdata.Set, p *rx.Prescription, plan *rx.Plan, units unit.System) (found []Mismatch) {
	want := taskSet(p, plan, units)
	want.Maker, want.MakerVersion = got.Maker, got.MakerVersion
	main := taskdata.Folder + "/" + taskdata.Main
	if len(got.Tasks) != len(want.Tasks) {
		return []Mismatch{{File: main, What: fmt.Sprintf("has %d tasks, want %d", len(got.Tasks), len(want.Tasks))}}
	}
	for i := range want.Tasks {
		found = append(found, compareTask(&got.Tasks[i], &want.Tasks[i], p, plan, i)...)
		got.Tasks[i].Grid, want.Tasks[i].Grid = nil, nil
	}
	if len(found) == 0 && !sameSet(got, want) {
		found = append(found, Mismatch{File: main, What: "is not the one of the plan"})
	}
	return found[:min(len(found), mostTold)]
}

// sameSet holds everything but the grids.
func sameSet(got, want *taskdata.Set) bool {
	for i := range want.Tasks {
		want.Tasks[i].Name = taskdata.Text(want.Tasks[i].Name)
	}
	for i := range want.Fields { // said in whole square meters
		want.Fields[i].Area = got.Fields[i].Area
	}
	want.Grower = taskdata.Text(want.Grower)
	return reflect.DeepEqual(got, want)
}

// compareTask holds every cell of a task against the zone of the plan that it belongs to.
func compareTask(got, want *taskdata.Task, p *rx.Prescription, plan *rx.Plan, index int) (found []Mismatch) {
	if want.Grid == nil {
		return nil // polygons are part of what is said of a task
	}
	file := taskdata.Folder + "/" + want.Grid.File + ".bin"
	g, w := got.Grid, want.Grid
	if g == nil || g.Columns != w.Columns || g.Rows != w.Rows || g.South != w.South || g.West != w.West || g.Height != w.Height || g.Width != w.Width || g.Type != w.Type {
		return []Mismatch{{File: file, What: "is not laid out as the plan's grid"}}
	}
	t := plan.TaskData
	for cell := range g.Cells() {
		for k := range t.Tasks[index].Products {
			one := &t.Tasks[index].Products[k]
			n, ok := got.Count(cell/g.Columns, cell%g.Columns, k)
			if expected := t.Count(one, cell); !ok || n != expected {
				m := Mismatch{File: file, What: fmt.Sprintf("row %d, column %d from the south-west has %d of %s, want %d", cell/g.Columns+1, cell%g.Columns+1, n, one.Name, expected)}
				if zone := t.Owner[cell]; zone >= 0 {
					m.Zone = p.Zones[zone].Number()
				}
				if found = append(found, m); len(found) == mostTold {
					return found
				}
			}
		}
	}
	return found
}

package write

import (
	"fmt"
	"reflect"

	"rxsplit/geo/taskdata"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

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

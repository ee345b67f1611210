package sheet

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// mostCells is how many columns and rows every terminal that is certified for
// prescriptions must take. [ISO 11783-10, by a published summary of it]
const mostCells = 350

// manyVertices is how many vertices make a main file of about 2 MB, which one terminal's
// manual names as the most.
const manyVertices = 40_000

// taskData says what the set for the terminal holds, and how its cells stand to the zones.
func (d *document) taskData() {
	t := d.plan.TaskData
	if t == nil {
		return
	}
	cells := t.Request.Form != rx.TaskPolygons
	table := rx.Table{
		Head: []string{"task", "product", d.areaUnit() + " drawn", "in all", d.areaUnit() + " of cells", "in all", "worst zone " + d.areaUnit(), "beyond the edge " + d.areaUnit()},
		Left: []bool{true, true, false, false, false, false, false, false},
	}
	v := values{
		"several tasks": len(t.Tasks) > 1, "cells": cells, "too many cells": max(t.Grid.Columns, t.Grid.Rows) > mostCells, "most cells": fmt.Sprint(mostCells),
		"side": d.cellSide(t.Cell), "columns": fmt.Sprint(t.Grid.Columns), "rows": fmt.Sprint(t.Grid.Rows),
		"vertices": "", "long main file": false, "when lost": "0", "holds": false, "cells near keep-outs": false, "cells in strips": t.Strips != nil, "without a cell": []values(nil),
	}
	vertices := 0
	for _, polygon := range t.Ground {
		for _, ring := range polygon {
			vertices += len(ring)
		}
	}
	for _, task := range t.Tasks {
		for _, p := range task.Products {
			table.Rows = append(table.Rows, d.taskRow(task, p, cells))
			if p.Liquid && t.Request.Hold {
				v["when lost"], v["holds"] = "the liquid's rate", true
			}
			v["cells near keep-outs"] = v["cells near keep-outs"].(bool) || p.Avoids && t.Kept != nil
			if len(p.None) > 0 {
				v["without a cell"] = append(v["without a cell"].([]values), values{"product": task.Name, "zones": zoneList(p.None, "narrow ones all")})
			}
			if !cells {
				for _, part := range p.Parts(d.p, d.plan) {
					for _, ring := range part.Ground {
						vertices += len(ring)
					}
				}
			}
		}
	}
	v["vertices"], v["long main file"] = num(float64(vertices), 0), vertices > manyVertices
	d.write("Task data for the terminal", v, table)
}

func (d *document) taskRow(task rx.TaskLayers, p rx.TaskProduct, cells bool) []string {
	amount := func(l rx.Laid) string {
		if p.Liquid {
			return d.can(l.Volume)
		}
		return d.mass(l.Mass)
	}
	row := []string{task.Name, p.Name, d.areaN(p.Drawn.Area), amount(p.Drawn), "", "", "", ""}
	if cells {
		copy(row[4:], []string{d.areaN(p.Cells.Area), amount(p.Cells), d.areaN(p.Worst), d.areaN(p.Beyond)})
	}
	return row
}

// cellSide prints the side of a cell: those of a grid are spoken of in meters everywhere.
func (d *document) cellSide(l unit.Length) string {
	if d.s == unit.Metric {
		return trim(float64(l/unit.Meter), 2) + " m"
	}
	return fmt.Sprintf("%s m (%s ft)", trim(float64(l/unit.Meter), 2), trim(float64(l), 1))
}

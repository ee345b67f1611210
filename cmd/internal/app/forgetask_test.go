package app_test

import (
	"os"
	"path/filepath"
	"slices"

	"rxsplit/rx/write"
)

// taskForgeries change what a terminal loads.
func taskForgeries() []forgery {
	const xml, grid = "TASKDATA/TASKDATA.XML", "TASKDATA/GRD00001.bin"
	of := func(from, to string) func(f *folder) bool {
		return func(f *folder) bool { return f.swap(xml, from, to) }
	}
	return []forgery{
		{"a cell of the terminal's grid", grid, "has .*, want", func(f *folder) bool {
			b := f.bytes(grid)
			b[len(b)/2] ^= 1
			return f.put(grid, b)
		}},
		{"cells after the grid's last", grid, "bytes", func(f *folder) bool { return f.put(grid, append(f.bytes(grid), 0, 0, 0, 0)) }},
		{"cells less", grid, "bytes", func(f *folder) bool { b := f.bytes(grid); return f.put(grid, b[:len(b)-4]) }},
		{"a task renamed", xml, "line|is not the one", of(`<TSK A="TSK1"`, `<TSK A="TSK9"`)},
		{"the field's boundary on the terminal", xml, "line|is not the one", of(`C="47.3`, `C="47.4`)},
		{"another customer", xml, "line|is not the one", of("Demo customer", "Other customer")},
		{"an element added to the task data", xml, "line", of("<CTR ", `<CTR A="CTR2" B="x"/><CTR `)},
		{"a comment in the task data", xml, "line", of("<CTR ", "<!-- load twice --><CTR ")},
		{"the grid removed and unlisted", grid, "is missing", func(f *folder) bool {
			return os.Remove(filepath.Join(f.dir, grid)) == nil && f.edit(func(m *write.Manifest) {
				m.Files = slices.DeleteFunc(m.Files, func(s write.FileSum) bool { return s.Name == grid })
			})
		}},
		{"task data that was not asked for", "plan.json", "lists TASKDATA", func(f *folder) bool {
			return f.retype(`"task_data": true,`, "")
		}},
	}
}

// Package taskdata encodes and decodes task data sets of ISO 11783-10, the open
// standard by which an office and the terminal of a tractor exchange prescriptions and
// logs: a folder TASKDATA with TASKDATA.XML in it and binary files beside that.
//
// [Encode] writes version 3.3, which terminals of both generations are asked to take.
// [Decode] reads what programs really write, and says by remarks what is odd; what could
// be read wrong it refuses. [Check] is strict: it holds a set against the rules.
//
// A set holds no word of the standard's text, which is not open: the rules here come from
// its published schemas and from what open readers of it agree on. Whether a given
// terminal takes a set only the terminal can say.
package taskdata

import (
	"bytes"
	"path"
	"strings"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// Folder is the name that a terminal looks for on a stick, and Main that of the file in it.
// Both are in upper case: not all systems take them otherwise.
const (
	Folder = "TASKDATA"
	Main   = "TASKDATA.XML"
)

// None stands for a zone code that is not given.
const None = -1

// Most that a file says of a zone: codes go from 0 to 254.
const mostCode = 254

// Set is a task data set.
type Set struct {
	Maker        string // of the program that wrote it
	MakerVersion string
	Grower       string
	Farm         string
	Fields       []Field
	Products     []Product
	Shown        []Presentation
	Devices      []device
	Tasks        []Task

	// BordersPerByte is how many sides between cells of unlike rates the grid that
	// [Prescription] takes may have for each byte that it packs into, beside some that every
	// grid may; 0 for any number. No file says it.
	BordersPerByte int
}

// Field is a partfield with its boundary.
type Field struct {
	ID       string
	Name     string
	Area     unit.Area
	Boundary orb.MultiPolygon // lon/lat; nil if none is given
}

// Product is what a task applies.
type Product struct {
	ID     string
	Name   string
	Amount DDI // in which amounts of it are counted; 0 if that is not said
}

// Presentation says how a count is shown: (count + 0) × Scale in Unit.
type Presentation struct {
	ID       string
	Scale    string // a decimal number
	Decimals int
	Unit     string
}

// Task is one job of a machine: rates by zones, or by the cells of a grid.
type Task struct {
	ID      string
	Name    string
	Field   string // ID; empty if none is named
	Status  int    // 1 planned, 2 running, 3 paused, 4 finished
	Default int    // code of the zone whose rates hold until a position says otherwise
	Lost    int    // of the one that holds where the position is lost
	Outside int    // of the one that holds outside of the field's boundary
	Zones   []Zone
	Grid    *Grid
	Logs    []string // names of time logs, without extension

	Allocated []allocation // products to elements of devices
}

// Zone is a treatment zone: rates, and in a task without a grid the ground that gets them.
type Zone struct {
	Code   int
	Name   string
	Values []Value
	Ground orb.MultiPolygon // lon/lat; nil for a zone that a grid refers to
}

// Value is the rate of one product.
type Value struct {
	DDI     DDI
	Count   int32  // of the DDI's unit
	Product string // ID; empty if none is named
	Shown   string // ID of a presentation; empty for none
	Element string // of a device, that it is meant for; empty for any
}

// Grid is a raster of cells. Its first cell is the one in the south-west; then it goes
// east along the row, then to the next row north.
//
//	row 1   6 7 8 9 10
//	row 0   1 2 3 4 5
//	        ^ South, West: the corner of the first cell
type Grid struct {
	South, West   float64 // degrees
	Height, Width float64 // of a cell, degrees
	Columns, Rows int
	File          string  // name of its binary file, without extension
	Type          int     // 1: a zone code a cell; 2: counts a cell
	Zone          int     // of type 2: the code of the zone whose values say what is counted
	Values        int     // of type 2: counts a cell has
	Codes         []byte  // of type 1
	Counts        []int32 // of type 2: those of a cell stand together
}

// zone returns the zone of a code.
func (t *Task) zone(code int) *Zone {
	return find(t.Zones, func(z *Zone) bool { return z.Code == code })
}

// product returns the product of an ID; nil if there is none.
func (s *Set) product(id string) *Product {
	return find(s.Products, func(p *Product) bool { return p.ID == id })
}

func find[T any](list []T, is func(*T) bool) *T {
	for i := range list {
		if is(&list[i]) {
			return &list[i]
		}
	}
	return nil
}

// Files are the files of a set by their names, without the folder's.
type Files map[string][]byte

// Elements is about how many elements and attributes the files of XML have, and not less: signs are
// counted, before anything is read.
func (f Files) Elements() (n int) {
	for name, data := range f {
		if strings.EqualFold(path.Ext(name), ".xml") {
			n += bytes.Count(data, []byte("<")) - bytes.Count(data, []byte("</")) + bytes.Count(data, []byte("="))
		}
	}
	return n
}

// find returns a file by its name, whatever the case of its letters: sticks and
// systems change that. A name in the right case goes first.
func (f Files) find(name string) (data []byte, as string, ok bool) {
	if data, ok := f[name]; ok {
		return data, name, true
	}
	for other := range f {
		if strings.EqualFold(other, name) && (as == "" || other < as) {
			as = other
		}
	}
	data, ok = f[as]
	return data, as, ok
}

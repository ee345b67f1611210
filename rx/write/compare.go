package write

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/cores"
	"rxsplit/label/unit"
)

// comparison holds one file that was read back against what should stand in it.
type comparison struct {
	file, cells string
	named       string // the file that names the coordinate system
	system      string // what it should say
	layer       *geo.Layer
	want        table
}

// mismatch says what is wrong in a row, or with a whole file where row is -1.
func (c *comparison) mismatch(file string, row int, format string, args ...any) Mismatch {
	m := Mismatch{File: file, What: fmt.Sprintf(format, args...)}
	if row >= 0 {
		m.Zone = int(c.want.id(row))
	}
	return m
}

func (c *comparison) run(text cellText) []Mismatch {
	if got := c.layer.Shapes.Len(); got != c.want.rows {
		return []Mismatch{c.mismatch(c.file, -1, "holds %d records, want %d", got, c.want.rows)}
	}
	found := append(c.oddities(), c.polygons()...)
	found = append(found, c.areas()...)
	for _, col := range c.want.cols {
		found = append(found, c.column(col, text)...)
	}
	return found[:min(len(found), mostTold)]
}

// oddities are what another reader would take otherwise: a coordinate system that is not
// the plan's, and an index that leads to other records.
func (c *comparison) oddities() (found []Mismatch) {
	if c.layer.System != c.system {
		found = append(found, c.mismatch(c.named, -1, "names another coordinate system than the plan's"))
	}
	for _, r := range c.layer.Remarks {
		if strings.HasPrefix(r.Rule, "shx-") {
			found = append(found, c.mismatch(strings.TrimSuffix(c.file, ".shp")+".shx", -1, "is not the index of the .shp: %s", cmp.Or(r.Name, r.Rule)))
		}
	}
	return found
}

// rowsAtOnce is how many rows one core compares at a time.
const rowsAtOnce = 8192

// polygons compares the points of every record bit by bit; a ring may run either
// way round, as each format asks.
func (c *comparison) polygons() []Mismatch {
	return cores.Collect(c.want.rows, rowsAtOnce, func(from, to int) (found []Mismatch) {
		for row := from; row < to; row++ {
			if !sameShape(&c.layer.Shapes, row, c.want.shapes, row) {
				found = append(found, c.mismatch(c.file, row, "its polygon is not the one of the plan"))
			}
		}
		return found
	})
}

// areas measures the polygons that were read back and holds their sum against the
// plan's.
func (c *comparison) areas() []Mismatch {
	areas, err := c.layer.Shapes.Areas()
	if err != nil {
		return []Mismatch{c.mismatch(c.file, -1, "its areas can't be measured: %v", err)}
	}
	var got unit.Area
	for _, a := range areas {
		got += a
	}
	if want := c.want.area; math.Abs(float64(got-want)) > 1e-9*math.Abs(float64(want)) {
		return []Mismatch{c.mismatch(c.file, -1, "covers %v, want %v", got, want)}
	}
	return nil
}

// cellText appends what should stand in a row of a column.
type cellText func(col geo.Column, dst []byte, row int) []byte

// column compares every cell of a column with what was to be written, and the
// numbers that they read as.
func (c *comparison) column(col geo.Column, text cellText) []Mismatch {
	index := slices.IndexFunc(c.layer.Attributes.Fields(), func(f geo.Field) bool { return f.Name == col.Name })
	if index < 0 {
		return []Mismatch{c.mismatch(c.cells, -1, "has no field %s", col.Name)}
	}
	return cores.Collect(c.want.rows, rowsAtOnce, func(from, to int) (found []Mismatch) {
		var buf []byte
		for row := from; row < to; row++ {
			buf = text(col, buf[:0], row)
			want := bytes.TrimSpace(buf)
			if bytes.Equal(want, []byte("null")) {
				want = nil
			}
			cell := c.layer.Attributes.Cell(row, index)
			if cell.Kind == geo.Null {
				cell.Text = nil
			}
			if !bytes.Equal(cell.Text, want) && !sameNumber(cell.Text, want) {
				found = append(found, c.mismatch(c.cells, row, "%s is %q, want %q", col.Name, cell.Text, want))
			}
		}
		return found
	})
}

// sameNumber reports whether two texts are the same number, spelled differently.
func sameNumber(a, b []byte) bool {
	x, err := strconv.ParseFloat(string(a), 64)
	y, err2 := strconv.ParseFloat(string(b), 64)
	return err == nil && err2 == nil && x == y
}

func sameShape(a *geo.Shapes, i int, b *geo.Shapes, j int) bool {
	p, pEnd := a.PolySpan(i)
	q, qEnd := b.PolySpan(j)
	if pEnd-p != qEnd-q {
		return false
	}
	for ; p < pEnd; p, q = p+1, q+1 {
		r, rEnd := a.RingSpan(p)
		s, sEnd := b.RingSpan(q)
		if rEnd-r != sEnd-s {
			return false
		}
		for ; r < rEnd; r, s = r+1, s+1 {
			if !sameRing(a.Ring(r), b.Ring(s)) {
				return false
			}
		}
	}
	return true
}

func sameRing(a, b orb.Ring) bool {
	if len(a) != len(b) {
		return false
	}
	forward, backward := true, true
	for i := range a {
		forward = forward && a[i] == b[i]
		backward = backward && a[i] == b[len(b)-1-i]
	}
	return forward || backward
}

package split

import (
	"iter"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/raster"
	"rxsplit/geo/taskdata"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// cellFor returns the usual cell or, where the field has more of those on a side than
// terminals must take, the smallest tenth of a meter that has not.
func cellFor(box orb.Bound) unit.Length {
	const around = 2 // cells beyond the field
	scale := geo.LonLatScale(box)
	longest := max((box.Max[0]-box.Min[0])*scale.X, (box.Max[1]-box.Min[1])*scale.Y)
	least := math.Ceil(longest/(mostTaskCells-around)*10) / 10
	return max(usualCell, unit.Length(least)*unit.Meter)
}

// edge gives cells that the field only touches, beyond its outer boundary, the rates of
// the nearest zone: a terminal that shuts off at the boundary would else leave half a cell
// of the field without. Cells in a hole of the field get nothing.
func (b *tasks) edge(zones *geo.Shapes) {
	t := b.out
	filled := t.Grid.Inside(shells(t.Ground))
	t.Edge = t.Grid.NewSet()
	near := t.Grid.Nearest(zones, func(cell int) bool { return t.Owner[cell] == raster.None && !filled.Has(cell) })
	for cell, zone := range near {
		t.Owner[cell] = zone
		t.Edge.Add(cell)
	}
}

// fieldOutline dissolves all zones.
func fieldOutline(p *rx.Prescription) (*geo.Outline, error) {
	zone := make([]bool, p.Drawn.Len())
	for _, z := range p.Zones {
		zone[z.Record] = true
	}
	return p.Mesh.Outline(func(record int) bool { return zone[record] })
}

func shells(mp orb.MultiPolygon) iter.Seq[orb.Ring] {
	return func(yield func(orb.Ring) bool) {
		for _, polygon := range mp {
			if !yield(polygon[0]) {
				return
			}
		}
	}
}

// total adds up what the cells of each product amount to, and holds the zones against it.
func (b *tasks) total() {
	t := b.out
	area := make([]unit.Area, t.Grid.Rows)
	for row := range area {
		area[row] = t.Grid.CellArea(row)
	}
	for i := range t.Tasks {
		for k := range t.Tasks[i].Products {
			b.totalOf(&t.Tasks[i].Products[k], area)
		}
	}
}

func (b *tasks) totalOf(p *rx.TaskProduct, area []unit.Area) {
	t := b.out
	own := make([]unit.Area, len(b.p.Zones)) // by centers
	rates := make([]float64, len(b.p.Zones)) // of the counts, each worked out once
	for z, n := range p.Counts {
		if p.Liquid {
			rates[z] = float64(taskdata.VolumeRate(n))
		} else {
			rates[z] = float64(taskdata.MassRate(n))
		}
	}
	for cell := range t.Owner {
		n := t.Count(p, cell)
		a := area[cell/t.Grid.Columns]
		switch {
		case n == 0:
		case t.Edge.Has(cell):
			p.Beyond += a
		case p.Liquid:
			own[t.Owner[cell]] += a
			p.Cells.Area += a
			p.Cells.Volume += unit.VolumeOver(unit.LiquidRate(rates[t.Owner[cell]]), a)
		default:
			own[t.Owner[cell]] += a
			p.Cells.Area += a
			p.Cells.Mass += unit.MassOver(unit.DryRate(rates[t.Owner[cell]]), a)
		}
	}
	for z, zone := range b.p.Zones {
		if p.Counts[z] == 0 {
			continue
		}
		drawn := zone.Area
		if p.Liquid {
			drawn = b.plan.WithStabilizer(z, drawn)
		}
		if off := unit.Area(math.Abs(float64(own[z] - drawn))); off > p.Worst {
			p.Worst = off
		}
		if own[z] == 0 {
			p.None = append(p.None, zone.Number())
		}
	}
}

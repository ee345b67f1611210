package write

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// table is a layer as its files hold it: one row a record.
type table struct {
	shapes *geo.Shapes
	id     func(row int) int64
	rows   int
	area   unit.Area             // of all rows
	areaOf func(row int) float64 // of one row, in the unit of the last column
	cols   []geo.Column
}

// tableOf lays out the rows and columns of a layer. Both the writing and the
// proof of what was written go by it.
func tableOf(p *rx.Prescription, l *rx.Layer, units unit.System) table {
	if l.Product == rx.Liquid {
		return liquidTable(l, units)
	}
	return dryTable(p, l, units)
}

func dryTable(p *rx.Prescription, l *rx.Layer, units unit.System) table {
	names := newNames(p)
	t := table{shapes: shapesOf(p, l), rows: len(p.Zones), area: p.Area()}
	t.id = func(row int) int64 { return int64(p.Zones[row].Number()) }
	for _, c := range p.DryColumns() {
		col := dryColumn(p, l, c)
		if c.Short != c.Name {
			col.Short = c.Short
		}
		t.cols = append(t.cols, col)
	}
	if l.RxRate {
		t.cols = append(t.cols, computed(names.ours("RX_RATE"), t.rows, func(row int) float64 { return prescribed(p, row) }))
	}
	t.cols = append(t.cols, integers(names.ours("ZONE"), t.rows, t.id))
	t.areaOf = func(row int) float64 { return p.Zones[row].Area.In(units) }
	t.cols = append(t.cols, areas(names.ours(areaName(units)), t.rows, t.areaOf))
	return t
}

// dryColumn is a column of what a layer spreads: the source's cells where they are that.
func dryColumn(p *rx.Prescription, l *rx.Layer, c rx.DryColumn) geo.Column {
	rate := func(row int) unit.DryRate { return l.DryRate(p, row) }
	if c.Field != rx.AllFields {
		own := &l.Columns[c.Field]
		if own.Rates == nil {
			return sourceColumn(p, c.Name, c.Field)
		}
		rate = func(row int) unit.DryRate { return own.Rates[row] }
	}
	per := symbolUnit(c.Unit)
	return computed(c.Name, len(p.Zones), func(row int) float64 { return round12(float64(rate(row) / per)) })
}

func liquidTable(l *rx.Layer, units unit.System) table {
	t := table{shapes: l.Pieces, rows: l.Pieces.Len(), area: l.Area}
	on := func(row int, rate float64) float64 { // nothing on untreated strips
		if row >= t.rows-l.Untreated {
			return 0
		}
		return rate
	}
	for _, a := range l.PieceArea[t.rows-l.Untreated:] {
		t.area += a
	}
	t.id = func(row int) int64 { return int64(row + 1) }
	t.areaOf = func(row int) float64 { return l.PieceArea[row].In(units) }
	one, _ := unit.SprayVolumeUnit(units)
	mix := float64(l.Mix / one)
	if l.Mix == 0 {
		mix = math.NaN()
	}
	t.cols = []geo.Column{
		computed("STAB_RATE", t.rows, func(row int) float64 { return on(row, round12(l.Rate.In(units))) }),
		computed("MIX_RATE", t.rows, func(row int) float64 { return on(row, round12(mix)) }),
		areas(areaName(units), t.rows, t.areaOf),
	}
	return t
}

// inShapefile returns the table with the names that its columns have in a shapefile.
func (t table) inShapefile() table {
	t.cols = slices.Clone(t.cols)
	for i, col := range t.cols {
		t.cols[i].Name = cmp.Or(col.Short, col.Name)
	}
	return t
}

func areaName(units unit.System) string {
	if units == unit.Metric {
		return "HA"
	}
	return "ACRES"
}

// symbolUnit returns the rate that one of the named unit is; the reader made sure
// that the name is known.
func symbolUnit(symbol string) unit.DryRate {
	per, err := unit.ParseDryRateUnit(symbol)
	if err != nil {
		return unit.PoundPerAcre
	}
	return per
}

// prescribed returns what the source prescribes for a zone, all fields together,
// in the source's own unit.
func prescribed(p *rx.Prescription, row int) float64 {
	sum := 0.0
	for f, field := range p.Fields {
		sum += float64(p.FieldRate(row, f) / field.Unit)
	}
	return round12(sum)
}

// shapesOf returns the polygons of a layer: pieces, or the zones.
func shapesOf(p *rx.Prescription, l *rx.Layer) *geo.Shapes {
	if l.Product == rx.Liquid {
		return l.Pieces
	}
	return p.Grounds()
}

// names hands out column names: the source's as they are, ours out of their way.
type names struct{ taken map[string]bool }

func newNames(p *rx.Prescription) *names {
	n := &names{taken: map[string]bool{}}
	for _, c := range p.DryColumns() {
		n.taken[strings.ToUpper(c.Name)] = true
		n.taken[strings.ToUpper(c.Short)] = true
	}
	return n
}

func (n *names) ours(name string) string {
	for n.taken[name] {
		name += "_"
	}
	n.taken[name] = true
	return name
}

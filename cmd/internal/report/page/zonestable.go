package page

import (
	"bytes"
	"fmt"
	"html/template"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// pageZones is the table of all zones. It is long: a row has no more than its figures, and
// the style goes by columns.
type pageZones struct {
	Head []pageCell
	Rows template.HTML
}

// style aligns the columns of words left, as no cell has a class of its own.
func (t *pageZones) style() string {
	var b strings.Builder
	for i, head := range t.Head {
		if head.Left {
			fmt.Fprintf(&b, ".zones td:nth-child(%d){text-align:left}\n", i+1)
		}
	}
	return b.String()
}

// zoneColumn is a column of the table of zones.
type zoneColumn struct {
	head string // begins with "<" where it holds words
	cell func(i int) string
}

// zonesTable lists every zone; nil where there are more than the page lists.
func zonesTable(r report.Result, q figures.Quantities) *pageZones {
	if len(r.Prescription.Zones) > mostZones {
		return nil
	}
	columns := zoneColumns(r, q)
	t := &pageZones{Head: heads("zone")}
	for _, c := range columns {
		t.Head = append(t.Head, heads(c.head)...)
	}
	var b bytes.Buffer
	for i, z := range r.Prescription.Zones {
		fmt.Fprintf(&b, "<tr><th>%d", z.Number())
		for _, c := range columns {
			b.WriteString("<td>" + template.HTMLEscapeString(c.cell(i)))
		}
		b.WriteByte('\n')
	}
	t.Rows = template.HTML(b.String())
	return t
}

// zoneColumns lists what is told of a zone beside its number.
func zoneColumns(r report.Result, q figures.Quantities) []zoneColumn {
	a, p := r.Assessment, r.Prescription
	ac, dry, rate := q.Symbols()
	rated := func(text func(z rx.Zone) string) func(i int) string {
		return func(i int) string {
			if z := p.Zones[i]; z.HasRate() {
				return text(z)
			}
			return "–"
		}
	}
	list := []zoneColumn{
		{ac, func(i int) string { return q.Patch(p.Zones[i].Area) }},
		{"dry " + dry, rated(func(z rx.Zone) string { return q.Dry(z.Dry) })},
	}
	if i := p.CarrierField(); i >= 0 {
		list = append(list, zoneColumn{p.Fields[i].Name + " " + dry, rated(func(z rx.Zone) string { return q.Dry(z.Carrier) })})
	}
	list = append(list,
		zoneColumn{rate + " as one blend", rated(func(z rx.Zone) string { return q.SideRate(unit.StabilizerRate(a.Loading, z.Carrier), a.Range) })},
		zoneColumn{"<verdict", func(i int) string { return report.OffWord(a, i) }})
	if r.Plan != nil {
		list = append(list,
			zoneColumn{rate + " by the plan", func(i int) string { return q.Rate(r.Plan.Stabilizer[i]) }},
			zoneColumn{"dry by the plan", func(i int) string { return q.Dry(spread(r, i)) }})
	}
	if spreaderKnown(r) {
		list = append(list, zoneColumn{"<deliverable", func(i int) string { return reachOf(r, i).word() }})
	}
	return list
}

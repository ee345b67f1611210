package shapefile

import (
	"fmt"
	"math/bits"
	"strings"

	"rxsplit/geo"
)

// describe fills in the fields from what the rows hold, and returns remarks about
// the encoding and the names.
func (t *table) describe(cpg []byte, rows *rowScan) []geo.Remark {
	remarks := t.encode(cpg, rows)
	t.fields = make([]geo.Field, len(t.columns))
	if n := len(t.hollow); n > 0 {
		text := fmt.Sprintf("the field %q has no width, and was left out", shorten(string(t.toUTF8(t.hollow[0]))))
		if n > 1 {
			text = fmt.Sprintf("%d fields have no width, and were left out, %q first", n, shorten(string(t.toUTF8(t.hollow[0]))))
		}
		remarks = append(remarks, geo.Remark{Rule: "field-without-width", Text: text})
	}
	seen := map[string]bool{}
	for i := range t.columns {
		c := &t.columns[i]
		name := string(t.toUTF8(c.name))
		t.fields[i] = geo.Field{Name: name, Kind: c.kindOf(rows.kinds[i]), Width: c.size, Decimals: c.decimals}
		if key := strings.ToUpper(name); seen[key] {
			remarks = append(remarks, geo.Remark{Rule: "duplicate-field", Text: fmt.Sprintf("two fields are named %s; both were kept", name)})
		} else {
			seen[key] = true
		}
	}
	return remarks
}

// kindOf sums up the kinds of a column's cells.
func (c *column) kindOf(cells kindSet) geo.Kind {
	filled := cells &^ (1 << geo.Null)
	switch bits.OnesCount16(uint16(filled)) {
	case 0:
		return geo.Null
	case 1:
		if (c.kind == 'N' || c.kind == 'F') && filled.has(geo.Text) {
			return geo.Mixed
		}
		return geo.Kind(bits.TrailingZeros16(uint16(filled)))
	}
	return geo.Mixed
}

package shapefile

import (
	"bytes"
	"testing"
	"unicode/utf8"

	"rxsplit/geo"
)

// FuzzTable reads a .dbf by itself, which [FuzzDecode] reaches only where the .shp
// has as many records. It wants memory in proportion, a reason where the table is
// refused, cells that are what their kind says, and numbers that are written and
// read back as the same texts.
func FuzzTable(f *testing.F) {
	for _, s := range seedFiles(f) {
		f.Add(s.Dbf, s.Cpg)
	}
	f.Add(makeDBF(0x30, 3, []dbfColumn{{"I", 'I', 4, []string{"\x07\x00\x00\x00"}}, {"M", 'M', 10, []string{"1"}}, {"E", 'N', 0, []string{""}}}), []byte(nil))
	f.Add(makeDBF(3, 0x57, []dbfColumn{{"D", 'D', 8, []string{"20260501", "00000000"}}, {"L", 'L', 1, []string{"Y", "?"}}, {"F", 'F', 9, []string{"1e-3", "***"}}}, rowKept, rowDeleted), []byte("1252"))
	f.Fuzz(func(t *testing.T, dbf, cpg []byte) {
		var table *table
		var bad badList
		var remarks []geo.Remark
		checkAllocated(t, Files{Dbf: dbf, Cpg: cpg}, allocated(func() {
			if table, bad = readTable(dbf); len(bad.listed) > 0 {
				return
			}
			rows := table.scan()
			bad = rows.bad
			remarks = table.describe(cpg, rows)
		}))
		for _, b := range bad.listed {
			if b.Why == "" {
				t.Fatalf("refused without a reason: %v", b)
			}
		}
		if len(bad.listed) > 0 {
			return
		}
		for _, r := range remarks {
			if r.Rule == "" {
				t.Fatalf("an empty remark %v", r)
			}
		}
		checkCells(t, table)
		checkTableSurvives(t, table)
	})
}

// checkCells wants each cell to be what its kind says, and the cells to be no more
// than the table has bytes: a field takes a byte of each row at least.
func checkCells(t *testing.T, table *table) {
	t.Helper()
	if cells := table.count * len(table.fields); cells > len(table.rows) {
		t.Fatalf("%d cells in %d bytes", cells, len(table.rows))
	}
	for row := range table.count {
		for f, field := range table.Fields() {
			c := table.Cell(row, f)
			switch {
			case !utf8.Valid(c.Text):
				t.Fatalf("row %d, field %q: %q is no UTF-8", row, field.Name, c.Text)
			case c.Kind == geo.Null && len(c.Text) > 0, c.Kind == geo.Text && len(c.Text) == 0:
				t.Fatalf("row %d, field %q: %v %q", row, field.Name, c.Kind, c.Text)
			case c.Kind == geo.Number && !isNumber(c.Text), c.Kind == geo.Date && digits(c.Text) != 8:
				t.Fatalf("row %d, field %q: %q is no %v", row, field.Name, c.Text, c.Kind)
			}
		}
	}
}

// checkTableSurvives writes the numbers of a table and reads them back.
func checkTableSurvives(t *testing.T, from *table) {
	t.Helper()
	var cols []geo.Column
	var fields []int
	for f := range from.Fields() {
		if len(cols) == 100 {
			break
		}
		name := string(append([]byte("F"), byte('0'+len(cols)/10), byte('0'+len(cols)%10)))
		fields = append(fields, f)
		cols = append(cols, geo.Column{Name: name, Width: maxWidth, Text: func(dst []byte, row int) []byte {
			if c := from.Cell(row, f); c.Kind == geo.Number {
				return append(dst, c.Text...)
			}
			return dst
		}})
	}
	if len(cols) == 0 || rowSize(cols)*int64(from.count) > 1<<20 {
		return
	}
	var buf bytes.Buffer
	if err := writeTable(&buf, from.count, cols); err != nil {
		t.Fatal(err)
	}
	again, bad := readTable(buf.Bytes())
	if len(bad.listed) > 0 {
		t.Fatalf("what was written can't be read: %v", bad.listed)
	}
	again.describe([]byte(CPG), again.scan())
	for row := range from.count {
		for i, f := range fields {
			a, b := from.Cell(row, f), again.Cell(row, i)
			if a.Kind == geo.Number && (b.Kind != geo.Number || !bytes.Equal(a.Text, b.Text)) || a.Kind != geo.Number && b.Kind != geo.Null {
				t.Fatalf("row %d: %v %q became %v %q", row, a.Kind, a.Text, b.Kind, b.Text)
			}
		}
	}
}

package shapefile

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math/bits"
	"strings"

	"golang.org/x/text/encoding/charmap"

	"rxsplit/geo"
)

// table is a DBF as attributes: a view of its bytes.
type table struct {
	rows     []byte // count rows of size bytes
	count    int
	size     int
	columns  []column
	hollow   [][]byte         // names of fields of no width, which are no columns
	fields   []geo.Field      // of the columns, once they are described
	language byte             // the language driver: a code page by number
	page     *charmap.Charmap // nil for UTF-8
}

// column is where a field stands in a row.
type column struct {
	name     []byte // in the table's encoding
	kind     byte   // the field type's letter
	at, size int
	decimals int
}

// Layout of a DBF header, dBASE III and its kin.
const (
	dbfHeaderSize = 32
	dbfFieldSize  = 32
	dbfNameSize   = 11
	dbfHeaderEnd  = 0x0D
	dbfFileEnd    = 0x1A
	rowKept       = ' '
	rowDeleted    = '*'
)

// readTable checks a DBF's header against its bytes. The rows' flags and cells
// are looked at by [table.scan].
func readTable(dbf []byte) (t *table, bad badList) {
	t = &table{}
	if why := t.readHeader(dbf); why != "" {
		bad.add(geo.BadRecord{Record: -1, Why: why})
	}
	return t, bad
}

func (t *table) readHeader(dbf []byte) (why string) {
	if len(dbf) == 0 {
		return "is missing or empty"
	}
	if len(dbf) < dbfHeaderSize+1 {
		return fmt.Sprintf("is cut short: %d bytes, the header alone has %d", len(dbf), dbfHeaderSize+1)
	}
	switch version := dbf[0]; version {
	case 0x02, 0xFB:
		return fmt.Sprintf("is of dBASE II or FoxBASE (version byte 0x%02X), which is not read", version)
	case 0x04, 0x8C:
		return fmt.Sprintf("is of dBASE 7 (version byte 0x%02X), which is not read", version)
	}
	count := int64(binary.LittleEndian.Uint32(dbf[4:]))
	head := int64(binary.LittleEndian.Uint16(dbf[8:]))
	size := int64(binary.LittleEndian.Uint16(dbf[10:]))
	t.language = dbf[29]
	switch {
	case head <= dbfHeaderSize:
		return fmt.Sprintf("states a header of %d bytes, less than any has", head)
	case head > int64(len(dbf)):
		return fmt.Sprintf("is cut short: states a header of %d bytes, there are %d in all", head, len(dbf))
	case head+count*size > int64(len(dbf)):
		return fmt.Sprintf("is cut short: %d rows of %d bytes after a header of %d take %d bytes, there are %d", count, size, head, head+count*size, len(dbf))
	}
	t.count, t.size = int(count), int(size)
	t.rows = dbf[head : head+count*size]
	rest, why := t.readColumns(dbf[dbfHeaderSize:head])
	if why == "" && !isPadding(rest, dbf[0]) {
		why = fmt.Sprintf("states a header of %d bytes, but the %d behind the end mark of its fields are no padding: the rows begin elsewhere", head, len(rest))
	}
	return why
}

// isPadding reports whether bytes between the fields and the rows may be there:
// NULs, and in Visual FoxPro the path of a database.
func isPadding(b []byte, version byte) bool {
	return version >= 0x30 && version <= 0x32 || len(bytes.Trim(b, "\x00")) == 0
}

// readColumns reads the field descriptors up to the mark that ends them and
// returns what is behind it.
func (t *table) readColumns(b []byte) (rest []byte, why string) {
	at := 1 // behind the deletion flag
	for len(b) > 0 && b[0] != dbfHeaderEnd {
		if len(b) < dbfFieldSize {
			return nil, "has no end mark (0x0D) behind its fields where its header ends"
		}
		name, _, _ := bytes.Cut(b[:dbfNameSize], []byte{0})
		c := column{name: bytes.TrimSpace(name), kind: b[11], at: at, size: int(b[16]), decimals: int(b[17])}
		if c.kind == 'C' {
			c.decimals = 0
		}
		b = b[dbfFieldSize:]
		if c.size == 0 { // else rows of a byte could have cells by the thousand
			t.hollow = append(t.hollow, c.name)
			continue
		}
		t.columns = append(t.columns, c)
		at += c.size
	}
	if len(b) == 0 {
		return nil, "has no end mark (0x0D) behind its fields where its header ends"
	}
	if at != t.size {
		return nil, fmt.Sprintf("states rows of %d bytes, but its %d fields and the flag take %d", t.size, len(t.columns)+len(t.hollow), at)
	}
	return b[1:], ""
}

// row returns the bytes of row i, its flag first.
func (t *table) row(i int) []byte { return t.rows[i*t.size : (i+1)*t.size : (i+1)*t.size] }

func (t *table) isDeleted(i int) bool { return t.rows[i*t.size] == rowDeleted }

// bytes returns the cell as it stands.
func (c *column) bytes(row []byte) []byte { return row[c.at : c.at+c.size] }

// Fields describes the columns. A numeric column (N, F) is a Number column if all
// its cells are numbers or null, and Mixed as soon as one holds other text.
func (t *table) Fields() []geo.Field { return t.fields }

// Cell returns a cell without the blanks and NULs around it. Text is a view of
// the file unless it has to be converted to UTF-8 or is a binary number.
func (t *table) Cell(record, field int) geo.Cell {
	c := &t.columns[field]
	kind, text := c.read(t.row(record))
	if kind == geo.Text && !isASCII(text) {
		text = t.toUTF8(text)
	}
	return geo.Cell{Kind: kind, Text: text}
}

// describe fills in the fields from what the rows hold, and returns remarks about
// the encoding and the names.
func (t *table) describe(cpg []byte, rows *rowScan) []geo.Remark {
	remarks := t.encode(cpg, rows)
	t.fields = make([]geo.Field, len(t.columns))
	if n := len(t.hollow); n > 0 {
		remarks = append(remarks, geo.Remark{Rule: "field-without-width", Count: n, Name: geo.Shorten(string(t.toUTF8(t.hollow[0])))})
	}
	seen := map[string]bool{}
	for i := range t.columns {
		c := &t.columns[i]
		name := string(t.toUTF8(c.name))
		t.fields[i] = geo.Field{Name: name, Kind: c.kindOf(rows.kinds[i]), Width: c.size, Decimals: c.decimals}
		if records := rows.starred[i]; records != nil {
			remarks = append(remarks, geo.Remark{Rule: "overflow", Name: name, Records: records})
		}
		if key := strings.ToUpper(name); seen[key] {
			remarks = append(remarks, geo.Remark{Rule: "duplicate-field", Name: name})
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

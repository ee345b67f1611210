package shapefile

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"rxsplit/geo"
	"rxsplit/internal/cores"
)

// dbfColumn is a column of a hand-made DBF.
type dbfColumn struct {
	name  string
	kind  byte
	width int
	cells []string // padded with blanks behind
}

// makeDBF encodes columns of equal length; flags may be shorter.
func makeDBF(version, language byte, columns []dbfColumn, flags ...byte) []byte {
	h := make([]byte, dbfHeaderSize)
	h[0], h[29] = version, language
	size := 1
	for _, c := range columns {
		var f [dbfFieldSize]byte
		copy(f[:dbfNameSize], c.name)
		f[11], f[16] = c.kind, byte(c.width)
		h = append(h, f[:]...)
		size += c.width
	}
	h = append(h, dbfHeaderEnd)
	rows := len(columns[0].cells)
	binary.LittleEndian.PutUint32(h[4:], uint32(rows))
	binary.LittleEndian.PutUint16(h[8:], uint16(len(h)))
	binary.LittleEndian.PutUint16(h[10:], uint16(size))
	for i := range rows {
		flag := byte(rowKept)
		if i < len(flags) {
			flag = flags[i]
		}
		h = append(h, flag)
		for _, c := range columns {
			h = fmt.Appendf(h, "%s%*s", c.cells[i], c.width-len(c.cells[i]), "")
		}
	}
	return append(h, dbfFileEnd)
}

// withTable is a layer of null shapes with a DBF.
func withTable(t testing.TB, dbf []byte, cpg string) Files {
	rows := int(binary.LittleEndian.Uint32(dbf[4:]))
	f := encoded(t, "table", &geo.Shapes{ShapeEnds: make([]int32, rows)}, rates())
	f.Dbf, f.Cpg = dbf, []byte(cpg)
	return f
}

var cells = []struct {
	kind  byte
	width int
	cell  string
	want  geo.Kind
	text  string
}{
	{'N', 8, "   12.50", geo.Number, "12.50"},
	{'N', 8, "12.5    ", geo.Number, "12.5"},
	{'N', 8, "\x00\x00  12\x00\x00", geo.Number, "12"},
	{'N', 8, "-.5", geo.Number, "-.5"},
	{'N', 8, "+5.", geo.Number, "+5."},
	{'F', 14, " 1.25000e+002", geo.Number, "1.25000e+002"},
	{'N', 8, "", geo.Null, ""},
	{'N', 8, "********", geo.Null, ""},
	{'N', 8, "\x00\x00\x00\x00\x00\x00\x00\x00", geo.Null, ""},
	{'N', 8, "*******5", geo.Text, "*******5"},
	{'N', 8, "12,5", geo.Text, "12,5"},
	{'N', 8, "abc", geo.Text, "abc"},
	{'N', 8, "NaN", geo.Text, "NaN"},
	{'N', 8, "-Inf", geo.Text, "-Inf"},
	{'F', 9, "1.#QNAN", geo.Text, "1.#QNAN"},
	{'F', 9, "1e999", geo.Text, "1e999"},
	{'N', 8, "0x10", geo.Text, "0x10"},
	{'N', 8, "1_000", geo.Text, "1_000"},
	{'N', 8, "1e", geo.Text, "1e"},
	{'N', 8, ".", geo.Text, "."},
	{'N', 8, "-", geo.Text, "-"},
	{'N', 8, "1 2", geo.Text, "1 2"},
	{'N', 8, "12\x005", geo.Text, "12\x005"},
	{'C', 8, "  ab c ", geo.Text, "ab c"},
	{'C', 8, "ab\x00rest", geo.Text, "ab"},
	{'C', 8, "", geo.Null, ""},
	{'C', 8, "12.5", geo.Text, "12.5"},
	{'D', 8, "20260401", geo.Date, "20260401"},
	{'D', 8, "00000000", geo.Null, ""},
	{'D', 8, "", geo.Null, ""},
	{'D', 8, "2026-4-1", geo.Text, "2026-4-1"},
	{'L', 1, "T", geo.Bool, "true"},
	{'L', 1, "n", geo.Bool, "false"},
	{'L', 1, "?", geo.Null, ""},
	{'L', 1, "x", geo.Text, "x"},
	{'I', 4, "\x39\x30\x00\x00", geo.Number, "12345"},
	{'I', 4, "\xff\xff\xff\xff", geo.Number, "-1"},
	{'M', 10, "         7", geo.Other, "7"},
	{'M', 10, "", geo.Null, ""},
	{'B', 8, "\x00\x00\x00\x00\x00\x00\xf0\x3f", geo.Other, ""},
}

func TestCells(t *testing.T) {
	for _, c := range cells {
		f := withTable(t, makeDBF(0x30, 0, []dbfColumn{{"X", c.kind, c.width, []string{c.cell}}}), "")
		layer := mustDecode(t, f)
		if got := layer.Attributes.Cell(0, 0); got.Kind != c.want || string(got.Text) != c.text {
			t.Errorf("%c %q: %v %q, want %v %q", c.kind, c.cell, got.Kind, got.Text, c.want, c.text)
		}
	}
}

func TestKindsOfFields(t *testing.T) {
	for _, c := range []struct {
		kind  byte
		cells []string
		want  geo.Kind
	}{
		{'N', []string{"1", "2.5", ""}, geo.Number},
		{'N', []string{"", "****", ""}, geo.Null},
		{'N', []string{"1", "12,5"}, geo.Mixed},
		{'N', []string{"abc", "12,5"}, geo.Mixed},
		{'F', []string{"NaN", "1"}, geo.Mixed},
		{'C', []string{"1", ""}, geo.Text},
		{'C', []string{"", ""}, geo.Null},
		{'D', []string{"2026", "20260101"}, geo.Mixed},
	} {
		layer := mustDecode(t, withTable(t, makeDBF(3, 0, []dbfColumn{{"X", c.kind, 8, c.cells}}), ""))
		if got := layer.Attributes.Fields()[0].Kind; got != c.want {
			t.Errorf("%c %q: %v, want %v", c.kind, c.cells, got, c.want)
		}
	}
}

// TestKindIsFoundInAnySection puts the odd cell far from the first.
func TestKindIsFoundInAnySection(t *testing.T) {
	column := dbfColumn{"X", 'N', 8, make([]string, 3*cores.Block)}
	for i := range column.cells {
		column.cells[i] = strconv.Itoa(i)
	}
	column.cells[cores.Block+5] = "12,5"
	layer := mustDecode(t, withTable(t, makeDBF(3, 0, []dbfColumn{column}), ""))
	if got := layer.Attributes.Fields()[0].Kind; got != geo.Mixed {
		t.Errorf("%v, want mixed", got)
	}
}

func TestDeletedRowsCountAndHaveNoPolygon(t *testing.T) {
	f := encoded(t, "cells", grid(4), rates())
	for _, i := range []int{0, 2} {
		f.Dbf[97+20*i] = rowDeleted
	}
	putFloat(f.Shp, headerSize+136*2+52, 0) // nobody looks at it
	layer := mustDecode(t, f)
	if want := []int{0, 2}; !slices.Equal(layer.Deleted, want) {
		t.Errorf("deleted %v, want %v", layer.Deleted, want)
	}
	for i := range 4 {
		if layer.Shapes.Empty(i) != (i%2 == 0) {
			t.Errorf("record %d: empty is %v", i, layer.Shapes.Empty(i))
		}
		if got := string(layer.Attributes.Cell(i, 0).Text); got != strconv.Itoa(i+1) {
			t.Errorf("record %d has ZONE %s", i, got)
		}
	}
}

func TestEncodings(t *testing.T) {
	const word = "Größe"
	latin, dos := "Gr\xf6\xdfe", "Gr\x94\xe1e"
	for _, e := range []struct {
		name     string
		cpg      string
		language byte
		bytes    string
		want     string
		remarks  []string
	}{
		{"UTF-8 by .cpg", "UTF-8", 0x57, word, word, nil},
		{"UTF-8 with a mark and a line end", "\ufeffutf8\r\n", 0, word, word, nil},
		{"65001", "65001", 0, word, word, nil},
		{"1252 by .cpg", "1252", 0, latin, word, nil},
		{"ANSI 1252", "ANSI 1252", 0, "\x80" + latin, "€" + word, nil},
		{"ISO-8859-1", "ISO-8859-1", 0, latin, word, nil},
		{"88591", "88591", 0, "\x80" + latin, "\u0080" + word, nil},
		{"437", "437", 0, dos, word, nil},
		{"OEM 850", "OEM 850", 0, dos + "\xd5", word + "ı", nil},
		{"the .cpg wins", "CP437", 0x57, dos, word, nil},
		{"437 by driver", "", 0x01, dos, word, nil},
		{"850 by driver", "", 0x02, dos + "\xd5", word + "ı", nil},
		{"1252 by driver", "", 0x57, latin, word, nil},
		{"nothing stated, UTF-8", "", 0, word, word, nil},
		{"nothing stated, not UTF-8", "", 0, latin, word, []string{"encoding-guessed"}},
		{"unknown driver", "", 0x7B, latin, word, []string{"encoding-guessed"}},
		{"unknown .cpg", "EBCDIC", 0x57, latin, word, []string{"encoding-unknown", "encoding-guessed"}},
		{"unknown .cpg, UTF-8", "EBCDIC", 0, word, word, []string{"encoding-unknown"}},
		{"unknown .cpg, ASCII", "EBCDIC", 0, "plain", "plain", nil},
		{".cpg says UTF-8, wrongly", "UTF-8", 0, latin, word, []string{"encoding"}},
	} {
		t.Run(e.name, func(t *testing.T) {
			dbf := makeDBF(3, e.language, []dbfColumn{{e.bytes, 'C', 12, []string{e.bytes}}})
			layer := mustDecode(t, withTable(t, dbf, e.cpg))
			if got := string(layer.Attributes.Cell(0, 0).Text); got != e.want {
				t.Errorf("cell %q, want %q", got, e.want)
			}
			if got := layer.Attributes.Fields()[0].Name; got != e.want {
				t.Errorf("name %q, want %q", got, e.want)
			}
			if got := rules(layer.Remarks); !slices.Equal(got, e.remarks) {
				t.Errorf("remarks %v, want %v", got, e.remarks)
			}
		})
	}
}

// TestCodePages holds every byte against iconv's tables in testdata.
func TestCodePages(t *testing.T) {
	file, err := os.Open(filepath.Join("testdata", "codepages.txt"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	checked := 0
	for lines := bufio.NewScanner(file); lines.Scan(); checked++ {
		var name string
		var b byte
		var want rune
		if _, err := fmt.Sscanf(lines.Text(), "%s %X %X", &name, &b, &want); err != nil {
			t.Fatal(err)
		}
		page, known := namedPage([]byte(name))
		if !known {
			t.Fatalf("%s is not known", name)
		}
		if got, _ := utf8.DecodeRune(decode(page, []byte{b})); got != want {
			t.Errorf("%s %02X: %U, want %U", name, b, got, want)
		}
	}
	if checked < 500 {
		t.Errorf("%d bytes checked, want over 500", checked)
	}
	open := []byte{0x81, 0x8D, 0x8F, 0x90, 0x9D} // what iconv has no character for
	if got := string(decode(charmap.Windows1252, open)); got != "\u0081\u008d\u008f\u0090\u009d" {
		t.Errorf("open bytes of Windows-1252: %q", got)
	}
}

// Each language driver of dBASE, and each byte that is none, means its code page: the list as Esri's and
// GDAL's documents of the format have it (from memory).
func TestLanguageDrivers(t *testing.T) {
	means := map[byte]*charmap.Charmap{}
	for page, drivers := range map[*charmap.Charmap]string{
		charmap.CodePage437: "\x01\x09\x0b\x0d\x0f\x11\x15\x18\x19\x1b", charmap.CodePage850: "\x02\x0a\x0e\x10\x12\x14\x16\x1a\x1d\x25\x37", charmap.Windows1252: "\x03\x57\x58\x59",
	} {
		for _, driver := range []byte(drivers) {
			means[driver] = page
		}
	}
	for driver := range 256 {
		want := means[byte(driver)]
		if page, known := drivenPage(byte(driver)); page != want || known != (want != nil) {
			t.Errorf("%#x: %v, %v, want %v", driver, page, known, want)
		}
	}
}

func TestDuplicateFieldsAreKept(t *testing.T) {
	dbf := makeDBF(3, 0, []dbfColumn{{"RATE", 'N', 4, []string{"1"}}, {"Rate", 'N', 4, []string{"2"}}})
	layer := mustDecode(t, withTable(t, dbf, ""))
	if got := layer.Attributes.Fields(); len(got) != 2 || got[0].Name != "RATE" || got[1].Name != "Rate" {
		t.Errorf("fields %v", got)
	}
	if len(layer.Remarks) != 1 || layer.Remarks[0].Rule != "duplicate-field" || !strings.EqualFold(layer.Remarks[0].Name, "rate") {
		t.Errorf("remarks %v", layer.Remarks)
	}
}

// A file of 2000 fields without width and a million rows of a byte has two billion
// cells; none of them holds anything.
func TestFieldsWithoutWidthAreLeftOut(t *testing.T) {
	dbf := makeDBF(3, 0, []dbfColumn{{"A", 'N', 0, []string{""}}, {"RATE", 'N', 4, []string{"120"}}, {"B", 'C', 0, []string{""}}})
	layer := mustDecode(t, withTable(t, dbf, ""))
	if got := layer.Attributes.Fields(); len(got) != 1 || got[0].Name != "RATE" {
		t.Errorf("fields %v", got)
	}
	if got := string(layer.Attributes.Cell(0, 0).Text); got != "120" {
		t.Errorf("cell %q, want 120", got)
	}
	if len(layer.Remarks) != 1 || layer.Remarks[0].Rule != "field-without-width" || layer.Remarks[0].Count != 2 || layer.Remarks[0].Name != "A" {
		t.Errorf("remarks %v", layer.Remarks)
	}
}

func TestTheFoxProDatabasePathIsPassedOver(t *testing.T) {
	dbf := makeDBF(0x30, 0, []dbfColumn{{"X", 'I', 4, []string{"\x07\x00\x00\x00"}}})
	head := dbfHeaderSize + dbfFieldSize + 1
	path := make([]byte, 263)
	copy(path, "farm.dbc")
	dbf = slices.Insert(dbf, head, path...)
	binary.LittleEndian.PutUint16(dbf[8:], uint16(head+263))
	layer := mustDecode(t, withTable(t, dbf, ""))
	if got := string(layer.Attributes.Cell(0, 0).Text); got != "7" {
		t.Errorf("cell %q, want 7", got)
	}
}

func TestReadingCellsTakesNoMemory(t *testing.T) {
	layer := mustDecode(t, encoded(t, "cells", grid(100), rates()))
	if n := testing.AllocsPerRun(100, func() { layer.Attributes.Cell(50, 1) }); n > 0 {
		t.Errorf("%v allocations a cell, want none", n)
	}
}

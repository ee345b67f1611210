package shapefile

import (
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"rxsplit/geo"
)

// decode converts text from a single-byte encoding. The bytes that Windows-1252
// leaves open become the control characters of the same number, as browsers take
// them (WHATWG Encoding Standard): nothing of a cell is lost.
func decode(page *charmap.Charmap, text []byte) []byte {
	out := make([]byte, 0, 2*len(text))
	for _, b := range text {
		r := page.DecodeByte(b)
		if r == utf8.RuneError {
			r = rune(b)
		}
		out = utf8.AppendRune(out, r)
	}
	return out
}

// toUTF8 converts text from the table's encoding. Where that is UTF-8 and a cell
// is not valid, the cell is taken as Windows-1252 (remark "encoding").
func (t *table) toUTF8(text []byte) []byte {
	if t.page != nil {
		return decode(t.page, text)
	}
	if utf8.Valid(text) {
		return text
	}
	return decode(charmap.Windows1252, text)
}

// namedPage returns the encoding that a .cpg names, nil for UTF-8; known is false
// for a name that is not known.
func namedPage(cpg []byte) (page *charmap.Charmap, known bool) {
	name := strings.ToUpper(strings.TrimSpace(strings.Trim(string(cpg), "\x00\ufeff \r\n")))
	name = strings.NewReplacer(" ", "", "-", "", "_", "").Replace(name)
	switch name {
	case "UTF8", "65001":
		return nil, true
	case "1252", "CP1252", "ANSI1252", "WINDOWS1252", "LDID/87", "LDID/3":
		return charmap.Windows1252, true
	case "ISO88591", "88591", "LATIN1", "28591":
		return charmap.ISO8859_1, true
	case "437", "CP437", "OEM437", "IBM437":
		return charmap.CodePage437, true
	case "850", "CP850", "OEM850", "IBM850":
		return charmap.CodePage850, true
	}
	return nil, false
}

// drivenPage returns the encoding that a language driver byte means (the list of
// dBASE IV's language drivers as GDAL's DBF documentation has it, from memory);
// known is false for 0 and for pages that are not known.
func drivenPage(driver byte) (page *charmap.Charmap, known bool) {
	switch driver {
	case 0x01, 0x09, 0x0B, 0x0D, 0x0F, 0x11, 0x15, 0x18, 0x19, 0x1B:
		return charmap.CodePage437, true
	case 0x02, 0x0A, 0x0E, 0x10, 0x12, 0x14, 0x16, 0x1A, 0x1D, 0x25, 0x37:
		return charmap.CodePage850, true
	case 0x03, 0x57, 0x58, 0x59:
		return charmap.Windows1252, true
	}
	return nil, false
}

// encode settles the table's encoding: the .cpg's, else the language driver's,
// else UTF-8 if all text is, else Windows-1252, which is a guess.
func (t *table) encode(cpg []byte, rows *rowScan) (remarks []geo.Remark) {
	page, known := namedPage(cpg)
	asked := strings.TrimSpace(string(cpg))
	if !known && asked == "" {
		page, known = drivenPage(t.language)
	}
	ascii := !rows.notASCII && t.namesAreASCII()
	valid := len(rows.notUTF8) == 0 && t.namesAreUTF8()
	switch {
	case ascii:
		return nil
	case known:
		t.page = page
		if page == nil && !valid {
			remarks = append(remarks, geo.Remark{Rule: "encoding", Records: rows.notUTF8})
		}
		return remarks
	}
	if asked != "" {
		remarks = append(remarks, geo.Remark{Rule: "encoding-unknown", Name: geo.Shorten(asked)})
	}
	if !valid {
		t.page = charmap.Windows1252
		remarks = append(remarks, geo.Remark{Rule: "encoding-guessed"})
	}
	return remarks
}

func (t *table) namesAreASCII() bool {
	for i := range t.columns {
		if !isASCII(t.columns[i].name) {
			return false
		}
	}
	return true
}

func (t *table) namesAreUTF8() bool {
	for i := range t.columns {
		if !utf8.Valid(t.columns[i].name) {
			return false
		}
	}
	return true
}

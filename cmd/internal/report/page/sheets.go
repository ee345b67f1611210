package page

import (
	"fmt"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/rx"
)

// pageSheet is a work sheet, on a page of its own when printed.
type pageSheet struct {
	ID, Title, Layer string
	Kind             rx.SheetKind
	Sections         []pageSection
}

// pageSection is a part of a sheet.
type pageSection struct {
	rx.Section
	ID     string
	Tables []pageTable
	Blanks []pageBlank
}

// pageBlank is to be filled in by hand: on a line below it, unless the text has
// room in it.
type pageBlank struct {
	Parts []string // no line ends inside one, where it has the room
	Line  bool
}

func blankOf(text string) pageBlank {
	if !strings.Contains(text, "__") {
		return pageBlank{[]string{text}, true}
	}
	return pageBlank{strings.SplitAfter(text, "; "), false}
}

func sheetsOf(r report.Result) []pageSheet {
	list := make([]pageSheet, len(r.Sheets))
	for i, s := range r.Sheets {
		sheet := pageSheet{ID: fmt.Sprintf("sheet-%d", i+1), Title: s.Title, Layer: s.Layer, Kind: s.Kind}
		for k, section := range s.Sections {
			part := pageSection{Section: section, ID: fmt.Sprintf("%s-%d", sheet.ID, k+1)}
			for _, t := range section.Tables {
				part.Tables = append(part.Tables, sheetTable(t))
			}
			for _, text := range section.Blanks {
				part.Blanks = append(part.Blanks, blankOf(text))
			}
			sheet.Sections = append(sheet.Sections, part)
		}
		list[i] = sheet
	}
	return list
}

func sheetTable(t rx.Table) pageTable {
	left := func(i int) bool { return i < len(t.Left) && t.Left[i] }
	row := func(texts []string) []pageCell {
		cells := make([]pageCell, len(texts))
		for i, text := range texts {
			cells[i] = pageCell{Text: text, Left: left(i)}
		}
		return cells
	}
	out := pageTable{Caption: t.Title, Head: row(t.Head), Total: row(t.Total)}
	for _, texts := range t.Rows {
		out.Rows = append(out.Rows, row(texts))
	}
	if t.Long {
		return out.sideBySide()
	}
	return out
}

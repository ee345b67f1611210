package page

import (
	"fmt"
	"io"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/rx"
)

// pageSheet is a card or a work sheet, on pages of its own when printed.
type pageSheet struct {
	ID, Title, Layer string
	Kind             rx.SheetKind
	Heads            rx.Heads
	Card             *pageCard
	Sections         []pageSection
}

// pageCard is what a card has besides its sections.
type pageCard struct {
	Mark string
	Band int
	Dose rx.Fact
	Log  pageTable
}

// bands is how many bands the style sheet has for marks.
const bands = 6

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
	Sign  bool // who works from a card signs here
}

// signed is the room that a text leaves for a signature.
const signed = "________________________"

func blankOf(text string) pageBlank {
	if !strings.Contains(text, "__") {
		return pageBlank{Parts: []string{text}, Line: true}
	}
	parts := strings.SplitAfter(text, "; ")
	if sign := strings.Contains(text, signed); sign {
		for i := range parts {
			parts[i] = strings.TrimRight(parts[i], "_; ")
		}
		return pageBlank{Parts: parts, Sign: true}
	}
	return pageBlank{Parts: parts}
}

// sheetsOf lists the cards and the sheets behind them.
func sheetsOf(r report.Result) (cards, sheets []pageSheet) {
	for _, s := range r.Sheets {
		if s.Card != nil {
			cards = append(cards, sheetOf(s, fmt.Sprintf("card-%d", len(cards)+1)))
		} else {
			sheets = append(sheets, sheetOf(s, fmt.Sprintf("sheet-%d", len(sheets)+1)))
		}
	}
	return cards, sheets
}

func sheetOf(s rx.Sheet, id string) pageSheet {
	sheet := pageSheet{ID: id, Title: s.Title, Layer: s.Layer, Kind: s.Kind, Heads: s.Heads}
	if c := s.Card; c != nil {
		sheet.Card = &pageCard{Mark: c.Mark, Band: c.Band % bands, Dose: c.Dose, Log: logOf(c.Log, s.Title)}
	}
	for k, section := range s.Sections {
		part := pageSection{Section: section, ID: fmt.Sprintf("%s-%d", id, k+1)}
		for _, t := range section.Tables {
			table := sheetTable(t)
			if s.Card != nil {
				table = table.labeled()
			}
			part.Tables = append(part.Tables, table)
		}
		for _, text := range section.Blanks {
			part.Blanks = append(part.Blanks, blankOf(text))
		}
		sheet.Sections = append(sheet.Sections, part)
	}
	return sheet
}

// Sheet prints one sheet as a part of another page. Its tables become cards where the screen
// is narrow.
func Sheet(w io.Writer, s rx.Sheet) error {
	view := sheetOf(s, "sheet")
	for _, section := range view.Sections {
		for i := range section.Tables {
			section.Tables[i] = section.Tables[i].labeled()
		}
	}
	return lay(w, "alone", view)
}

// logOf draws what a log leaves to be written in as empty cells, and boxes to tick.
func logOf(t rx.Table, title string) pageTable {
	out := sheetTable(t)
	out.Caption, out.Hidden, out.Wide = "Log: "+title, true, true
	for _, row := range out.Rows {
		for i := range row {
			switch {
			case row[i].Text == "[ ]":
				row[i] = pageCell{Class: "box", Text: "\u2610"}
			case strings.Trim(row[i].Text, "_") == "":
				row[i] = pageCell{Class: "write"}
			}
		}
	}
	return out
}

func sheetTable(t rx.Table) pageTable {
	left := func(i int) bool { return i < len(t.Left) && t.Left[i] }
	row := func(texts []string) []pageCell {
		cells := make([]pageCell, len(texts))
		for i, text := range texts {
			// In a narrow column a range takes two lines, not three.
			cells[i] = pageCell{Text: strings.ReplaceAll(text, " to ", "\u00a0to "), Left: left(i)}
		}
		return cells
	}
	out := pageTable{Caption: t.Title, Desk: t.Desk, Head: row(t.Head), Total: row(t.Total)}
	for _, texts := range t.Rows {
		out.Rows = append(out.Rows, row(texts))
	}
	if t.Long {
		return out.sideBySide()
	}
	return out
}

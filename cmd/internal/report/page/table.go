package page

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// pageCell is a text; a figure of the result carries the name that the JSON output
// has for it and its value with all digits, so that programs can hold the page
// against them.
type pageCell struct {
	Text  string
	Key   string
	Value string
	Fill  string // of the swatch before it; empty if it has none
	Left  bool   // text rather than a number
	Class string // "long" for text of several lines, "hash" for digits without spaces
	Zones []int  // their numbers, where the cell stands for some
	Label string // what the head of its column says, for small screens
}

func figure(text, key string, value float64) pageCell {
	return pageCell{Text: text, Key: key, Value: strconv.FormatFloat(value, 'g', -1, 64)}
}

func words(text string) pageCell  { return pageCell{Text: text, Left: true} }
func long(text string) pageCell   { return pageCell{Text: text, Left: true, Class: "long"} }
func number(text string) pageCell { return pageCell{Text: text} }

// ZoneList names the zones that a cell stands for, for the script.
func (c pageCell) ZoneList() string { return strings.Trim(fmt.Sprint(c.Zones), "[]") }

// pageTable is a table; the first cell of a row is its head.
type pageTable struct {
	Caption string
	Hidden  bool // the caption is for screen readers, as a heading says it already
	Wide    bool // takes the width of the page
	Desk    bool // of a sheet: not printed with all the rest
	Cards   bool // on a small screen each row is a card
	Head    []pageCell
	Rows    [][]pageCell
	Under   []string // of each row, what is said below it over the whole width; none where empty
	Total   []pageCell
	Blocks  []pageBlock // instead of rows: parts of a long table
}

// pageBlock are parts of a table side by side, no longer than a printed page.
type pageBlock struct {
	Columns int
	Parts   []pageTable
}

// uncutRows is how many rows a table may have to stay on one printed page; a longer one
// repeats its head.
const uncutRows = 12

// Short reports whether the table is not to be cut when printed.
func (t pageTable) Short() bool { return len(t.Rows) <= uncutRows }

// broadColumns is how many columns of a table need the whole width of paper.
const broadColumns = 8

// Broad reports whether the table does not fit a column of a printed sheet.
func (t pageTable) Broad() bool { return len(t.Head) >= broadColumns }

// labeled makes cells say on a small screen what the heads say on a large one.
func (t pageTable) labeled() pageTable {
	t.Cards = true
	for _, row := range append(t.Rows[:len(t.Rows):len(t.Rows)], t.Total) {
		for i := range row {
			row[i].Label = t.Head[i].Text
		}
	}
	return t
}

// heads makes a row of heads: those that begin with "<" stand over text.
func heads(texts ...string) []pageCell {
	list := make([]pageCell, len(texts))
	for i, text := range texts {
		if len(text) > 0 && text[0] == '<' {
			list[i] = words(text[1:])
			continue
		}
		list[i] = number(text)
	}
	return list
}

const (
	fewRows  = 8  // need no parts
	mostRows = 26 // of a part, so that it stays on its page in print
)

// sideBySide lays a table of few columns in parts.
func (t pageTable) sideBySide() pageTable {
	if len(t.Rows) <= fewRows {
		return t
	}
	columns := 2
	if len(t.Head) <= 3 {
		columns = 3
	}
	for rows := range slices.Chunk(t.Rows, columns*mostRows) {
		block := pageBlock{Columns: columns}
		for part := range slices.Chunk(rows, (len(rows)+columns-1)/columns) {
			name := fmt.Sprintf("%s %s to %s", t.Head[0].Text, part[0][0].Text, part[len(part)-1][0].Text)
			if t.Caption != "" {
				name = t.Caption + ", " + name
			}
			block.Parts = append(block.Parts, pageTable{Caption: name, Hidden: true, Head: t.Head, Rows: part})
		}
		t.Blocks = append(t.Blocks, block)
	}
	t.Rows = nil
	return t
}

package page

import (
	"strconv"

	"rxsplit/rx"
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
	Zone  int    // its number, where the cell names one
	Label string // what the head of its column says, for small screens
}

func figure(text, key string, value float64) pageCell {
	return pageCell{Text: text, Key: key, Value: strconv.FormatFloat(value, 'g', -1, 64)}
}

func words(text string) pageCell  { return pageCell{Text: text, Left: true} }
func long(text string) pageCell   { return pageCell{Text: text, Left: true, Class: "long"} }
func number(text string) pageCell { return pageCell{Text: text} }

// pageTable is a table; the first cell of a row is its head.
type pageTable struct {
	Caption string
	Hidden  bool // the caption is for screen readers, as a heading says it already
	Wide    bool // takes the width of the page
	Cards   bool // on a small screen each row is a card
	Head    []pageCell
	Rows    [][]pageCell
	Total   []pageCell
	Blocks  []pageBlock // instead of rows: parts of a long table
}

// pageBlock are parts of a table side by side, no longer than a printed page.
type pageBlock struct {
	Columns int
	Parts   []pageTable
}

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

// areaKey returns what JSON calls the acres of a verdict.
func areaKey(v rx.Verdict) string {
	return [...]string{rx.Within: "area.within", rx.Below: "area.below", rx.Above: "area.above", rx.NoDry: "area.no_dry", rx.NoRate: "area.no_rate"}[v]
}

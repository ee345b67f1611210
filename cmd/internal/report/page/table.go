package page

import (
	"fmt"
	"html/template"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
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

// escaped makes of a text what templates do, between tags and as the value of an attribute.
var escaped = strings.NewReplacer("\x00", "\ufffd", `"`, "&#34;", "&", "&amp;", "'", "&#39;", "+", "&#43;", "<", "&lt;", ">", "&gt;")

// hyphened are names and figures that a line may break at a hyphen, or after a sign.
var hyphened = regexp.MustCompile(`([^\s,]+[-+][^\s,]*|[-+][^\s,]+)( %)?`)

// unbroken escapes the text of a cell, with its names and figures each on one line.
func unbroken(text string) string {
	if !strings.ContainsAny(text, "-+") {
		return escaped.Replace(text)
	}
	var b strings.Builder
	from := 0
	for _, at := range hyphened.FindAllStringIndex(text, -1) {
		b.WriteString(escaped.Replace(text[from:at[0]]) + `<span class="w">` + escaped.Replace(text[at[0]:at[1]]) + "</span>")
		from = at[1]
	}
	return b.String() + escaped.Replace(text[from:])
}

// row lays out a row of a table. Cells are most of a page, and take templates five times as
// long.
func row(cells []pageCell) template.HTML {
	out := []byte("<tr>")
	for i, c := range cells {
		switch {
		case i > 0:
			out = append(out, cell(c)...)
		case c.Text == "":
			out = append(out, "<td></td>"...)
		default:
			out = append(out, `<th scope="row"`+c.class()...)
			if c.Class == "" && !c.Left {
				out = append(out, attribute("data-label", c.Label)...)
			}
			out = append(out, c.zoneList()+">"...)
			if c.Fill != "" {
				out = append(out, swatch(c.Fill)+" "...)
			}
			out = append(out, unbroken(c.Text)+"</th>"...)
		}
	}
	return template.HTML(append(out, "</tr>"...))
}

// cell lays out a cell that is not the head of its row.
func cell(c pageCell) template.HTML {
	figure, text := "", unbroken(c.Text)
	if c.Key != "" {
		figure = attribute("data-key", c.Key) + attribute("data-value", c.Value)
	}
	if c.Fill != "" {
		text = `<span class="marked">` + string(swatch(c.Fill)) + " " + text + "</span>"
	}
	return template.HTML("<td" + c.class() + figure + attribute("data-label", c.Label) + c.zoneList() + ">" + text + "</td>")
}

func (c pageCell) class() string {
	if c.Class == "" && !c.Left {
		return ` class="num"`
	}
	return attribute("class", c.Class)
}

// zoneList names the zones that a cell stands for, for the script.
func (c pageCell) zoneList() string {
	return attribute("data-zones", strings.Trim(fmt.Sprint(c.Zones), "[]"))
}

// attribute is one with a space before it; nothing without a value.
func attribute(name, value string) string {
	if value == "" {
		return ""
	}
	return " " + name + `="` + escaped.Replace(value) + `"`
}

// swatch is a piece of a map's color.
func swatch(fill string) template.HTML {
	return template.HTML(`<svg class="swatch" viewBox="0 0 280 180" aria-hidden="true" focusable="false"><rect width="280" height="180" fill="` + escaped.Replace(fill) + `"/></svg>`)
}

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

// Body lays out the rows, and what is said below them.
func (t pageTable) Body() template.HTML {
	var b strings.Builder
	for i, cells := range t.Rows {
		b.WriteString("\n" + string(row(cells)))
		if t.Under != nil {
			fmt.Fprintf(&b, `<tr class="under"><td colspan="%d">%s</td></tr>`, len(t.Head), escaped.Replace(t.Under[i]))
		}
	}
	return template.HTML(b.String())
}

// uncutRows is how many rows a table may have to stay on one printed page; a longer one
// repeats its head.
const uncutRows = 12

// Short reports whether the table is not to be cut when printed.
func (t pageTable) Short() bool { return len(t.Rows) <= uncutRows }

// broadColumns is how many columns of a table need the whole width of paper.
const broadColumns = 8

// Broad reports whether the table does not fit a column of a printed sheet, even where long
// names are parted at their hyphens.
func (t pageTable) Broad() bool { return len(t.Head) >= broadColumns || t.letters("-") > mostLetters }

// mostLetters is what a column of a printed sheet holds of the longest words of all columns of
// a table, with one between them.
const mostLetters = 56

// Tight reports whether the table fits a column of a printed sheet only if long names are parted
// at their hyphens.
func (t pageTable) Tight() bool { return t.letters("") > mostLetters }

// letters counts those of the longest words of all columns, parted behind some letters as well,
// with one between them; none of a table that has the whole width. Capitals are wider, of which
// names of fields are, and so is the first column, which is bold.
func (t pageTable) letters(parted string) float64 {
	if t.Wide {
		return 0
	}
	longest := make([]float64, len(t.Head))
	for _, cells := range append([][]pageCell{t.Head}, t.Rows...) {
		for i, c := range cells[:min(len(cells), len(longest))] {
			wide := 0.0
			for _, letter := range strings.ReplaceAll(c.Text, " %", "_%") {
				switch {
				case unicode.IsSpace(letter):
					wide = 0
					continue
				case unicode.IsUpper(letter):
					wide += capital
				default:
					wide++
				}
				longest[i] = max(longest[i], wide)
				if strings.ContainsRune(parted, letter) {
					wide = 0
				}
			}
		}
	}
	all := float64(len(longest))
	for i, n := range longest {
		if all += n; i == 0 {
			all += float64(bold * n)
		}
	}
	return all
}

// How many letters a capital is as wide as, and by how much bold ones are wider.
const capital, bold = 1.3, 0.15

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

// cellsUnder makes a row of texts under heads: they are words where these are.
func cellsUnder(head []pageCell, texts []string) []pageCell {
	cells := make([]pageCell, len(texts))
	for i, text := range texts {
		cells[i] = pageCell{Text: text, Left: head[i].Left}
	}
	return cells
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

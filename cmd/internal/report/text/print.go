// Package text prints results for a terminal of 80 columns, and work sheets for paper.
package text

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"rxsplit/cmd/internal/report"
	"rxsplit/internal/each"
)

// lineWidth is what a terminal shows without wrapping.
const lineWidth = 80

// printer writes lines and remembers the first error.
type printer struct {
	w   io.Writer
	err error
}

func (p *printer) f(format string, args ...any) {
	if p.err == nil {
		_, p.err = io.WriteString(p.w, report.Plain(fmt.Sprintf(format, args...)))
	}
}

// pageBreak ends a printed page.
func (p *printer) pageBreak() {
	if p.err == nil {
		_, p.err = io.WriteString(p.w, "\f")
	}
}

// wrapped prints a text between a first and a following indent, cut at spaces so
// that no line is wider than a terminal.
func (p *printer) wrapped(first, rest, text string) {
	line := first
	empty := true
	for _, word := range strings.Fields(text) {
		if !empty && width(line)+1+width(word) > lineWidth {
			p.f("%s\n", line)
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	p.f("%s\n", line)
}

func width(s string) int { return utf8.RuneCountInString(s) }

// command prints a command, on lines that a shell takes as one where it is longer than a
// line.
func (p *printer) command(format string, args ...any) {
	command := fmt.Sprintf(format, args...)
	if width(command) <= lineWidth {
		p.f("%s\n", command)
		return
	}
	words := strings.Split(command, " --")
	line := words[0]
	for _, word := range words[1:] {
		if !quoted(line) && width(line+" --"+word+" \\") > lineWidth {
			p.f("%s \\\n", line)
			line = " "
		}
		line += " --" + word
	}
	p.f("%s\n", line)
}

// quoted reports whether a command ends within quotes, as [report.Word] sets them.
func quoted(command string) bool {
	in, written := false, false // in $'...' a backslash writes out what follows, in '...' it doesn't
	for i := 0; i < len(command); i++ {
		switch {
		case command[i] == '\\' && (!in || written):
			i++
		case command[i] == '\'':
			written = !in && i > 0 && command[i-1] == '$'
			in = !in
		}
	}
	return in
}

// column is one column of a printed table.
type column struct {
	head string
	left bool // aligned left; numbers are aligned right
}

// fullWidth is how wide a table is whose cells all stand in their rows.
func fullWidth(columns []column, rows [][]string) int {
	all := 2 * (len(columns) - 1)
	for i, c := range columns {
		widest := width(c.head)
		for _, row := range rows {
			widest = max(widest, width(row[i]))
		}
		all += widest
	}
	return all
}

// table prints rows under heads, each column as wide as it needs. A name at the left that
// would make the table wider than a terminal stands on a line of its own above its row.
func (p *printer) table(indent string, columns []column, rows [][]string) {
	widths := make([]int, len(columns))
	most := lineWidth - width(indent) // of the first column
	for i := len(columns) - 1; i >= 0; i-- {
		widths[i] = width(columns[i].head)
		for _, row := range rows {
			if i > 0 || !columns[0].left || width(row[0]) <= max(most, widths[0]) {
				widths[i] = max(widths[i], width(row[i]))
			}
		}
		most -= widths[i] + 2
	}
	heads := each.Of(columns, func(c column) string { return c.head })
	for _, row := range append([][]string{heads}, rows...) {
		line := indent
		for i, cell := range row {
			if i == 0 && width(cell) > widths[0] {
				p.wrapped(indent, indent+"  ", cell)
				cell = ""
			}
			pad := strings.Repeat(" ", widths[i]-width(cell))
			if i > 0 {
				line += "  "
			}
			if columns[i].left {
				line += cell + pad
			} else {
				line += pad + cell
			}
		}
		p.f("%s\n", strings.TrimRight(line, " "))
	}
}

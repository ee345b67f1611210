package report

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
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
		_, p.err = io.WriteString(p.w, Plain(fmt.Sprintf(format, args...)))
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

// column is one column of a printed table.
type column struct {
	head string
	left bool // aligned left; numbers are aligned right
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
	heads := make([]string, len(columns))
	for i, c := range columns {
		heads[i] = c.head
	}
	for _, row := range append([][]string{heads}, rows...) {
		line := indent
		for i, cell := range row {
			if i == 0 && width(cell) > widths[0] {
				p.f("%s%s\n", indent, cell)
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

// quantities print numbers in the user's units.
type quantities struct{ s unit.System }

func (q quantities) area(a unit.Area) string       { return fixed(a.In(q.s), 2) }
func (q quantities) dry(r unit.DryRate) string     { return short(r.In(q.s)) }
func (q quantities) rate(r unit.LiquidRate) string { return fixed(r.In(q.s), 1) }

func (q quantities) dryRange(low, high unit.DryRate) string {
	if q.dry(low) == q.dry(high) {
		return q.dry(low)
	}
	return q.dry(low) + " to " + q.dry(high)
}

func (q quantities) rateRange(low, high unit.LiquidRate) string {
	if q.rate(low) == q.rate(high) {
		return q.rate(low)
	}
	return q.rate(low) + " to " + q.rate(high)
}

// mass prints lb, or tons where there are many.
func (q quantities) mass(m unit.Mass) string {
	if q.s == unit.Metric {
		if m >= unit.MetricTon {
			return fixed(float64(m/unit.MetricTon), 3) + " t"
		}
		return fixed(m.In(q.s), 1) + " kg"
	}
	return thousands(fixed(float64(m), 0)) + " lb"
}

// volume prints gallons or liters, and the small unit where it is little.
func (q quantities) volume(v unit.Volume) string {
	switch {
	case q.s == unit.Metric && v < unit.Liter:
		return fixed(v.In(q.s), 0) + " mL"
	case q.s == unit.Metric:
		return fixed(float64(v/unit.Liter), 1) + " L"
	case v < unit.Gallon:
		return fixed(float64(v), 1) + " fl oz"
	}
	return thousands(fixed(float64(v), 0)) + " fl oz (" + fixed(float64(v/unit.Gallon), 2) + " gal)"
}

// tank prints gallons or liters alone.
func (q quantities) tank(v unit.Volume) string {
	if q.s == unit.Metric {
		return thousands(fixed(float64(v/unit.Liter), 1)) + " L"
	}
	return thousands(fixed(float64(v/unit.Gallon), 2)) + " gal"
}

func fixed(v float64, decimals int) string  { return figures.Fixed(v, decimals) }
func short(v float64) string                { return figures.Short(v) }
func thousands(s string) string             { return figures.Thousands(s) }
func plural(n int, one, many string) string { return figures.Plural(n, one, many) }
func trim(v float64) string                 { return figures.Trim(v) }

package text

import (
	"fmt"
	"io"
	"strings"

	"rxsplit/rx"
)

// Sheets prints work sheets for paper of 80 columns. Each begins on a page of its
// own, after a form feed.
func Sheets(w io.Writer, sheets []rx.Sheet) error {
	p := &printer{w: w}
	for i, s := range sheets {
		if i > 0 {
			p.pageBreak()
		}
		p.sheet(s)
	}
	return p.err
}

func (p *printer) sheet(s rx.Sheet) {
	rule := strings.Repeat("=", lineWidth)
	p.f("%s\n", rule)
	p.wrapped("", "", strings.ToUpper(s.Title))
	if s.Heads.Load != "" {
		p.wrapped("", "", strings.ToUpper(s.Heads.Load)+", "+s.Heads.Loading+", "+s.Heads.Field)
	}
	p.f("%s\n", rule)
	if s.Card != nil {
		p.card(s)
		return
	}
	for _, section := range s.Sections {
		p.f("\n")
		p.section(section)
	}
}

// card prints the dose first; its log comes before what is signed.
func (p *printer) card(s rx.Sheet) {
	dose := s.Card.Dose
	p.f("\n")
	p.wrapped("  >>>  ", "       ", dose.What+":")
	p.wrapped("  >>>  ", "       ", dose.Value+"  ("+dose.Note+")")
	last := len(s.Sections) - 1
	for i, section := range s.Sections {
		after := rx.Section{}
		if i == last {
			after.Notes, after.Blanks = section.Notes, section.Blanks
			section.Notes, section.Blanks = nil, nil
		}
		p.f("\n")
		p.section(section)
		if i == last {
			if len(s.Card.Log.Rows) > 0 {
				p.f("\n")
				p.sheetTable(s.Card.Log)
				p.f("\n")
			}
			p.section(after)
		}
	}
}

// section prints the parts of a section in the order in which they are worked
// through: what to beware of, the figures, the steps, then what to write in.
func (p *printer) section(s rx.Section) {
	if s.Title != "" {
		p.wrapped("", "", s.Title)
		p.f("%s\n", strings.Repeat("-", min(width(s.Title), lineWidth)))
	}
	for _, text := range s.Cautions {
		p.wrapped("  ! ", "    ", text)
	}
	p.facts(s.Facts)
	for i, t := range s.Tables {
		if i > 0 || len(s.Cautions)+len(s.Facts) > 0 {
			p.f("\n")
		}
		p.sheetTable(t)
	}
	if len(s.Tables) > 0 && len(s.Steps)+len(s.Notes)+len(s.Blanks) > 0 {
		p.f("\n")
	}
	for i, text := range s.Steps {
		p.wrapped(fmt.Sprintf("  %d. ", i+1), "     ", text)
	}
	for _, text := range s.Notes {
		p.wrapped("  ", "  ", text)
	}
	for _, text := range s.Blanks {
		p.wrapped("  > ", "    ", text)
	}
}

// facts prints the names in a column as wide as the widest that fits.
func (p *printer) facts(facts []rx.Fact) {
	const widest = 28
	wide := 0
	for _, f := range facts {
		wide = max(wide, min(width(f.What), widest))
	}
	for _, f := range facts {
		text := f.Value
		if f.Note != "" {
			text += "  (" + f.Note + ")"
		}
		p.wrapped(fmt.Sprintf("  %-*s  ", wide, f.What), strings.Repeat(" ", wide+4), text)
	}
}

// sheetTable prints a table, numbers aligned right; the last row apart under a rule.
func (p *printer) sheetTable(t rx.Table) {
	columns := make([]column, len(t.Head))
	for i, head := range t.Head {
		columns[i] = column{head: head, left: i < len(t.Left) && t.Left[i]}
	}
	if t.Title != "" {
		p.wrapped("  ", "  ", t.Title)
	}
	rows := t.Rows
	if t.Total != nil {
		rule := make([]string, len(t.Head))
		for i := range rule {
			rule[i] = strings.Repeat("-", tableWidth(t, i))
		}
		rows = append(append([][]string{}, rows...), rule, t.Total)
	}
	p.table("  ", columns, rows)
}

func tableWidth(t rx.Table, i int) int {
	wide := max(width(t.Head[i]), width(t.Total[i]))
	for _, row := range t.Rows {
		wide = max(wide, width(row[i]))
	}
	return wide
}

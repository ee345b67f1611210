package text

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
)

// Day prints a plant's day: what can be done, the windows of the fields on one axis, the
// loadings, who takes what, and what to order.
func Day(w io.Writer, d report.Day) error {
	p := &printer{w: w}
	p.wrapped("", "", daySentence(d))
	dayDrawing(p, d)
	dayLoadings(p, d)
	dayFields(p, d)
	dayOrders(p, d)
	dayReasons(p, d)
	return p.err
}

// letter names a loading that fields share.
func letter(k int) string {
	const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
	if k < len(letters) {
		return letters[k : k+1]
	}
	return "*"
}

func daySentence(d report.Day) string {
	served, sharing, boom := 0, 0, 0
	for _, f := range d.Fields {
		switch {
		case !f.Served():
			continue
		case f.Shared >= 0:
			sharing++
		case len(f.Loadings) == 0:
			boom++
		}
		served++
	}
	var parts []string
	if sharing > 0 {
		parts = append(parts, fmt.Sprintf("%d share %s", sharing, figures.Plural(len(d.Loadings), "loading", "loadings")))
	}
	if boom > 0 {
		parts = append(parts, fmt.Sprintf("%d by wet boom", boom))
	}
	if own := served - sharing - boom; own > 0 {
		parts = append(parts, fmt.Sprintf("%d with %s of their own", own, figures.Plural(d.Opened-len(d.Loadings), "loading", "loadings")))
	}
	said := fmt.Sprintf("%d of %s served", served, figures.Plural(len(d.Fields), "field", "fields"))
	if len(parts) > 0 {
		said += ": " + strings.Join(parts, ", ")
	}
	said += "."
	if d.Fewest > 0 {
		said += fmt.Sprintf(" The fewest that would serve all fields with a window: %d.", d.Fewest)
	}
	switch c := d.Cost; {
	case c != nil && c.Low != c.High:
		said += fmt.Sprintf(" Whole cost %s to %s.", unit.Cents(unit.Money(c.Low)), unit.Cents(unit.Money(c.High)))
	case c != nil:
		said += fmt.Sprintf(" Whole cost %s.", unit.Cents(unit.Money(c.High)))
	case len(d.Missing) > 0:
		said += " Not ordered by cost: no price of " + strings.Join(d.Missing, ", ") + "."
	}
	if d.Gap > 0 {
		said += fmt.Sprintf(" Not proved to be the best: another day may be better by %s at most.", figures.Trim(d.Gap))
	}
	if !d.Whole() {
		said += " The day is not whole: the reasons stand at the end."
	}
	return said
}

// Columns of the drawing.
const (
	drawnName = 22
	drawnAxis = lineWidth - drawnName - 6
)

// dayDrawing draws the windows as bars over one axis of loadings, the day's loadings as letters.
func dayDrawing(p *printer, d report.Day) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, f := range d.Fields {
		if f.Window != nil {
			low, high = min(low, float64(f.Window.Min)), max(high, float64(f.Window.Max))
		}
	}
	if low > high {
		return
	}
	at := func(l unit.Loading) int {
		if high == low {
			return drawnAxis / 2
		}
		return int(math.Round((float64(l) - low) / (high - low) * (drawnAxis - 1)))
	}
	p.f("\n")
	p.wrapped("", "", fmt.Sprintf("Loadings that keep a field on label, with room for rates off by %s, in %s:", d.RateError.Brief(d.Units), unit.Symbol[unit.Loading](d.Units)))
	left, right := figures.Short(unit.Loading(low).In(d.Units)), figures.Short(unit.Loading(high).In(d.Units))
	p.f("%*s%s%*s\n", drawnName+6, "", left, drawnAxis-len(left), right)
	for i, f := range d.Fields {
		row := []rune(strings.Repeat(" ", drawnAxis))
		if f.Window == nil {
			copy(row, []rune("no window"))
		} else {
			for x := at(f.Window.Min); x <= at(f.Window.Max); x++ {
				row[x] = '='
			}
		}
		for k, l := range d.Loadings {
			switch {
			case f.Window != nil && f.Shared == k:
				row[at(l.Value)] = []rune(letter(k))[0]
			case row[at(l.Value)] == ' ':
				row[at(l.Value)] = '|'
			}
		}
		p.f("%s\n", strings.TrimRight(fmt.Sprintf("%4d  %-*s%s", i+1, drawnName, drawn(f.Path), string(row)), " "))
	}
}

// drawn is a file's name as the drawing has room for it.
func drawn(path string) string {
	name := []rune(report.Plain(filepath.Base(path)))
	if len(name) > drawnName-2 {
		name = append(name[:drawnName-5], []rune("...")...)
	}
	return string(name)
}

func dayLoadings(p *printer, d report.Day) {
	if len(d.Loadings) == 0 {
		return
	}
	q := figures.In(d.Units)
	rows := make([][]string, len(d.Loadings))
	for k, l := range d.Loadings {
		batches := ""
		if l.Batches > 0 {
			batches = figures.Count(l.Batches)
		}
		rows[k] = []string{letter(k), q.Loading(l.Value), fmt.Sprint(len(l.Fields)), q.Mass(l.Mass), batches}
	}
	p.f("\n")
	p.table("  ", []column{{"loading", true}, {"", false}, {"fields", false}, {"dry", false}, {"batches", false}}, rows)
}

// takes says what a field does today.
func takes(d report.Day, f report.DayField) string {
	switch {
	case f.Err != nil:
		return "failed"
	case !f.Served():
		return "not served"
	case f.Shared >= 0:
		return "loading " + letter(f.Shared)
	}
	if n := len(f.Loadings); n > 0 {
		return fmt.Sprintf("%s, %s", f.Way, figures.Plural(n, "loading", "loadings"))
	}
	return string(f.Way)
}

func dayFields(p *printer, d report.Day) {
	q := figures.In(d.Units)
	rows := make([][]string, len(d.Fields))
	for i, f := range d.Fields {
		row := []string{fmt.Sprintf("%d %s", i+1, f.Path), q.Ground(f.Area), "", "", "", takes(d, f)}
		if f.Err != nil {
			row[1] = ""
		}
		if f.Served() {
			row[2] = q.RateRange(f.Rate.Min, f.Rate.Max)
		}
		if f.Shared >= 0 {
			row[3] = q.Rate(f.Mean)
		}
		if f.Cost != nil {
			row[4] = unit.Cents(unit.Money(*f.Cost))
		}
		rows[i] = row
	}
	p.f("\n")
	p.table("  ", []column{
		{"field", true}, {unit.Symbol[unit.Area](d.Units), false}, {unit.Symbol[unit.LiquidRate](d.Units), false},
		{"mean", false}, {"cost", false}, {"takes", true},
	}, rows)
	if len(d.Loadings) > 0 {
		p.f("\n")
		p.wrapped("", "", fmt.Sprintf("Intended is %s. A shared loading brings what stands beside it: on label, and as near as sharing allows. "+
			"If that is not what is wanted, split the field by itself.", d.Intended.Brief(d.Units)))
	}
}

func dayOrders(p *printer, d report.Day) {
	if len(d.Orders) == 0 {
		return
	}
	p.f("\nTo have at hand, for the fields served, before batches are rounded:\n")
	for _, o := range d.Orders {
		said := fmt.Sprintf("%s: %s %s", o.What, figures.Thousands(figures.Fixed(o.Amount, 2)), o.Unit)
		if len(o.Packs) > 0 {
			var packs []string
			for _, k := range o.Packs {
				packs = append(packs, fmt.Sprintf("%d x %s %s", k.Count, figures.Trim(k.Size), o.Unit))
			}
			said += fmt.Sprintf("; in packages %s, which leaves %s %s", strings.Join(packs, " and "), figures.Fixed(o.Left, 2), o.Unit)
		}
		p.wrapped("  ", "    ", said)
	}
}

// dayReasons says why fields are not served.
func dayReasons(p *printer, d report.Day) {
	first := true
	for i, f := range d.Fields {
		why := f.Why
		if f.Err != nil {
			why = f.Err.Error()
		}
		if f.Err == nil {
			why = f.Path + ": " + why
		}
		if f.Served() {
			continue
		}
		if first {
			p.f("\nNot served:\n")
			first = false
		}
		p.wrapped(fmt.Sprintf("  %d ", i+1), "    ", strings.ReplaceAll(why, "\n", "; "))
		if f.Hint != "" {
			p.wrapped("    -> ", "       ", f.Hint)
		}
	}
}

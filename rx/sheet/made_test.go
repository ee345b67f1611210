package sheet_test

import (
	"os"
	"slices"
	"strings"
	"testing"

	"rxsplit/geo/invent"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/sheet"
	"rxsplit/rx/split"
)

func file(t testing.TB, name string) string {
	t.Helper()
	text, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// termsOf reads the terms that a test wants from a label and a job.
func termsOf(t testing.TB, labelText, jobText string) rx.Terms {
	t.Helper()
	p, err := label.Parse("label.yaml", []byte(labelText))
	if err != nil {
		t.Fatal(err)
	}
	terms := rxtest.Terms(p)
	if jobText != "" {
		if terms.Job, err = equip.ParseJob("job.yaml", []byte(jobText)); err != nil {
			t.Fatal(err)
		}
		for _, l := range terms.Job.FurtherLiquids { // whose label stands there whole, in place of its file
			var own *label.Profile
			if l.Label != "" {
				if own, err = label.Parse("further.yaml", []byte(l.Label)); err != nil {
					t.Fatal(err)
				}
			}
			terms.Further = append(terms.Further, rx.NewLiquid(l, own))
		}
	}
	return terms
}

// made grades, splits and makes the sheets of the appendix.
func made(t testing.TB, p *rx.Prescription, terms rx.Terms, way rx.WayName) ([]rx.Sheet, *rx.Plan) {
	t.Helper()
	sheets, plan := madeAll(t, p, terms, way)
	return slices.DeleteFunc(sheets, func(s rx.Sheet) bool { return s.Card != nil }), plan
}

// madeAll makes the cards as well.
func madeAll(t testing.TB, p *rx.Prescription, terms rx.Terms, way rx.WayName) ([]rx.Sheet, *rx.Plan) {
	t.Helper()
	a := rxtest.Grade(t, p, terms)
	plan, err := split.For(p, a, nil).Plan(way)
	if err != nil {
		t.Fatal(err)
	}
	return sheet.For(p, a, plan), plan
}

// fourZones is the worked field: 40, 60, 45 and 15 ac at 100, 180, 250 and 300 lb/ac.
func fourZones(t testing.TB) *rx.Prescription {
	t.Helper()
	p := rxtest.Read(t, invent.FourZones())
	p.Source.Files = nil // whose digest depends on how the test writes it
	return p
}

func oneOf(t testing.TB, sheets []rx.Sheet, kind rx.SheetKind) rx.Sheet {
	t.Helper()
	i := slices.IndexFunc(sheets, func(s rx.Sheet) bool { return s.Kind == kind })
	if i < 0 {
		t.Fatalf("no %s sheet", kind)
	}
	return sheets[i]
}

// fact returns the value of a fact; empty if the sheet has none of that name.
func fact(s rx.Sheet, what string) string {
	for _, section := range s.Sections {
		for _, f := range section.Facts {
			if f.What == what {
				return f.Value
			}
		}
	}
	return ""
}

func noteOf(s rx.Sheet, what string) string {
	for _, section := range s.Sections {
		for _, f := range section.Facts {
			if f.What == what {
				return f.Note
			}
		}
	}
	return ""
}

// section returns a section by the beginning of its title.
func section(t testing.TB, s rx.Sheet, title string) rx.Section {
	t.Helper()
	for _, section := range s.Sections {
		if strings.HasPrefix(section.Title, title) {
			return section
		}
	}
	t.Fatalf("%s: no section %q", s.Title, title)
	return rx.Section{}
}

// cell returns a cell of the first table of a section by its row's first cell and its
// column's head; the first column of several with that head.
func cell(t testing.TB, s rx.Section, row, column string) string {
	t.Helper()
	table := s.Tables[0]
	i := slices.Index(table.Head, column)
	for _, r := range append(slices.Clone(table.Rows), table.Total) {
		if i >= 0 && len(r) > 0 && r[0] == row {
			return r[i]
		}
	}
	t.Fatalf("%s: no row %q, column %q in %v", s.Title, row, column, table)
	return ""
}

// all joins every text of a sheet.
func all(s rx.Sheet) string { return dump([]rx.Sheet{s}) }

// dump prints sheets for comparison: plain, a line a text.
func dump(sheets []rx.Sheet) string {
	var b strings.Builder
	line := func(mark string, cells ...string) { b.WriteString(mark + strings.Join(cells, " | ") + "\n") }
	for _, s := range sheets {
		line("# ", s.Title, string(s.Kind), s.Layer, s.Heads.Field, s.Heads.Load, s.Heads.Loading)
		if c := s.Card; c != nil {
			line("@ ", c.Mark, c.Dose.What, c.Dose.Value, c.Dose.Note)
			line("| ", c.Log.Head...)
			for _, row := range c.Log.Rows {
				line("| ", row...)
			}
		}
		for _, section := range s.Sections {
			line("## ", section.Title)
			for _, c := range section.Cautions {
				line("! ", c)
			}
			for _, f := range section.Facts {
				line("- ", f.What, f.Value, f.Note)
			}
			for _, table := range section.Tables {
				line("= ", table.Title)
				line("| ", table.Head...)
				for _, row := range table.Rows {
					line("| ", row...)
				}
				if table.Total != nil {
					line("|| ", table.Total...)
				}
			}
			for _, text := range section.Steps {
				line("* ", text)
			}
			for _, text := range section.Notes {
				line("  ", text)
			}
			for _, text := range section.Blanks {
				line("> ", text)
			}
		}
	}
	return b.String()
}

func units(terms rx.Terms, s unit.System) rx.Terms {
	terms.Units = s
	return terms
}

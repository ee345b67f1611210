package page

import (
	"cmp"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// findingsTable lists what was found, the worst first, with what to do.
func findingsTable(r report.Result) pageTable {
	t := pageTable{Caption: "Findings, the worst first", Hidden: true, Head: heads("<kind", "<what was found", "<zones", "<what to do")}
	for _, severity := range []rx.Severity{rx.Error, rx.Warning, rx.Note} {
		for _, f := range r.Findings {
			if f.Severity == severity {
				t.Rows = append(t.Rows, findingRow(f, r.Units))
			}
		}
	}
	t.Wide = true
	return t.labeled()
}

func findingRow(f rx.Finding, s unit.System) []pageCell {
	said := tell.Finding(f, s)
	text := said.Text
	if f.Field != "" && !strings.Contains(text, f.Field) {
		text = sentence(text) + " Field " + f.Field + "."
	}
	if f.Place != nil {
		text = sentence(text) + " At " + figures.Place(*f.Place) + "."
	}
	hint := cmp.Or(said.Hint, "nothing")
	return []pageCell{words(f.Severity.String()), long(capital(text)), words(zonesText(f.Zones)), long(capital(hint))}
}

// mostZoneNumbers is how many numbers a finding names.
const mostZoneNumbers = 12

func zonesText(zones []int) string {
	if len(zones) == 0 {
		return "–"
	}
	list := make([]string, min(len(zones), mostZoneNumbers))
	for i := range list {
		list[i] = fmt.Sprint(zones[i])
	}
	text := strings.Join(list, ", ")
	if more := len(zones) - len(list); more > 0 {
		text += " and " + figures.Count(more) + " more"
	}
	return text
}

// rulesTable says which rules looked, so that no finding does not mean that nobody
// looked.
func rulesTable(r report.Result) pageTable {
	t := pageTable{Caption: "Rules that looked at the prescription, and those that could not", Head: heads("<rule", "<looked", "<why not")}
	for _, run := range r.Assessment.Rules {
		row := []pageCell{words(run.Rule), words("yes"), words("")}
		if !run.Ran {
			row[1].Text, row[2].Text = "no", capital(run.Why)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// sentence ends a text with a full stop, so that another can follow.
func sentence(text string) string {
	if strings.HasSuffix(text, ".") {
		return text
	}
	return text + "."
}

// capital begins a text with a capital letter.
func capital(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(r)) + text[n:]
}

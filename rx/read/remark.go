package read

import (
	"fmt"

	"rxsplit/rx"
)

// remark turns what the format's reader survived, and what the coordinate system
// has to say, into findings.
func (f *File) remark() {
	for _, r := range f.Layer.Remarks {
		finding := rx.Finding{Rule: r.Rule, Severity: rx.Note, About: rx.AboutFile, Zones: numbers(r.Records), Place: r.Place, Text: r.Text}
		if hint, grave := graveRemarks[r.Rule]; grave {
			finding.Severity, finding.Hint = rx.Warning, hint
			if len(r.Records) > 0 {
				finding.Text = rx.ZonesNamed(finding.Zones) + ": " + r.Text
			}
		}
		f.Findings = append(f.Findings, finding)
	}
	for _, text := range f.System.Notes() {
		f.note("crs", text)
	}
	if n := len(f.Layer.Deleted); n > 0 {
		f.Findings = append(f.Findings, rx.Finding{
			Rule: "deleted", Severity: rx.Note, About: rx.AboutFile, Zones: numbers(f.Layer.Deleted),
			Text: fmt.Sprintf("%s marked deleted in the table: left out, but counted in the numbering", count(n, "record is", "records are")),
		})
	}
	f.remarkNullShapes()
}

// graveRemarks are the oddities that are more than worth knowing, with what to do
// about them: something about the file is not as it should be.
var graveRemarks = map[string]string{
	"hole-outside": "look at that ground on a map: it may be meant to be left out, or its outline is missing",
	"ring-closed":  "look at that ground on a map: where a corner is missing, export the file again",
	"shx-differs":  "copy all parts of the shapefile again, from one export",
}

func (f *File) remarkNullShapes() {
	deleted := make(map[int]bool, len(f.Layer.Deleted))
	for _, i := range f.Layer.Deleted {
		deleted[i] = true
	}
	var null []int
	for i := range f.Layer.Shapes.Len() {
		if f.Layer.Shapes.Empty(i) && !deleted[i] {
			null = append(null, i+1)
		}
	}
	if len(null) == 0 {
		return
	}
	f.Findings = append(f.Findings, rx.Finding{
		Rule: "null-shape", Severity: rx.Warning, About: rx.AboutFile, Zones: null,
		Text: fmt.Sprintf("%s no polygon: no ground is known for %s, and no layer will hold %s", count(len(null), "record has", "records have"), them(null, "it"), them(null, "it")),
		Hint: "if ground is missing, ask for the file again",
	})
}

// numbers turns records, from 0, into the numbers that people see.
func numbers(records []int) []int {
	out := make([]int, len(records))
	for i, r := range records {
		out[i] = r + 1
	}
	return out
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func them(list []int, one string) string {
	if len(list) == 1 {
		return one
	}
	return "them"
}

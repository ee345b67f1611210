package page

import (
	"cmp"
	"fmt"
	"regexp"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// findingsTable lists what was found, doubts about the input before all else, then the
// worst first, with what to do.
func findingsTable(r report.Result) pageTable {
	t := pageTable{Caption: "Findings, the worst first", Hidden: true, Head: heads("<kind", "<what was found", "<zones", "<what to do")}
	for _, f := range r.Findings {
		if f.Doubt() {
			t.Rows = append(t.Rows, findingRow(f, r))
		}
	}
	for _, severity := range []rx.Severity{rx.Error, rx.Warning, rx.Note} {
		for _, f := range r.Findings {
			if f.Severity == severity && !f.Doubt() {
				t.Rows = append(t.Rows, findingRow(f, r))
			}
		}
	}
	t.Wide = true
	return t.labeled()
}

func findingRow(f rx.Finding, r report.Result) []pageCell {
	said := tell.Finding(f, r.Units)
	text := said.Text
	if f.Field != "" && !strings.Contains(text, f.Field) {
		text = sentence(text) + " Field " + f.Field + "."
	}
	if f.Place != nil {
		text = sentence(text) + " At " + figures.Place(*f.Place) + "."
	}
	kind, hint := f.Severity.String(), cmp.Or(said.Hint, "nothing")
	if f.Doubt() {
		kind = "in doubt"
	}
	if reason := r.Reason(f); reason != "" {
		kind, hint = "accepted", "accepted: "+reason
	}
	zones := words(zonesText(f.Zones))
	zones.Zones = marked(r, f.Zones)
	first := words(kind)
	if kind == rx.Note.String() {
		first.Class = "idle" // asks nothing of whoever works
	}
	return []pageCell{first, long(tell.Capital(spoken(text))), zones, long(tell.Capital(spoken(hint)))}
}

// flag is an option as it is typed.
var flag = regexp.MustCompile(`--[a-z]+(-[a-z]+)*`)

// spoken names options as people do who never type them.
func spoken(text string) string {
	return flag.ReplaceAllStringFunc(text, func(f string) string { return strings.ReplaceAll(f[2:], "-", " ") })
}

// mostMarked is how many zones a line of a table marks on the map.
const mostMarked = 300

// marked are the zones that a line of a table marks on the map: none where the page knows no
// places of zones.
func marked(r report.Result, zones []int) []int {
	if r.Prescription == nil || len(r.Prescription.Zones) > mostZones {
		return nil
	}
	return zones[:min(len(zones), mostMarked)]
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
			row[1].Text, row[2].Text = "no", tell.Capital(spoken(run.Why))
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

// cautions are read before anybody works from the page. Those on the plant and the
// machines are common practice, without a published source.
func cautions(r report.Result) []string {
	l := r.Assessment.Terms.Label
	list := []string{
		"Read and follow the label in hand and the safety data sheet; they and state and local rules come before anything on this page. This page is no legal advice.",
		"Verdicts say whether a zone is inside the label's rate range as prescribed, with the machine set as this page says. Weigh, meter and calibrate: what the machine does decides.",
	}
	ppe := "Wear the personal protective equipment that the label asks for"
	if len(l.PPE) > 0 {
		ppe += " (" + strings.Join(l.PPE, ", ") + ")"
	}
	interval := "keep to its restricted-entry interval"
	if t, ok := l.ReEntry.Get(); ok {
		interval += " (" + t.Text(r.Units) + ")"
	}
	list = append(list, ppe+", and "+interval+".",
		"Lock out a blender before anybody reaches in. Never pressurize a vessel that is not built and rated for it, nor above its rated pressure.",
		"Keep back from wells and surface water as the label and local rules say. Local codes and licensed applicators decide.",
		"A nitrification inhibitor does not protect urea that lies on the surface from volatilization, and no yield response is promised.",
	)
	if l.IsRegistered() {
		list = append(list, "It is a violation of Federal law to use this product in a manner inconsistent with its labeling (40 CFR 156.10(i)(2)(ii)).")
	}
	if job := r.Assessment.Terms.Job; job == nil {
		list = append(list, fmt.Sprintf("No job file was given: blend, blender, spreader and boom of this field are unknown here, and nothing was checked against them (%s).", r.Prescription.Source.Name))
	}
	return list
}

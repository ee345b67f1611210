package text

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
	"rxsplit/rx/write"
)

// Plan tells of a plan that was written and proved.
func Plan(w io.Writer, r report.Result, dir string, m *write.Manifest) error {
	p := &printer{w: w}
	q := figures.In(r.Units)
	p.wrapped("", "", report.WayText(r))
	p.f("\n")
	if s := r.Plan.Strips; s != nil { // before anything else: whether they are worth their place
		p.wrapped("", "", tell.Text(s.Power, r.Units))
		p.f("\n")
	}
	way := r.Plan.Way
	for i, text := range report.Conditions(way, r.Units) {
		if i == 0 {
			p.f("This way is conditional. Take it only if:\n\n")
		}
		p.wrapped("  - ", "    ", text)
	}
	if len(way.Conditions) > 0 {
		p.f("\n")
	}
	way.Conditions = nil // told already
	p.wrapped("", "", fmt.Sprintf("Way %s: %s.", way.Name, wayText(way, q, true)))
	p.f("\n")
	var rows [][]string
	for _, l := range r.Plan.Layers {
		row := []string{l.Name, report.LayerProduct(l), figures.Plural(l.Zones, "zone", "zones"), q.Area(l.Area), q.DryRange(l.Dry.Min, l.Dry.Max), q.Mass(l.Mass)}
		if l.Product == rx.Liquid {
			row[2] = figures.Plural(l.Zones, "piece", "pieces")
			row[4], row[5] = q.RateRange(l.Liquid.Min, l.Liquid.Max), q.Tank(l.Volume)
		}
		rows = append(rows, row)
		for _, one := range report.ProductsOf(r.Prescription, &l) {
			rows = append(rows, []string{"  " + one.Name, one.Applies, figures.Plural(one.Zones, "zone", "zones"), q.Area(one.Area), q.DryRange(one.Dry.Min, one.Dry.Max), q.Mass(one.Mass)})
		}
	}
	columns := []column{{"layer", true}, {"applies", true}, {"", false}, {unit.Symbol[unit.Area](r.Units), false}, {"rate", false}, {"in all", false}}
	if 2+fullWidth(columns, rows) > lineWidth { // a first column that is too wide stands above its row
		columns = slices.Delete(columns, 1, 2)
		for i, row := range rows {
			rows[i] = append([]string{row[0] + ": " + row[1]}, row[2:]...)
		}
	}
	p.table("  ", columns, rows)
	p.f("\n")
	t := text{p, r, q}
	t.Findings = plansFindings(r)
	t.findings(t.Findings)
	p.wrapped("", "", fmt.Sprintf("Written to %s and proved by reading it back: %s.%s", report.Name(dir), figures.Plural(len(m.Files)+1, "file", "files"), readTwiceText(m.Records)))
	if r.Plan.TaskData != nil {
		p.wrapped("", "", fmt.Sprintf("Task data for the terminal: %s; the spreader sheet says what its cells come to.", report.Name(dir+"/TASKDATA")))
	}
	p.f("Open it:        %s\nProve it again: rxsplit verify %s\n", report.Name(dir+"/report.html"), report.Word(dir))
	return p.err
}

// plansFindings are what whoever works from the plan should know: what the plan
// itself has, and what else its rule says to concern it.
func plansFindings(r report.Result) []rx.Finding {
	work := rx.Work{Prescription: r.Prescription, Terms: r.Assessment.Terms, Plan: r.Plan}
	var list []rx.Finding
	for _, f := range r.Findings {
		if f.Severity > rx.Note && f.Concerns(work) && !slices.ContainsFunc(r.Plan.Findings, f.Equal) {
			list = append(list, f)
		}
	}
	for _, f := range r.Plan.Findings {
		if r.Plan.Strips == nil || !f.Equal(r.Plan.Strips.Power) { // told already
			list = append(list, f)
		}
	}
	return list
}

// readTwiceText says how much of a large plan was read by the program's own decoders alone.
func readTwiceText(records write.Records) string {
	if records.Twice == records.All {
		return ""
	}
	return fmt.Sprintf(" Other decoders than the program's own read %s of its %s as well.", figures.Count(records.Twice), figures.Plural(records.All, "record", "records"))
}

// Verified tells of a plan that was proved.
func Verified(w io.Writer, dir string, m *write.Manifest, others []string) error {
	p := &printer{w: w}
	p.f("%s: the plan is whole.\n", report.Name(dir))
	for _, text := range Proof(m) {
		p.wrapped("", "", text)
	}
	if a := m.Approval; a != nil {
		p.wrapped("", "", fmt.Sprintf("Approved by %s on %s: a record, and no lock.", report.Name(a.By), a.At.Format("2006-01-02 15:04 UTC")))
	} else {
		p.f("Not approved; to approve it: rxsplit approve %s --by NAME\n", report.Word(dir))
	}
	if len(others) > 0 {
		p.wrapped("", "", "Not of this plan, though in the same folder: "+tell.Listed(others, 8)+". Load nothing of it for this field.")
	}
	return p.err
}

// Proof says in sentences what the proof of a plan has shown.
func Proof(m *write.Manifest) (list []string) {
	files := figures.Plural(len(m.Files)+1, "file", "files")
	if len(m.Unproved) == 0 {
		list = append(list, fmt.Sprintf("%s as written, each worked out again from the source and equal to it byte for byte.%s", files, readTwiceText(m.Records)))
	} else {
		list = append(list, fmt.Sprintf("%s as written, each layer equal to what the source gives.%s", files, readTwiceText(m.Records)),
			fmt.Sprintf("Version %s of rxsplit wrote it: only the version that wrote a plan proves every byte. This one did not prove, other than by their digests: %s.", report.Name(m.Tool.Version), tell.Listed(m.Unproved, len(m.Unproved))))
	}
	for _, in := range m.Changed {
		list = append(list, fmt.Sprintf("Changed since: the %s %s. The plan holds by what it said then; to go by what it says now, split again.", in.Role, report.Name(in.Name)))
	}
	return list
}

// ways lists the ways, the best first.
func (t *text) ways() {
	head := "Ways to release it, the best first"
	if !slices.ContainsFunc(t.Ways, rx.Way.Possible) {
		head = "No way to release it is possible"
	}
	t.f("%s:\n\n", head)
	wide := 0
	for _, w := range t.Ways {
		wide = max(wide, len(w.Name))
	}
	_, priced := rx.Unpriced(t.Ways)
	for _, w := range t.Ways {
		if w.SameAs != "" {
			continue
		}
		start := fmt.Sprintf("  %-*s  %-11s  ", wide, w.Name, w.State)
		t.wrapped(start, strings.Repeat(" ", len(start)), report.AlsoCalled(t.Ways, w)+wayText(w, t.q, priced))
	}
	t.f("\n")
	if order := report.OrderText(t.Result); order != "" {
		t.wrapped("", "", order)
		t.f("\n")
	}
}

// wayText says what a way takes, or why it can't be taken; what it costs, if that is to be
// told.
func wayText(w rx.Way, q figures.Quantities, cost bool) string {
	if !w.Possible() {
		return w.Why
	}
	parts := []string{w.Why}
	if only := report.OnlyIf(w, q.System); only != "" {
		parts = []string{only, w.Why}
	}
	if len(w.Loads) > 0 {
		parts = append(parts, figures.Plural(len(w.Loads), "load", "loads"))
	}
	parts = append(parts, report.PassesText(w), q.Volume(w.Metered)+" of stabilizer")
	if w.LeftOff > 0 {
		parts = append(parts, fmt.Sprintf("%s left untreated (%s %s)", figures.Plural(len(w.LeftZones), "zone", "zones"), q.Area(w.LeftOff), unit.Symbol[unit.Area](q.System)))
	}
	if w.DryAdded > 0 || w.DryRemoved > 0 {
		parts = append(parts, "dry "+changed(w.DryAdded, w.DryRemoved, q))
		if n := changed(w.NAdded, w.NRemoved, q); w.NKnown && n != "" {
			parts = append(parts, "N "+n)
		}
	}
	if w.Driving != nil {
		parts = append(parts, report.DrivingText(w.Driving, q.System))
	}
	if w.Cost != nil && cost {
		parts = append(parts, report.CostText(w.Cost, q))
	}
	return strings.Join(parts, "; ")
}

// next says what to do, as a command to type.
func (t *text) next() {
	if refused := report.FileErrors(t.Findings); refused > 0 {
		t.wrapped("", "", fmt.Sprintf("Next: repair the file first; %s before it can be split.", figures.Plural(refused, "error has to go", "errors have to go")))
		return
	}
	if a := t.Assessment; a.OffLabel() == 0 && a.Loading > 0 && !a.Flagged() {
		t.wrapped("", "", fmt.Sprintf("Every treated acre is inside the label's rate range as prescribed, impregnated at %s.", t.Planned(a.Loading)))
	}
	if len(t.Ways) == 0 || !t.Ways[0].Possible() {
		text := "Next: no way puts every treated acre on label; see the reasons above, and change the terms or the prescription"
		pass, full := t.Assessment.Terms.PassRange() // where the season leaves no room, none is left for part of the field
		if !t.Assessment.Terms.LeaveOff && (full == "" || len(t.Assessment.Terms.NoRoom) > 0) {
			text += ", or allow zones to stay untreated with --leave-off"
		}
		if full == "" && pass.Over(t.Assessment.Terms.Intended) {
			text += fmt.Sprintf("; of the stabilizer the season has room for %s (--stabilizer-rate)", pass.Max.Brief(t.Units))
		}
		t.wrapped("", "", text+".")
		return
	}
	answers := t.answers()
	if answers != "" {
		t.f("Next: correct the input and check it again; or, if it is meant as it was read:\n")
	} else {
		t.f("Next: write the layers and sheets of the first way with\n")
	}
	t.command("  rxsplit split %s --way %s --out DIR%s", t.Command, t.Ways[0].Name, answers)
}

// changed says how much is added and how much removed, where either is.
func changed(added, removed unit.Mass, q figures.Quantities) string {
	var parts []string
	if added > 0 {
		parts = append(parts, q.Mass(added)+" added")
	}
	if removed > 0 {
		parts = append(parts, q.Mass(removed)+" removed")
	}
	return strings.Join(parts, ", ")
}

package read

import "rxsplit/rx"

// remarks are what is told of oddities that the format's reader survived. Those that are more
// than worth knowing are warnings: something about the file is not as it should be.
var remarks = []struct {
	severity rx.Severity
	rx.Rule[remark]
}{
	{rx.Warning, remarkRule("boundary-elsewhere")},
	{rx.Note, remarkRule("byte-order-mark")},
	{rx.Note, remarkRule("cells-beyond")},
	{rx.Note, remarkRule("cells-idle")},
	{rx.Warning, remarkRule("code-without-zone")},
	{rx.Note, remarkRule("duplicate-field")},
	{rx.Note, remarkRule("empty-polygon")},
	{rx.Note, remarkRule("encoding")},
	{rx.Note, remarkRule("encoding-guessed")},
	{rx.Note, remarkRule("encoding-unknown")},
	{rx.Note, remarkRule("field-without-width")},
	{rx.Warning, remarkRule("grid-upside-down").InDoubt()},
	{rx.Warning, remarkRule("hole-outside")},
	{rx.Note, remarkRule("m-dropped")},
	{rx.Note, remarkRule("record-numbers")},
	{rx.Warning, remarkRule("ring-closed")},
	{rx.Warning, remarkRule("shx-differs")},
	{rx.Note, remarkRule("shx-missing")},
	{rx.Note, remarkRule("shx-order")},
	{rx.Note, remarkRule("task-data-faults")},
	{rx.Warning, remarkRule("tiny-rates").InDoubt()},
	{rx.Note, remarkRule("type-differs")},
	{rx.Note, remarkRule("winding")},
	{rx.Note, remarkRule("z-dropped")},
}

func remarkRule(key string) rx.Rule[remark] {
	return rx.NewRule[remark](key, rx.AboutFile, rx.EveryPlan)
}

// remark is what the reader of a format says of an oddity beside the records.
type remark struct {
	Some    int // of what it is about
	Several bool
	Name    string // of that, or why
}

// The records.
var (
	deleted   = rx.NewRule[rx.Nothing]("deleted", rx.AboutFile, rx.EveryPlan)
	nullShape = rx.NewRule[rx.Nothing]("null-shape", rx.AboutFile, rx.EveryPlan)
)

// remark turns what the format's reader survived, and what the coordinate system
// has to say, into findings.
func (f *File) remark() {
	for _, r := range f.Layer.Remarks {
		for _, known := range remarks {
			if known.Rule.Rule() == r.Rule {
				finding := known.Find(known.severity, remark{r.Count, r.Count > 1, r.Name})
				finding.Zones, finding.Place = numbers(r.Records), r.Place
				f.Findings = append(f.Findings, finding)
			}
		}
	}
	for _, text := range f.System.Notes() {
		f.Findings = append(f.Findings, systemNote.Find(rx.Note, saying{text}))
	}
	f.remarkRecords(deleted.Find(rx.Note, rx.Nothing{}), f.Layer.Deleted)
	gone := make(map[int]bool, len(f.Layer.Deleted))
	for _, i := range f.Layer.Deleted {
		gone[i] = true
	}
	var null []int
	for i := range f.Layer.Shapes.Len() {
		if f.Layer.Shapes.Empty(i) && !gone[i] {
			null = append(null, i)
		}
	}
	f.remarkRecords(nullShape.Find(rx.Warning, rx.Nothing{}), null)
}

// remarkRecords adds a finding about records, from 0, if there are any.
func (f *File) remarkRecords(finding rx.Finding, records []int) {
	if len(records) > 0 {
		finding.Zones = numbers(records)
		f.Findings = append(f.Findings, finding)
	}
}

// numbers turns records, from 0, into the numbers that people see.
func numbers(records []int) []int {
	out := make([]int, len(records))
	for i, r := range records {
		out[i] = r + 1
	}
	return out
}

package app

import (
	"context"
	"encoding/json"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/page"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/ground"
	"rxsplit/rx/record"
	"rxsplit/rx/tell"
	"rxsplit/rx/write"
)

// RecordFrom says what a record is put together from, beside the plan; what is empty is not
// there.
type RecordFrom struct {
	Said    string // file of what those who were there say
	Applied string // folder that rxsplit applied wrote
}

// SaidTemplate returns a file of what is to be said of the day.
func SaidTemplate() string { return record.Template }

// Record proves a written plan and puts together what is known of its application.
func (r Run) Record(ctx context.Context, dir string, moved InputsAt, from RecordFrom) (report.Record, error) {
	manifest, c, result, err := r.prove(ctx, dir, moved)
	if err != nil {
		return report.Record{}, err
	}
	out := report.Record{Plan: manifest.Self, Version: Version}
	out.Inputs = append(out.Inputs, planInput(dir, manifest.Self))
	known := record.Known{Prescription: c.prescription, Terms: c.assessment.Terms, Plan: result.Plan, Approval: manifest.Approval}
	if j := known.Terms.Job; j != nil {
		out.Field = j.Field
	}
	if out.Approved = known.Approval != nil; out.Approved {
		path := filepath.Join(dir, write.ApprovalName)
		text, err := readText(path)
		if err != nil {
			return out, err
		}
		out.Inputs = append(out.Inputs, inputOf(approvalRole, path, text))
	}
	if from.Said != "" {
		text, err := readText(from.Said)
		if err != nil {
			return out, err
		}
		if known.Said, err = record.ParseSaid(from.Said, text); err != nil {
			return out, textError(isSaid, from.Said, text, err)
		}
		out.Inputs = append(out.Inputs, inputOf("said", from.Said, text))
	}
	if from.Applied != "" {
		if known.Logged, err = r.logged(ctx, from.Applied, manifest.Self, moved, &out); err != nil {
			return out, err
		}
	}
	out.Record = record.Of(known)
	return out, nil
}

// approvalRole is that of a plan's approval among the inputs of its record.
const approvalRole = "approval"

// planInput describes the plan of a folder, whose manifest has a digest of itself.
func planInput(dir, self string) write.Input {
	return write.Input{Role: "plan", Path: filepath.ToSlash(dir), Name: "plan.json", SHA256: self}
}

// inputsOf lists the files that were read, which lie where path does.
func inputsOf(role, path string, files []rx.SourceFile) (list []write.Input) {
	for _, f := range files {
		list = append(list, write.Input{Role: role, Path: filepath.ToSlash(filepath.Join(filepath.Dir(path), f.Name)), Name: f.Name, SHA256: f.SHA256, Size: f.Size})
	}
	return list
}

// inputOf describes a file of text that a result was made from.
func inputOf(role, path string, text []byte) write.Input {
	return write.Input{Role: role, Path: filepath.ToSlash(path), Name: filepath.Base(path), SHA256: write.Digest(text), Size: int64(len(text))}
}

// logged proves a folder of what logs say, and sums it up for the stabilizer.
func (r Run) logged(ctx context.Context, dir, plan string, moved InputsAt, out *report.Record) (*record.Logged, error) {
	m := groundIn(dir)
	if m == nil || m.Kind != kindApplied {
		return nil, &Error{What: dir + ": holds no result of logs", Hint: "name a folder that rxsplit applied wrote"}
	}
	g, _, err := r.proveGround(ctx, dir, moved)
	if err != nil {
		return nil, err
	}
	if g.Inputs[0].SHA256 != plan {
		return nil, &Error{What: dir + ": was laid over another plan", Hint: "lay the logs over this plan, with: rxsplit applied"}
	}
	out.Inputs = append(out.Inputs, write.Input{Role: "applied", Path: filepath.ToSlash(dir), Name: kindApplied + ".json", SHA256: m.Self})
	l := g.Liquids[0]
	if !l.Graded {
		return nil, &Error{What: dir + ": its logs don't say what the ground got of the stabilizer", Hint: "lay the logs of all layers that carry it, with: rxsplit applied"}
	}
	classes := l.Classes
	logged := &record.Logged{Within: classes[ground.Within].Area}
	for _, c := range []ground.Class{ground.Below, ground.Above, ground.OverSeason} {
		logged.Off += classes[c].Area
	}
	if logged.Off < 0.005*unit.Acre { // the tables of the logs have none
		logged.Off = 0
	}
	for _, f := range g.Findings {
		if ground.Doubts(f) {
			logged.Doubts = append(logged.Doubts, tell.Text(f, g.Units))
		}
	}
	logged.Treated = logged.Within + logged.Off
	logged.Total = stabilizerIn(g, func(p *ground.Product) float64 { return p.Total })
	if !slices.ContainsFunc(g.Products, func(p ground.Product) bool {
		return p.Weighed == 0 && (p.Layer.Product == rx.Liquid || p.Layer.Treated)
	}) {
		logged.Weighed = stabilizerIn(g, func(p *ground.Product) float64 { return p.Weighed * p.Total })
	}
	logged.Outside = stabilizerIn(g, func(p *ground.Product) float64 { return p.OutField })
	return logged, nil
}

// stabilizerIn adds up the stabilizer in an amount of each layer.
func stabilizerIn(g report.Ground, amount func(*ground.Product) float64) (sum unit.Volume) {
	for i := range g.Products {
		p := &g.Products[i]
		switch l := p.Layer; {
		case l.Product == rx.Liquid:
			sum += unit.Volume(amount(p))
		case l.Treated:
			sum += unit.Uptake(l.Loading, unit.Mass(amount(p)))
		}
	}
	return sum
}

// WriteRecord writes a record as page and JSON into a new folder, all or nothing.
func (r Run) WriteRecord(ctx context.Context, dir string, rec report.Record) error {
	folder, _ := recordFolder(dir, rec)
	folder.Context = ctx
	return canceled(ctx, folder.Write())
}

// recordFolder is the folder of a record, and its inputs as it names them.
func recordFolder(dir string, rec report.Record) (write.Folder, []write.Input) {
	rec.Inputs, _ = seenFrom(dir, rec.Inputs, nil)
	return write.Folder{
		Dir: dir, Manifest: recordFile,
		Files: []write.Extra{{Name: "record.html", Render: func(w io.Writer) error { return page.Record(w, rec) }}},
		List:  func(files []write.FileSum, self string) ([]byte, error) { return data.RecordManifest(rec, files, self) },
	}, rec.Inputs
}

const recordFile = "record.json"

// isRecord reports whether a folder holds a record.
func isRecord(dir string) bool {
	_, ok := recordIn(dir)
	return ok
}

// recordIn returns where a record says that its inputs lie, by their roles.
func recordIn(dir string) (at map[string]string, ok bool) {
	var m struct {
		Schema string        `json:"schema"`
		Inputs []write.Input `json:"inputs"`
	}
	text, err := readUpTo(filepath.Join(dir, recordFile), 1<<24)
	if err != nil || json.Unmarshal(text, &m) != nil || !strings.HasPrefix(m.Schema, "rxsplit.record/") {
		return nil, false
	}
	at = map[string]string{}
	for _, in := range m.Inputs {
		at[in.Role] = fromFolder(dir, in.Path)
	}
	return at, at["plan"] != ""
}

// proveRecord puts a record together again and compares it with its folder.
func (r Run) proveRecord(ctx context.Context, dir string, moved InputsAt) (p Proved, err error) {
	at, _ := recordIn(dir)
	rec, err := r.Record(ctx, at["plan"], moved, RecordFrom{Said: at["said"], Applied: at["applied"]})
	if err != nil {
		return p, err
	}
	folder, inputs := recordFolder(dir, rec)
	return proveResults(folder, inputs)
}

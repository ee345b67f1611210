package app

import (
	"context"
	"encoding/json"
	"fmt"
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
	"rxsplit/rx/read"
	"rxsplit/rx/write"
)

// Logs are the logs of a job, and the maps that say what their columns hold: one for each,
// in their order, or one for all.
type Logs struct {
	Paths []string
	Maps  []string
	CRS   string // overrides what the logs say
}

// kindApplied names what logs say; it is also the name of the file that holds it.
const kindApplied = "applied"

// Applied proves a written plan and lays the logs of the machines over it.
func (r Run) Applied(ctx context.Context, dir string, moved InputsAt, logs Logs) (report.Ground, error) {
	if len(logs.Maps) != 1 && len(logs.Maps) != len(logs.Paths) {
		return report.Ground{}, &Error{
			What: fmt.Sprintf("logs: %d, maps: %d; want a map for each log, in their order, or one for all", len(logs.Paths), len(logs.Maps)),
			Hint: "rxsplit applied new LOG writes one to fill in; name it with --map FILE",
		}
	}
	field, g, err := r.fieldOf(ctx, dir, moved)
	if err != nil {
		return g, err
	}
	g.Kind = kindApplied
	g.Parameters = map[string][]string{"plan": {dir}, "log": logs.Paths, "map": logs.Maps}
	if logs.CRS != "" {
		g.Parameters["crs"] = []string{logs.CRS}
	}
	var drives []*ground.Drive
	for i, path := range logs.Paths {
		if err := r.tell(ctx, Step{Stage: "logs", Done: i, Total: len(logs.Paths)}); err != nil {
			return g, err
		}
		d, err := r.drive(ctx, field, path, logs.Maps[min(i, len(logs.Maps)-1)], logs.CRS, &g)
		if err != nil {
			return g, canceled(ctx, err)
		}
		drives = append(drives, d)
	}
	return r.look(ctx, field, drives, g)
}

// fieldOf proves a plan and lays it out in a plane.
func (r Run) fieldOf(ctx context.Context, dir string, moved InputsAt) (*ground.Field, report.Ground, error) {
	g := report.Ground{Dir: dir, Version: Version}
	manifest, c, result, err := r.prove(ctx, dir, moved)
	if err != nil {
		return nil, g, err
	}
	g.Units = c.assessment.Terms.Units
	g.Inputs = append(g.Inputs, planInput(dir, manifest.Self))
	field, err := ground.NewField(c.prescription, c.assessment, result.Plan, c.keepOut)
	return field, g, err
}

// look has the ground swept, with its progress.
func (r Run) look(ctx context.Context, field *ground.Field, drives []*ground.Drive, g report.Ground) (report.Ground, error) {
	if err := r.tell(ctx, Step{Stage: "ground"}); err != nil {
		return g, err
	}
	var err error
	g.Result, err = field.Look(drives, ground.Options{Context: ctx, Progress: func(done, total int) {
		r.tell(ctx, Step{Stage: "ground", Done: done, Total: total})
	}})
	return g, canceled(ctx, err)
}

// drive reads one log by its map.
func (r Run) drive(ctx context.Context, field *ground.Field, path, mapPath, system string, g *report.Ground) (*ground.Drive, error) {
	text, m, err := logMap(mapPath)
	if err != nil {
		return nil, err
	}
	layer, err := layerOf(field.Plan, m, mapPath)
	if err != nil {
		return nil, err
	}
	if system == "" {
		system = m.CRS
	}
	file, err := read.Log(path, m, read.FileOptions{Context: ctx, CRS: system})
	if err != nil {
		return nil, err
	}
	tuneLog(len(file.Log.Rows))
	digest := write.Digest(text)
	if laidTwice(g.Inputs, file.Source.Files, digest) {
		return nil, &Error{What: path + ": is given twice, by one map: all of it would count twice", Hint: "name each log once"}
	}
	g.Inputs = append(g.Inputs, inputsOf("log", file.Source.Path, file.Source.Files)...)
	g.Inputs = append(g.Inputs, inputOf("map", mapPath, text))
	d := &ground.Drive{Layer: layer, Log: file.Log, Swaths: file.Swaths, Mix: m.IsMix(), Bridge: m.Bridge, Heading: m.Columns.Heading != ""}
	d.Weighed, _ = m.WeighedAmount()
	return d, nil
}

// logMap reads a map of a log's columns.
func logMap(path string) (text []byte, m *read.LogMap, err error) {
	if text, err = readText(path); err != nil {
		return nil, nil, err
	}
	m, err = read.ParseLogMap(path, text)
	return text, m, textError(isLogMap, path, text, err)
}

// laidTwice reports whether the files of a log, by a map with a digest, are among the inputs
// already, whatever their names. A log with two products is rightly laid twice, by two maps.
func laidTwice(inputs []write.Input, files []rx.SourceFile, digest string) bool {
	same := 0
	for _, in := range inputs {
		switch in.Role {
		case "log":
			if slices.ContainsFunc(files, func(f rx.SourceFile) bool { return f.SHA256 == in.SHA256 }) {
				same++
			}
		case "map":
			if same == len(files) && in.SHA256 == digest {
				return true
			}
			same = 0
		}
	}
	return false
}

// layerOf finds the layer that a map names, or the one that can be meant.
func layerOf(plan *rx.Plan, m *read.LogMap, path string) (int, error) {
	var names, fit []string
	at := -1
	for i := range plan.Layers {
		l := &plan.Layers[i]
		names = append(names, l.Name)
		if m.IsDry() == (l.Product == rx.Dry) {
			fit, at = append(fit, l.Name), i
		}
	}
	switch i := slices.Index(names, m.Layer); {
	case i >= 0:
		return i, nil
	case m.Layer == "" && len(fit) == 1:
		return at, nil
	}
	what := fmt.Sprintf("the plan has no layer %q", m.Layer)
	if m.Layer == "" {
		what = "it does not say which layer of the plan the log is of"
	}
	return 0, &Error{What: filepath.Base(path) + ": layer: " + what, Hint: "the layers of the plan are: " + strings.Join(names, ", ")}
}

// WriteGround writes what lands on a field into a folder, all or nothing.
func (r Run) WriteGround(ctx context.Context, dir string, g report.Ground) error {
	if err := r.tell(ctx, Step{Stage: "write"}); err != nil {
		return err
	}
	if err := outsideOf(dir, append(slices.Concat(g.Parameters["log"], g.Parameters["map"]), filepath.Join(g.Dir, "plan.json"))...); err != nil {
		return err
	}
	g.Inputs, g.Parameters = seenFrom(dir, g.Inputs, g.Parameters)
	folder, err := groundFolder(ctx, dir, g)
	if err != nil {
		return canceled(ctx, err)
	}
	return canceled(ctx, folder.Write())
}

// groundFolder is the folder of what lands on a field.
func groundFolder(ctx context.Context, dir string, g report.Ground) (write.Folder, error) {
	drawn, err := g.Drawn(ground.Options{Context: ctx})
	if err != nil {
		return write.Folder{}, err
	}
	layer := drawn.Laid
	area := "ACRES"
	if g.Units == unit.Metric {
		area = "HA"
	}
	files := []write.Extra{{Name: "spots.geojson", Render: func(w io.Writer) error { return data.Spots(w, g) }}}
	columns := []write.Numbers{
		{Name: "CLASS", Value: func(i int) float64 { return float64(layer.Rows[i].Class) }},
		{Name: "STAB_RATE", Value: func(i int) float64 { return layer.Rows[i].Stabilizer.In(g.Units) }},
		{Name: "DRY_RATE", Value: func(i int) float64 { return layer.Rows[i].Dry.In(g.Units) }},
		{Name: area, Value: func(i int) float64 { return layer.Rows[i].Area.In(g.Units) }},
	}
	for k, name := range layer.Further {
		columns = append(columns, write.Numbers{Name: name, Value: func(i int) float64 { return layer.Rows[i].Further[k].In(g.Units) }})
	}
	files = append(files, write.LayerFiles(g.Kind, layer.Shapes, columns)...)
	files = append(files, write.Extra{Name: g.Kind + ".html", Render: func(w io.Writer) error { return page.Ground(w, g) }})
	return write.Folder{
		Dir: dir, Manifest: g.Kind + ".json", Files: files, Context: ctx,
		List: func(files []write.FileSum, self string) ([]byte, error) { return data.GroundManifest(g, files, self) },
	}, nil
}

// groundManifest is what is read of a folder of what lands on a field.
type groundManifest struct {
	Schema     string              `json:"schema"`
	Kind       string              `json:"kind"`
	Parameters map[string][]string `json:"parameters"`
	Self       string              `json:"self"`
}

// groundIn reads what a folder says of itself; nil where it is none of what lands on a field.
func groundIn(dir string) *groundManifest {
	for _, kind := range []string{kindApplied, kindPasses} {
		text, err := readUpTo(filepath.Join(dir, kind+".json"), 1<<30)
		var m groundManifest
		if err == nil && json.Unmarshal(text, &m) == nil && strings.HasPrefix(m.Schema, "rxsplit.ground/") && m.Kind == kind {
			return &m
		}
	}
	return nil
}

// isGround reports whether a folder holds what lands on a field, and no plan.
func isGround(dir string) bool { return groundIn(dir) != nil }

// proveGround works out again what lands on a field, and compares it with its folder.
func (r Run) proveGround(ctx context.Context, dir string, moved InputsAt) (g report.Ground, p Proved, err error) {
	m := groundIn(dir)
	if m == nil {
		return g, p, &Error{What: dir + ": holds neither a plan nor what lands on a field"}
	}
	at := foundFrom(dir, m.Parameters)
	if len(at["plan"]) != 1 {
		return g, p, &Error{What: dir + ": " + m.Kind + ".json names no plan", Hint: "write it again with: rxsplit " + m.Kind}
	}
	if g, err = r.groundAgain(ctx, m.Kind, at, moved); err != nil {
		return g, p, err
	}
	seen := g
	seen.Inputs, seen.Parameters = seenFrom(dir, g.Inputs, g.Parameters)
	folder, err := groundFolder(ctx, dir, seen)
	if err != nil {
		return g, p, canceled(ctx, err)
	}
	p, err = proveResults(folder, seen.Inputs)
	return g, p, err
}

// groundAgain does what a folder says was done.
func (r Run) groundAgain(ctx context.Context, kind string, at map[string][]string, moved InputsAt) (report.Ground, error) {
	plan := at["plan"][0]
	if kind == kindPasses {
		var asked PassesAsked
		Values(at).fill(asked.named())
		return r.Passes(ctx, plan, moved, asked)
	}
	return r.Applied(ctx, plan, moved, Logs{Paths: at["log"], Maps: at["map"], CRS: Values(at).one("crs")})
}

// NewLogMap writes what a log's columns hold, as far as their names say it.
func (r Run) NewLogMap(ctx context.Context, path string) (string, error) {
	text, err := read.NewLogMapOf(path, read.FileOptions{Context: ctx})
	return text, canceled(ctx, err)
}

package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/page"
	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx/read"
	"rxsplit/rx/readout"
	"rxsplit/rx/write"
)

// Harvest is what untreated strips are read from.
type Harvest struct {
	Plan    string // folder of a plan that left them
	Applied string // folder of what logs say that was applied by it
	Strips  string // else polygons with rep and treated
	Yield   string
	Index   string
	Stalks  string
	Map     string // YAML that says what their columns hold
	CRS     string // overrides what the files of points say
}

// readoutName is the file that holds what strips say.
const readoutName = "readout.json"

// named are its parts by their roles, as the folder of results keeps them.
func (h *Harvest) named() map[string]*string {
	return map[string]*string{
		"plan": &h.Plan, "applied": &h.Applied, "strips": &h.Strips, "yield": &h.Yield,
		"index": &h.Index, "stalks": &h.Stalks, "map": &h.Map, "crs": &h.CRS,
	}
}

// Readout tells what untreated strips say.
func (r Run) Readout(ctx context.Context, h Harvest) (report.Readout, error) {
	out := report.Readout{Version: Version, Parameters: valuesOf(h.named())}
	if err := h.whole(); err != nil {
		return out, err
	}
	m, input, err := yieldMap(h.Map)
	if err != nil {
		return out, err
	}
	if h.CRS != "" {
		m.CRS = h.CRS
	}
	out.Money, out.Limits, out.Header = m.Earns(), m.Limits(), m.HeaderOf()
	out.Inputs = append(out.Inputs, input)
	lost, err := h.planned(&out)
	if err == nil && (h.Yield != "" || h.Index != "") {
		err = r.readStrips(ctx, h, m, lost, &out)
	}
	if err == nil && h.Stalks != "" {
		err = r.readStalks(ctx, h, m, lost, &out)
	}
	for i := range out.Results {
		out.Results[i].Missing = append(out.Results[i].Missing, lost.why...)
	}
	return out, canceled(ctx, err)
}

// yieldMap reads the map of columns.
func yieldMap(path string) (*read.YieldMap, write.Input, error) {
	const hint = "rxsplit readout new writes a map of columns with comments"
	text, err := readText(path)
	var m *read.YieldMap
	if err == nil {
		m, err = read.ParseYieldMap(path, text)
	}
	err = textError(isYieldMap, path, text, err)
	var other *Error
	if errors.As(err, &other) && strings.HasSuffix(other.What, notText) {
		err = &Error{What: path + ": is no map of columns", Hint: "name a YAML file; " + hint}
	}
	return m, inputOf("map", path, text), err
}

// whole says what is missing in a request.
func (h Harvest) whole() error {
	switch {
	case h.Map == "":
		return &Error{What: "nothing says what the columns hold", Hint: "give --map FILE; rxsplit readout new writes one to fill in"}
	case h.Yield == "" && h.Index == "" && h.Stalks == "":
		return &Error{What: "there is nothing to read the strips from", Hint: "give --yield, --index or --stalks"}
	case h.Strips != "" && h.Plan != "":
		return &Error{What: "a plan is named, and strips as well", Hint: "leave out --strips to read those of the plan, or name no folder"}
	case h.Applied != "" && h.Plan == "":
		return &Error{What: "--applied says what a plan's strips got, and no plan is named", Hint: "name the plan's folder: rxsplit readout DIR"}
	case h.Plan == "" && h.Strips == "" && (h.Yield != "" || h.Index != ""):
		return &Error{What: "nothing says where the strips are", Hint: "name the folder of the plan that left them, or give --strips FILE: polygons with the fields rep (a number) and treated (0 or 1), two treated ones a replicate"}
	}
	return nil
}

// readStrips reads yields and index in the strips.
func (r Run) readStrips(ctx context.Context, h Harvest, m *read.YieldMap, lost sprayed, out *report.Readout) error {
	path := h.Strips
	if h.Plan != "" {
		path = filepath.Join(h.Plan, data.StripsName)
	}
	reps, source, err := read.Strips(path, read.FileOptions{Context: ctx})
	if err != nil {
		return err
	}
	out.Inputs = append(out.Inputs, inputsOf("strips", path, source.Files)...)
	if reps = slices.DeleteFunc(reps, func(one readout.Replicate) bool { return lost.has(one.Rep) }); len(reps) == 0 {
		return &Error{What: "no strip stayed untreated: " + strings.Join(lost.why, "; "), Hint: "there is nothing to hold the treated ground against"}
	}
	field, o := readout.Lay(reps), readout.Options{Header: out.Header, Clean: m.Cleaning(), Level: m.LevelOr()}
	if err := tooNarrow(field, o.Header, source.Name); err != nil {
		return err
	}
	if out.Money != nil {
		o.Price, o.Cost = out.Money.Price, out.Money.Cost
	}
	if h.Yield != "" {
		if err := r.tell(ctx, Step{Stage: "yields"}); err != nil {
			return err
		}
		y, err := read.Yield(h.Yield, m, read.FileOptions{Context: ctx, CRS: m.CRS})
		if err != nil {
			return err
		}
		o.Weigh, out.Unit = y.Weigh, m.YieldUnit
		out.Weigh, out.Wet, out.NoPlace = y.Weigh, y.Wet, y.NoPlace
		out.Inputs = append(out.Inputs, inputsOf("yield", h.Yield, y.Source.Files)...)
		if err := add(out)(field.Yields(y.Points, o)); err != nil {
			return apart(err, y.Source.Name)
		}
	}
	if h.Index == "" {
		return nil
	}
	x, err := read.Index(h.Index, m, read.FileOptions{Context: ctx, CRS: m.CRS})
	if err != nil {
		return err
	}
	out.Inputs = append(out.Inputs, inputsOf("index", h.Index, x.Source.Files)...)
	return apart(add(out)(field.Indexes(x.Points, o)), x.Source.Name)
}

func (r Run) readStalks(ctx context.Context, h Harvest, m *read.YieldMap, lost sprayed, out *report.Readout) error {
	samples, source, err := read.Stalks(h.Stalks, m, read.FileOptions{Context: ctx})
	if err != nil {
		return err
	}
	out.Inputs = append(out.Inputs, inputsOf("stalks", h.Stalks, source.Files)...)
	samples = slices.DeleteFunc(samples, func(s readout.Sample) bool { return lost.has(s.Rep) })
	return apart(add(out)(readout.StalkResult(samples, m.LevelOr())), source.Name)
}

// add takes a result where there is one.
func add(out *report.Readout) func(readout.Result, error) error {
	return func(one readout.Result, err error) error {
		if err == nil {
			out.Results = append(out.Results, one)
		}
		return err
	}
}

// tooNarrow refuses strips that a whole header does not fit into.
func tooNarrow(field *readout.Field, header readout.Header, name string) error {
	narrow := field.Narrow(header)
	if len(narrow) == 0 {
		return nil
	}
	var lines []string
	for _, s := range narrow {
		what := "untreated"
		if s.Treated {
			what = "treated"
		}
		lines = append(lines, fmt.Sprintf("replicate %d: a%s %s strip is %.1f ft wide", s.Rep, map[string]string{"untreated": "n", "treated": ""}[what], what, s.Meters*float64(unit.Meter)))
	}
	if n := len(lines); n > 4 {
		lines = append(lines[:4], fmt.Sprintf("and %d more", n-4))
	}
	return &Error{
		What: fmt.Sprintf("%s: the header of %.1f ft, with %.1f ft to spare on each side, does not fit into: %s", name, header.Meters*float64(unit.Meter), readout.Spare*float64(unit.Meter), strings.Join(lines, "; ")),
		Hint: "such strips can't be told apart by whole headers; where each was cut by passes of its own, say inside: point in the map, and only the antenna must lie in it",
	}
}

// apart says that points and strips don't meet, or that no header lies wholly in one.
func apart(err error, name string) error {
	var nothing *readout.NothingError
	if !errors.As(err, &nothing) {
		return err
	}
	if nothing.Over > 0 {
		return &Error{
			What: fmt.Sprintf("%s: %s; %d points lie in strips, but their header reaches over the side", name, nothing, nothing.Over),
			Hint: "look at the header's width in the map; where each pass kept to its side, say inside: point there, and only the antenna must lie in the strip", Err: err,
		}
	}
	return &Error{What: name + ": " + nothing.Error(), Hint: "look whether the strips and the points are of the same field, in the coordinate system that their files say", Err: err}
}

// WriteReadout writes what strips say into a folder, all or nothing.
func (r Run) WriteReadout(ctx context.Context, dir string, out report.Readout) error {
	inputs := each.Of(out.Inputs, func(in write.Input) string { return filepath.FromSlash(in.Path) })
	if err := outsideOf(dir, inputs...); err != nil {
		return err
	}
	folder := readoutFolder(dir, &out)
	folder.Context = ctx
	return canceled(ctx, folder.Write())
}

// readoutFolder is the folder of what strips say, as it names its inputs then.
func readoutFolder(dir string, out *report.Readout) write.Folder {
	out.Inputs, out.Parameters = seenFrom(dir, out.Inputs, out.Parameters)
	return write.Folder{
		Dir: dir, Manifest: readoutName,
		Files: []write.Extra{{Name: "readout.html", Render: func(w io.Writer) error { return page.WriteReadout(w, *out) }}},
		List: func(files []write.FileSum, self string) ([]byte, error) {
			return data.ReadoutManifest(*out, files, self)
		},
	}
}

// readoutIn reads what a folder of a read-out says of itself.
func readoutIn(dir string) (*data.ReadoutFile, error) {
	path := filepath.Join(dir, readoutName)
	text, err := readUpTo(path, 1<<26)
	if err != nil {
		return nil, &Error{What: path + ": " + SystemSays(err), Hint: "name a folder that rxsplit readout --out has written"}
	}
	f, err := data.ParseReadout(text)
	if err != nil {
		return nil, &Error{What: path + ": " + err.Error(), Hint: "name a folder that rxsplit readout --out has written", Err: err}
	}
	return f, nil
}

// isReadout reports whether a folder holds what strips say.
func isReadout(dir string) bool {
	_, err := readoutIn(dir)
	return err == nil
}

// proveReadout works out again what strips say and compares it with its folder.
func (r Run) proveReadout(ctx context.Context, dir string) (p Proved, err error) {
	f, err := readoutIn(dir)
	if err != nil {
		return p, err
	}
	at := foundFrom(dir, f.Parameters)
	var out report.Readout
	if dirs := at["together"]; len(dirs) > 0 {
		out, err = r.Together(ctx, dirs, at.one("map"))
	} else {
		var h Harvest
		at.fill(h.named())
		out, err = r.Readout(ctx, h)
	}
	if err != nil {
		return p, err
	}
	folder := readoutFolder(dir, &out)
	return proveResults(folder, out.Inputs)
}

// YieldMapTemplate returns a map of columns with comments, to be filled in.
func YieldMapTemplate() string { return read.NewYieldMap }

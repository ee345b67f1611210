package app

import (
	"context"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"rxsplit/internal/each"
	"rxsplit/rx/write"
)

// Proved is a folder of results that was worked out again and is equal to it byte for byte.
type Proved struct {
	Files  int
	Others []string // what else lies in the folder, by name
}

// VerifyResults works out again what day, passes, applied, record or readout wrote, and compares
// every file of the folder. ok is false where it holds none of these. A difference is a
// [*write.VerifyError], which also names the inputs that are not what they were.
func (r Run) VerifyResults(ctx context.Context, dir string, moved InputsAt) (p Proved, ok bool, err error) {
	switch {
	case isGround(dir):
		_, p, err = r.proveGround(ctx, dir, moved)
	case isRecord(dir):
		p, err = r.proveRecord(ctx, dir, moved)
	case isDay(dir):
		p, err = r.proveDay(ctx, dir)
	case isReadout(dir):
		p, err = r.proveReadout(ctx, dir)
	default:
		return p, false, brokenResults(dir)
	}
	return p, true, err
}

// fileParameters are the parameters of results that name files.
var fileParameters = []string{"plan", "log", "map", "job", "applied", "strips", "yield", "index", "stalks", "together"}

// seenFrom has inputs and parameters name files as they are seen from a folder.
func seenFrom(dir string, inputs []write.Input, parameters map[string][]string) ([]write.Input, map[string][]string) {
	see := func(path string) string { return relativePath(dir, filepath.FromSlash(path)) }
	inputs, parameters = slices.Clone(inputs), maps.Clone(parameters)
	for i := range inputs {
		inputs[i].Path = see(inputs[i].Path)
	}
	for _, name := range fileParameters {
		if len(parameters[name]) > 0 {
			parameters[name] = each.Of(parameters[name], see)
		}
	}
	return inputs, parameters
}

// foundFrom undoes that for the parameters that a folder keeps.
func foundFrom(dir string, parameters map[string][]string) Values {
	at := maps.Clone(parameters)
	for _, name := range fileParameters {
		if len(at[name]) > 0 {
			at[name] = each.Of(at[name], func(path string) string { return fromFolder(dir, path) })
		}
	}
	return at
}

// brokenResults is the error of a folder whose list of results can't be read, and that is no
// plan; nil for any other.
func brokenResults(dir string) error {
	if holdsPlan(dir) {
		return nil
	}
	for _, name := range resultLists() {
		if _, err := os.Stat(filepath.Join(dir, name)); err == nil {
			return &Error{What: filepath.Join(dir, name) + ": is not as it was written", Hint: "write it again, into a new folder"}
		}
	}
	return nil
}

// resultLists names the lists of what commands other than split and day write.
func resultLists() []string {
	return []string{kindApplied + ".json", kindPasses + ".json", recordFile, readoutName}
}

// proveResults holds a folder against what is made again from its inputs.
func proveResults(folder write.Folder, inputs []write.Input) (p Proved, err error) {
	wrong, err := folder.Compare()
	if err != nil {
		return p, err
	}
	if len(wrong) > 0 {
		return p, &write.VerifyError{Dir: folder.Dir, Mismatches: append(wrong, changedInputs(folder, inputs)...)}
	}
	p.Files = len(folder.Files) + 1
	entries, err := os.ReadDir(folder.Dir)
	for _, e := range entries {
		ours := e.Name() == folder.Manifest || slices.ContainsFunc(folder.Files, func(f write.Extra) bool { return f.Name == e.Name() }) ||
			slices.ContainsFunc(folder.Plans, func(n write.Nested) bool { return n.Name == e.Name() })
		if !ours {
			p.Others = append(p.Others, e.Name())
		}
	}
	return p, err
}

// changedInputs says which inputs are not what they were when a folder was written.
func changedInputs(folder write.Folder, inputs []write.Input) (changed []write.Mismatch) {
	var then struct {
		Inputs []write.Input `json:"inputs"`
	}
	text, err := readUpTo(filepath.Join(folder.Dir, folder.Manifest), 1<<30)
	if err != nil || json.Unmarshal(text, &then) != nil {
		return nil // the mismatches say so
	}
	for _, in := range inputs {
		at := slices.IndexFunc(then.Inputs, func(o write.Input) bool { return o.Role == in.Role && o.Path == in.Path && o.Name == in.Name })
		switch {
		case at < 0 && in.Role == approvalRole:
			changed = append(changed, write.Mismatch{File: in.Name, What: "the plan was approved after this was written"})
		case at >= 0 && then.Inputs[at].SHA256 != in.SHA256:
			changed = append(changed, write.Mismatch{File: in.Name, What: "has changed since this was written from it"})
		}
	}
	return changed
}

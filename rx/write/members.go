package write

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
)

// differences holds the manifest in a folder against this one, the one that the plan gets,
// member by member. The files that are told already are not told again.
func (m *Manifest) differences(dir string, told []Mismatch) ([]Mismatch, error) {
	text, err := os.ReadFile(filepath.Join(dir, manifestName))
	if err != nil {
		return nil, err
	}
	own, err := m.encode()
	if err != nil {
		return nil, err
	}
	var wrong []Mismatch
	tell := func(what string) { wrong = append(wrong, Mismatch{File: manifestName, What: what}) }
	got, want := membersOf(text), membersOf(own)
	if got == nil {
		return nil, nil // the first byte that differs tells more
	}
	for _, name := range slices.Sorted(maps.Keys(both(got, want))) {
		switch name {
		case "self": // of all the others
		case "files":
			for _, what := range m.otherFiles(text, told) {
				tell(what)
			}
		default:
			if what := difference(name, got[name], want[name]); what != "" {
				tell(what)
			}
		}
	}
	return wrong, nil
}

// membersOf returns a JSON object's members, numbers as they are written.
func membersOf(text []byte) map[string]any {
	var members map[string]any
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	if dec.Decode(&members) != nil {
		return nil // whoever reads the manifest says so
	}
	return members
}

func both(a, b map[string]any) map[string]any {
	all := map[string]any{}
	maps.Copy(all, a)
	maps.Copy(all, b)
	return all
}

// otherFiles holds the list of files in the text of a manifest against this one.
func (m *Manifest) otherFiles(text []byte, told []Mismatch) (wrong []string) {
	var listed struct{ Files []FileSum }
	if json.Unmarshal(text, &listed) != nil {
		return []string{"its list of files can't be read"}
	}
	named := func(list []FileSum, name string) int {
		return slices.IndexFunc(list, func(f FileSum) bool { return f.Name == name })
	}
	for _, f := range listed.Files {
		if named(m.Files, f.Name) < 0 {
			wrong = append(wrong, fmt.Sprintf("lists %s, which is no file of this plan", f.Name))
		}
	}
	for _, f := range m.Files {
		at := named(listed.Files, f.Name)
		switch {
		case at < 0:
			wrong = append(wrong, "does not list "+f.Name+", which is a file of this plan")
		case listed.Files[at] != f && !slices.ContainsFunc(told, func(t Mismatch) bool { return t.File == f.Name }):
			wrong = append(wrong, "has another size or digest for "+f.Name+" than the plan gives")
		}
	}
	return wrong
}

// difference tells where two JSON values differ first; empty if they do not.
func difference(at string, got, want any) string {
	switch w := want.(type) {
	case map[string]any:
		if g, ok := got.(map[string]any); ok {
			for _, key := range slices.Sorted(maps.Keys(both(g, w))) {
				if what := difference(at+"."+key, g[key], w[key]); what != "" {
					return what
				}
			}
			return ""
		}
	case []any:
		if g, ok := got.([]any); ok {
			for i := range min(len(g), len(w)) {
				if what := difference(fmt.Sprintf("%s[%d]", at, i), g[i], w[i]); what != "" {
					return what
				}
			}
			if len(g) != len(w) {
				return fmt.Sprintf("%s has %d entries, want %d", at, len(g), len(w))
			}
			return ""
		}
	}
	if reflect.DeepEqual(got, want) {
		return ""
	}
	return fmt.Sprintf("%s is %s, want %s", at, brief(got), brief(want))
}

// brief prints a JSON value, the start of a long one.
func brief(v any) string {
	if v == nil {
		return "missing"
	}
	text, err := json.Marshal(v)
	if err != nil {
		return "unreadable"
	}
	if r := []rune(string(text)); len(r) > 2*mostShown {
		return string(r[:2*mostShown]) + "..."
	}
	return string(text)
}

package serve

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"unicode"

	"rxsplit/cmd/internal/app"
	"rxsplit/rx/read"
)

// folder is what is shown: the working directory, and nothing outside of it.
type folder struct {
	root *os.Root
	path string // to be told

	naming sync.Mutex // held while a new file gets its name

	mu    sync.Mutex
	kinds map[string]app.TextKind // of texts, by name, size and time
}

// How much of a folder is looked through.
const (
	mostEntries = 5000
	mostDepth   = 4
)

// holding is what a folder holds, by what can be done with it. Names have forward slashes.
type holding struct {
	Fields []string
	Labels []string
	Jobs   []string
	Others []otherText // for commands that the page does not do
	Broken []string    // texts that are none of these, by too many mistakes
	Plans  []string
	Pages  []string // that other commands wrote into folders of their own
	Out    []string // links that lead out of the folder
	Cut    bool     // there is more than is looked through
	mark   string   // changes with anything in it
	inputs string   // changes with what is no plan
}

// otherText is a YAML file of a command that has no page, and what it is for.
type otherText struct {
	Name string
	Kind app.TextKind
}

// look lists what the folder holds.
func (f *folder) look() (*holding, error) {
	h, mark, inputs, seen := &holding{}, sha256.New(), sha256.New(), 0
	err := fs.WalkDir(f.root.FS(), ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || name == "." {
			return err
		}
		if strings.HasPrefix(entry.Name(), ".") || strings.Count(name, "/") >= mostDepth {
			return skip(entry)
		}
		if seen++; seen > mostEntries {
			h.Cut = true
			return fs.SkipAll
		}
		info, err := f.root.Stat(filepath.FromSlash(name))
		if err != nil {
			if entry.Type()&fs.ModeSymlink != 0 {
				h.Out = append(h.Out, name)
			}
			return nil
		}
		fmt.Fprintf(mark, "%q %d %d\n", name, info.Size(), info.ModTime().UnixNano())
		if info.IsDir() && f.isPlan(name) {
			h.Plans = append(h.Plans, name)
			return skip(entry)
		}
		if info.IsDir() {
			if page := f.pageIn(name); page != "" {
				h.Pages = append(h.Pages, path.Join(name, page))
				return skip(entry)
			}
		}
		if info.Mode().IsRegular() {
			fmt.Fprintf(inputs, "%q %d %d\n", name, info.Size(), info.ModTime().UnixNano())
			h.sort(name, func() app.TextKind { return f.kind(name, info) })
		}
		return nil
	})
	h.mark, h.inputs = string(mark.Sum(nil)), string(inputs.Sum(nil))
	return h, err
}

func skip(entry fs.DirEntry) error {
	if entry.IsDir() {
		return fs.SkipDir
	}
	return nil
}

func (f *folder) isPlan(name string) bool {
	info, err := f.root.Stat(filepath.Join(filepath.FromSlash(name), "plan.json"))
	return err == nil && info.Mode().IsRegular()
}

// pageIn is the page that another command than split wrote into a folder, beside a document
// of the same name; empty if there is none.
func (f *folder) pageIn(dir string) string {
	entries, _ := fs.ReadDir(f.root.FS(), dir)
	for _, entry := range entries {
		stem, ok := strings.CutSuffix(entry.Name(), ".html")
		if !ok {
			continue
		}
		document, err := f.open(filepath.FromSlash(path.Join(dir, stem+".json")))
		if err != nil {
			continue
		}
		const begins = `{"schema":"rxsplit.`
		head, _ := io.ReadAll(io.LimitReader(document, int64(len(begins))))
		document.Close()
		if string(head) == begins {
			return entry.Name()
		}
	}
	return ""
}

// sort puts a file where it belongs, by its ending and, of texts, by what it says.
func (h *holding) sort(name string, kind func() app.TextKind) {
	switch ending := strings.ToLower(path.Ext(name)); {
	case slices.Contains(read.Endings(), ending):
		h.Fields = append(h.Fields, name)
	case isText(ending):
		switch k := kind(); {
		case k == app.IsLabel:
			h.Labels = append(h.Labels, name)
		case k == app.IsJob:
			h.Jobs = append(h.Jobs, name)
		case k.String() != "":
			h.Others = append(h.Others, otherText{name, k})
		default:
			h.Broken = append(h.Broken, name)
		}
	}
}

// kind tells what a text is for, and remembers it as long as the file does not change.
func (f *folder) kind(name string, info fs.FileInfo) app.TextKind {
	key := fmt.Sprintf("%q %d %d", name, info.Size(), info.ModTime().UnixNano())
	f.mu.Lock()
	kind, known := f.kinds[key]
	f.mu.Unlock()
	if known {
		return kind
	}
	kind = app.KindOf(filepath.FromSlash(name))
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.kinds == nil || len(f.kinds) > mostEntries {
		f.kinds = map[string]app.TextKind{}
	}
	f.kinds[key] = kind
	return kind
}

// open opens a file. Whatever else has its name, as a pipe, could let us wait for ever.
func (f *folder) open(local string) (*os.File, error) {
	info, err := f.root.Stat(local)
	if err == nil && !info.Mode().IsRegular() {
		err = &fs.PathError{Op: "open", Path: local, Err: fs.ErrInvalid}
	}
	if err != nil {
		return nil, err
	}
	return f.root.Open(local)
}

func isText(ending string) bool { return ending == ".yaml" || ending == ".yml" }

// inside makes sure that a name leads to something in the folder, by no link that leads out
// and past nothing that is hidden, and returns it as the system writes it.
func (f *folder) inside(name string) (string, error) {
	if err := named(name); err != nil {
		return "", err
	}
	local := filepath.FromSlash(name)
	info, err := f.root.Stat(local)
	if err == nil && !info.IsDir() && !info.Mode().IsRegular() {
		return "", &app.Error{What: name + ": is neither a file nor a folder", Hint: "go back to the folder and choose again"}
	}
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			return "", &app.Error{What: name + ": is not in the folder", Hint: "go back to the folder and choose again"}
		}
		return "", &app.Error{What: name + ": leads out of the folder", Hint: "copy the file itself into the folder"}
	}
	if strings.EqualFold(path.Ext(name), ".shp") {
		return local, f.partsInside(local)
	}
	return local, nil
}

// named refuses what is no name of something in a folder.
func named(name string) error {
	bad := name == "" || len(name) > 400 || !filepath.IsLocal(filepath.FromSlash(name)) || path.Clean(name) != name ||
		strings.ContainsFunc(name, func(r rune) bool { return unicode.IsControl(r) || r == unicode.ReplacementChar })
	for part := range strings.SplitSeq(name, "/") {
		bad = bad || strings.HasPrefix(part, ".")
	}
	if bad {
		return &app.Error{What: fmt.Sprintf("%.60q is no name of something in this folder", name), Hint: "go back to the folder and choose again"}
	}
	return nil
}

// partsInside looks at what is read together with a .shp.
func (f *folder) partsInside(shp string) error {
	entries, err := fs.ReadDir(f.root.FS(), path.Dir(filepath.ToSlash(shp)))
	if err != nil {
		return &app.Error{What: filepath.ToSlash(shp) + ": " + app.SystemSays(err)}
	}
	stem := strings.TrimSuffix(filepath.Base(shp), filepath.Ext(shp))
	for _, entry := range entries {
		name := entry.Name()
		ending := filepath.Ext(name)
		if !strings.EqualFold(strings.TrimSuffix(name, ending), stem) || !slices.Contains(read.Parts(), strings.ToLower(ending)) {
			continue
		}
		if _, err := f.root.Stat(filepath.Join(filepath.Dir(shp), name)); err != nil {
			return &app.Error{What: name + ": leads out of the folder", Hint: "copy the file itself into the folder"}
		}
	}
	return nil
}

// allows makes sure that all files that options name, and those that a job file names, lie
// in the folder.
func (f *folder) allows(v app.Values) error {
	for _, o := range app.Options() {
		if o.Kind != app.File && o.Kind != app.Document {
			continue
		}
		for _, name := range v[o.Name] {
			if _, err := f.inside(filepath.ToSlash(name)); err != nil {
				return err
			}
		}
	}
	if len(v[jobName]) == 0 {
		return nil
	}
	files, err := app.JobFiles(v[jobName][0])
	if err != nil {
		return err
	}
	for _, file := range files {
		if _, err := f.inside(filepath.ToSlash(file.Path)); err != nil {
			told := app.Explain(err)
			return &app.Error{What: v[jobName][0] + ", " + file.Key + ": " + told.Text, Hint: told.Hint, Err: err}
		}
	}
	return nil
}

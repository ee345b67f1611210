package read

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
)

// Folders remembers what lies in folders, so that many files of one folder don't
// list it again and again. The zero value remembers nothing yet; nil never does.
// It is for one run: a file that comes later is not seen.
type Folders struct {
	mu    sync.Mutex
	names map[string]map[string]string
}

// sibling returns the name of base with the ending ext, preferring its exact
// spelling; empty if there is none.
func (f *Folders) sibling(path, base, ext string) (string, error) {
	dir := filepath.Dir(path)
	for _, name := range []string{base + ext, base + strings.ToUpper(ext)} {
		if _, err := os.Stat(filepath.Join(dir, name)); err == nil {
			return name, nil
		}
	}
	names, err := f.list(dir)
	if err != nil {
		return "", pathError(err)
	}
	return names[strings.ToLower(base+ext)], nil
}

// list returns the names in a folder by their lower case.
func (f *Folders) list(dir string) (map[string]string, error) {
	if f != nil {
		f.mu.Lock()
		defer f.mu.Unlock()
		if names, ok := f.names[dir]; ok {
			return names, nil
		}
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	names := make(map[string]string, len(entries))
	for _, entry := range entries {
		if lower := strings.ToLower(entry.Name()); names[lower] == "" {
			names[lower] = entry.Name()
		}
	}
	if f != nil {
		if f.names == nil {
			f.names = map[string]map[string]string{}
		}
		f.names[dir] = names
	}
	return names, nil
}

package serve

import (
	"archive/zip"
	"io"
	"mime"
	"net/http"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/cmd/internal/app"
	"rxsplit/rx/write"
)

// zip sends the folder of a plan as one file. The same plan gives the same bytes.
func (s *server) zip(w http.ResponseWriter, r *http.Request) {
	dir, err := s.dir(r)
	var names []string
	if err == nil {
		names, err = s.planFiles(dir)
	}
	if err != nil {
		s.failed(w, http.StatusNotFound, err)
		return
	}
	base := filepath.Base(dir)
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": base + ".zip"}))
	z := zip.NewWriter(w)
	for _, name := range names {
		if s.pack(z, filepath.Join(dir, name), base+"/"+name) != nil {
			panic(http.ErrAbortHandler) // a download that is cut short is seen to be
		}
	}
	if z.Close() != nil {
		panic(http.ErrAbortHandler)
	}
}

func (s *server) pack(z *zip.Writer, from, name string) error {
	file, err := s.folder.open(from)
	if err != nil {
		return err
	}
	defer file.Close()
	to, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate})
	if err == nil {
		_, err = io.Copy(to, file)
	}
	return err
}

// planFiles lists the files of a plan, as its manifest has them, with the manifest and the
// approval.
func (s *server) planFiles(dir string) ([]string, error) {
	m, err := write.ReadManifest(dir)
	if err != nil {
		return nil, err
	}
	names := []string{"plan.json"}
	for _, f := range m.Files {
		names = append(names, f.Name)
	}
	if info, err := s.folder.root.Stat(filepath.Join(dir, write.ApprovalName)); err == nil && info.Mode().IsRegular() {
		names = append(names, write.ApprovalName)
	}
	slices.Sort(names)
	for _, name := range names {
		if _, err := s.folder.inside(filepath.ToSlash(filepath.Join(dir, name))); err != nil {
			return nil, err
		}
	}
	return names, nil
}

// show sends one file of a plan, or the page of another command, to be looked at or kept.
func (s *server) show(w http.ResponseWriter, r *http.Request) {
	dir, name := path.Split(r.PathValue("plan"))
	dir = strings.TrimSuffix(dir, "/")
	local, err := s.folder.inside(dir)
	var names []string
	if err == nil {
		if names = []string{s.folder.pageIn(dir)}; names[0] == "" {
			names, err = s.planFiles(local)
		}
	}
	if err == nil && !slices.Contains(names, name) {
		err = &app.Error{What: name + ": is not of this plan"}
	}
	if err != nil {
		s.failed(w, http.StatusNotFound, err)
		return
	}
	file, err := s.folder.open(filepath.Join(local, name))
	if err != nil {
		s.failed(w, http.StatusNotFound, &app.Error{What: name + ": " + app.SystemSays(err)})
		return
	}
	defer file.Close()
	asItIs(w.Header(), name)
	io.Copy(w, file)
}

// asItIs says what a file is. A page of a plan is shown as if it were of another site:
// whatever stands in it, it can ask nothing of this one.
func asItIs(h http.Header, name string) {
	switch path.Ext(name) {
	case ".html":
		h.Set("Content-Type", "text/html; charset=utf-8")
		h.Set("Content-Security-Policy", "sandbox allow-scripts allow-modals; default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:")
	case ".txt", ".csv", ".json":
		h.Set("Content-Type", "text/plain; charset=utf-8")
	default:
		h.Set("Content-Type", "application/octet-stream")
		h.Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	}
}

package main

import (
	"path/filepath"

	"rxsplit/rx"
	"rxsplit/rx/write"
)

// inputs lists the files that the plan was made from, with paths relative to the
// plan's folder.
func (q *request) inputs(source rx.Source, out string) []write.Input {
	var list []write.Input
	for _, f := range source.Files {
		path := source.Path
		if path != "-" {
			path = relativePath(out, filepath.Join(filepath.Dir(source.Path), f.Name))
		}
		list = append(list, write.Input{Role: "prescription", Path: path, Name: f.Name, SHA256: f.SHA256, Size: f.Size})
	}
	for _, f := range q.keepOutFiles {
		list = append(list, write.Input{Role: "keep-out", Path: relativePath(out, filepath.Join(filepath.Dir(q.KeepOut), f.Name)), Name: f.Name, SHA256: f.SHA256, Size: f.Size})
	}
	for _, d := range []struct {
		role string
		doc  document
	}{{"label", q.label}, {"job", q.job}} {
		if d.doc.text != nil {
			list = append(list, write.Input{Role: d.role, Path: relativePath(out, d.doc.path), Name: filepath.Base(d.doc.path), SHA256: write.Digest(d.doc.text), Size: int64(len(d.doc.text))})
		}
	}
	return list
}

// relativePath returns path as seen from the folder out, with forward slashes.
func relativePath(out, path string) string {
	from, err := filepath.Abs(out)
	if err != nil {
		return filepath.ToSlash(path)
	}
	to, err := filepath.Abs(path)
	if err != nil {
		return filepath.ToSlash(path)
	}
	rel, err := filepath.Rel(from, to)
	if err != nil {
		return filepath.ToSlash(to)
	}
	return filepath.ToSlash(rel)
}

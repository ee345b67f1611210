package read

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/geo/shapefile"
	"rxsplit/geo/taskdata"
	"rxsplit/rx"
)

// TaskData returns the main file of the task data that a path leads to: that file itself,
// or the one in a folder or in its folder TASKDATA; empty where there is none.
func TaskData(at string) string {
	if strings.EqualFold(filepath.Base(at), taskdata.Main) && regular(at) == nil {
		return at
	}
	for _, dir := range []string{at, filepath.Join(at, taskdata.Folder)} {
		entries, err := os.ReadDir(dir)
		if err != nil {
			continue
		}
		for _, e := range entries {
			if strings.EqualFold(e.Name(), taskdata.Main) && !e.IsDir() {
				return filepath.Join(dir, e.Name())
			}
		}
	}
	return ""
}

// decodeTaskData reads a set from its folder.
func decodeTaskData(at string, opt FileOptions) (*File, error) {
	parts, err := taskDataParts(at, false)
	if err != nil {
		return nil, err
	}
	files, stick := taskdata.Files{}, map[string][]byte{}
	folder, err := filepath.Abs(filepath.Dir(at))
	if err != nil {
		folder = filepath.Dir(at)
	}
	for _, p := range parts {
		files[p.name] = p.data
		stick[filepath.Base(folder)+"/"+p.name] = p.data
	}
	return taskDataFile(filepath.Base(at), files, stick, parts, opt.Layer, 0)
}

// taskDataParts reads the main file and those that it refers to, by whatever case their
// names have on the disk; logs, which are no part of a prescription, only where they are
// wanted. What is missing is told by whoever decodes them.
func taskDataParts(at string, logs bool) ([]part, error) {
	entries, _ := os.ReadDir(filepath.Dir(at)) // where that fails, the files that it refers to are missing
	main, err := readAll(at)
	if err != nil {
		return nil, err
	}
	parts := []part{{filepath.Base(at), main}}
	for i := 0; i < len(parts); i++ {
		if i > 0 && !isFurther(parts[i].name) {
			continue
		}
		names, err := taskdata.References(parts[i].data)
		if err != nil {
			return nil, taskDataError(parts[i].name, err)
		}
		for _, name := range names {
			own := nameIn(entries, name)
			if own == "" || !logs && isLog(name) || slices.ContainsFunc(parts, func(p part) bool { return p.name == own }) {
				continue
			}
			data, err := readAll(filepath.Join(filepath.Dir(at), own))
			if err != nil {
				return nil, err
			}
			parts = append(parts, part{own, data})
		}
	}
	return parts, nil
}

// isLog reports whether a name is that of a part of a log.
func isLog(name string) bool { return strings.HasPrefix(name, "TLG") }

// isFurther reports whether a name is that of a file that may refer to others.
func isFurther(name string) bool {
	return strings.EqualFold(path.Ext(name), ".xml") && !isLog(strings.ToUpper(name))
}

// isTaskFile reports whether a path may be that of a file of a set.
func isTaskFile(at string) bool {
	return slices.Contains([]string{".xml", ".bin"}, strings.ToLower(path.Ext(at)))
}

// nameIn returns the name that a file has in a folder, in its own case; empty if it is not
// there.
func nameIn(entries []fs.DirEntry, name string) (own string) {
	for _, e := range entries {
		if e.Name() == name {
			return name
		}
		if strings.EqualFold(e.Name(), name) && own == "" {
			own = e.Name()
		}
	}
	return own
}

// holdsTaskData reports whether an archive has a set and no shapefile.
func holdsTaskData(data []byte) bool {
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return false
	}
	found := false
	for _, f := range archive.File {
		base := path.Base(strings.ReplaceAll(f.Name, `\`, "/"))
		if strings.EqualFold(path.Ext(base), ".shp") && !strings.HasPrefix(base, ".") {
			return false
		}
		found = found || strings.EqualFold(base, taskdata.Main)
	}
	return found
}

// unzipTaskData reads the set of an archive.
func unzipTaskData(name string, data []byte, opt FileOptions, limits shapefile.Limits) (*File, error) {
	all, err := shapefile.UnzipFiles(bytes.NewReader(data), int64(len(data)), isTaskFile, limits, roomFor)
	if err != nil {
		return nil, inFile(name, err)
	}
	var mains []string
	for at := range all {
		if strings.EqualFold(path.Base(at), taskdata.Main) {
			mains = append(mains, at)
		}
	}
	if len(mains) != 1 {
		slices.Sort(mains)
		return nil, &Error{File: name, What: "holds several sets of task data: " + strings.Join(mains, ", "), Hint: "unpack it, and name the folder that is meant"}
	}
	dir := path.Dir(mains[0])
	files, stick := taskdata.Files{}, map[string][]byte{}
	for at, text := range all {
		if path.Dir(at) == dir {
			files[path.Base(at)], stick[at] = text, text
		}
	}
	if err := crowded(name, files, len(data), limits); err != nil {
		return nil, err
	}
	f, err := taskDataFile(name, files, stick, []part{{name, data}}, opt.Layer, limits.MaxRatio/bordersShare)
	if err == nil {
		f.format = taskDataFormat()
	}
	return f, err
}

// fewElements is how many elements and attributes every set may have, and elementsShare brings the
// bytes that an archive may unpack to for each of its own to those that it may hold beside them:
// zones as polygons, values of products and devices have some 2 for each byte.
const (
	fewElements   = 100_000
	elementsShare = 20
)

// crowded refuses the set of an archive that would take far more memory than any of its size:
// elements without data pack into next to nothing.
func crowded(name string, files taskdata.Files, archive int, limits shapefile.Limits) error {
	if n := files.Elements(); n > fewElements+limits.MaxRatio/elementsShare*archive {
		return &Error{File: name, What: fmt.Sprintf("has %d elements and attributes in an archive of %d bytes", n, archive),
			Hint: "no field packs so tightly; if it comes from somebody you know, unpack it and name the folder, or allow more with --zip-ratio"}
	}
	return nil
}

// bordersShare brings the bytes that a part of an archive may unpack to for each of its own to
// the sides between cells of unlike rates that it may hold. Sensed ground has some 4 for each
// byte, strips as wide as machines up to 24.
const bordersShare = 12

// taskDataFile makes one task of a set a layer. What breaks the rules of the standard, and
// still can be meant in one way alone, is told.
func taskDataFile(name string, files taskdata.Files, stick map[string][]byte, parts []part, task string, bordersPerByte int) (*File, error) {
	set, remarks, err := taskdata.Decode(files)
	if err != nil {
		return nil, taskDataError(name, err)
	}
	set.BordersPerByte = bordersPerByte
	layer, err := taskdata.Prescription(set, task)
	if err != nil {
		return nil, taskDataError(name, err)
	}
	layer.Remarks = append(layer.Remarks, remarks...)
	layer.Remarks = append(layer.Remarks, taskdata.Faults(stick)...)
	return &File{Layer: layer, Source: rx.Source{Name: name, Files: digest(parts)}}, nil
}

// taskDataError tells what is wrong with a set, with the name of the file before it where
// that is an archive.
func taskDataError(name string, err error) error {
	var choice *taskdata.ChoiceError
	var file *taskdata.FileError
	switch {
	case errors.As(err, &choice):
		return &Error{File: name, What: choice.Why, Hint: choice.Hint, Err: err}
	case errors.As(err, &file):
		told := &Error{File: name, What: err.Error(), Hint: file.Hint, Err: err}
		if strings.EqualFold(name, file.File) {
			told.What = strings.TrimPrefix(told.What, file.File+": ")
		}
		return told
	}
	if strings.EqualFold(name, taskdata.Main) {
		return err
	}
	return inFile(name, err)
}

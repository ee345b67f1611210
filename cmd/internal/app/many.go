package app

import (
	"context"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"golang.org/x/sync/semaphore"

	"rxsplit/cmd/internal/report"
	"rxsplit/internal/cores"
	"rxsplit/rx/read"
)

const hintName = "check the name and the folder"

// Several reports whether paths are more than one prescription's file.
func Several(paths []string) (bool, error) {
	if len(paths) != 1 {
		return true, nil
	}
	if paths[0] == "-" {
		return false, nil
	}
	info, err := os.Stat(paths[0])
	if err != nil {
		return false, &Error{What: paths[0] + ": " + SystemSays(err), Hint: hintName}
	}
	return info.IsDir() && !isTaskData(paths[0]), nil
}

// isTaskData reports whether a folder is one of task data: one file, so to speak.
func isTaskData(dir string) bool {
	main := read.TaskData(dir)
	return main != "" && filepath.Dir(main) == filepath.Clean(dir)
}

// Prescriptions lists the files that paths name: those of folders in their order,
// without folders that a plan, a day or results were written into.
func Prescriptions(paths []string) ([]string, error) {
	var files []string
	endings := read.Endings()
	for _, name := range paths {
		info, err := os.Stat(name)
		if err != nil {
			return nil, &Error{What: name + ": " + SystemSays(err), Hint: hintName}
		}
		if !info.IsDir() || isTaskData(name) {
			files = append(files, name)
			continue
		}
		if holdsPlan(name) || holdsDay(name) || holdsResults(name) {
			return nil, &Error{What: name + ": holds what rxsplit wrote, and no prescriptions", Hint: "name the prescription's own file; what was written is looked at with: rxsplit verify " + report.Word(name)}
		}
		err = filepath.WalkDir(name, func(path string, entry fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case entry.IsDir() && isTaskData(path):
				files = append(files, path)
				return fs.SkipDir
			case entry.IsDir() && path != name && (strings.HasPrefix(entry.Name(), ".") || holdsPlan(path) || holdsDay(path) || holdsResults(path)):
				return fs.SkipDir
			case !entry.IsDir() && slices.Contains(endings, strings.ToLower(filepath.Ext(path))):
				files = append(files, path)
			}
			return nil
		})
		if err != nil {
			return nil, &Error{What: name + ": " + SystemSays(err), Hint: "name folders that you may read, or the files themselves"}
		}
	}
	if len(files) == 0 {
		return nil, &Error{What: strings.Join(paths, ", ") + ": no prescription in it", Hint: read.Wanted()}
	}
	return files, nil
}

func holdsPlan(dir string) bool { return isThere(dir, "plan.json") }

// holdsDay asks for two of its files, as one alone may be anybody's.
func holdsDay(dir string) bool { return isThere(dir, dayName) && isThere(dir, dayText) }

// holdsResults asks likewise for a list and its page.
func holdsResults(dir string) bool {
	return slices.ContainsFunc(resultLists(), func(list string) bool {
		return isThere(dir, list) && isThere(dir, strings.TrimSuffix(list, ".json")+".html")
	})
}

func isThere(dir, name string) bool {
	_, err := os.Stat(filepath.Join(dir, name))
	return err == nil
}

// mostAtOnce bounds the bytes of the files that are in work at the same time; a
// larger file is checked alone.
const mostAtOnce = 128 << 20

// Each checks files on all cores and yields what digest makes of each, in their order.
// What a file holds is let go with its digest: of a check, with its ways where they are
// asked for, or of the error that is wrong with that file. An error of its own tells what
// is wrong for all of them. Where the context is canceled, the rest of the files is left out.
func Each[T any](ctx context.Context, r Run, files []string, q *Request, ways bool, digest func(path string, result report.Result, err error) T) (iter.Seq[T], error) {
	if _, err := q.settings(); err != nil {
		return nil, err
	}
	one := Run{folders: new(read.Folders)}
	return func(yield func(T) bool) {
		ctx, stop := context.WithCancel(ctx)
		defer stop()
		rows := inOrder(ctx, files, func(i int) T {
			path := files[i]
			c, err := one.assess(ctx, path, q)
			if err != nil {
				return digest(path, report.Result{}, err)
			}
			result, err := c.result()
			if ways {
				result.Ways = c.release.Ways()
			}
			return digest(path, result, err)
		})
		for i, row := range rows {
			if r.tell(ctx, Step{"files", i, len(files)}) != nil {
				return
			}
			select {
			case made := <-row:
				if !yield(made) {
					return
				}
			case <-ctx.Done():
				return
			}
		}
	}, nil
}

// inOrder does the work for each file, by its index, as many at a time as there are cores and as fit
// into memory together; what it makes of them comes through channels in their order.
func inOrder[T any](ctx context.Context, files []string, work func(i int) T) []chan T {
	rows := make([]chan T, len(files))
	for i := range rows {
		rows[i] = make(chan T, 1)
	}
	room := semaphore.NewWeighted(mostAtOnce)
	go cores.Each(len(files), func(i int) {
		size := min(weight(files[i]), mostAtOnce)
		if room.Acquire(ctx, size) != nil {
			return
		}
		defer room.Release(size)
		rows[i] <- work(i)
	})
	return rows
}

// weight is the size of a file, which stands for the memory that it takes.
func weight(path string) int64 {
	info, err := os.Stat(path)
	if err != nil {
		return 0
	}
	return info.Size()
}

// InFolder is what is wrong with one of several files, told with its path: files of
// different folders may have one name.
type InFolder struct {
	Path string
	Err  error
}

// Error puts the folder before the name of the file, or of a part of it, that each line
// begins with, and the path before other lines.
func (e *InFolder) Error() string {
	dir, name := filepath.Split(e.Path)
	stem := strings.TrimSuffix(name, filepath.Ext(name)) + "."
	path, quoted := report.Name(e.Path), report.Name(name)
	lines := strings.Split(report.OneLine(e.Err.Error(), e.Path), "\n")
	for i, line := range lines {
		switch {
		case strings.HasPrefix(line, path):
		case quoted != name && strings.HasPrefix(line, quoted):
			lines[i] = path + strings.TrimPrefix(line, quoted)
		case strings.HasPrefix(line, name+":"), strings.HasPrefix(line, stem):
			lines[i] = dir + line
		default:
			lines[i] = path + ": " + line
		}
	}
	return strings.Join(lines, "\n")
}

// Unwrap returns the error itself.
func (e *InFolder) Unwrap() error { return e.Err }

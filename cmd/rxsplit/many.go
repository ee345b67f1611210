package main

import (
	"fmt"
	"io"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"

	"rxsplit/cmd/internal/report"
	"rxsplit/rx/read"
)

// isMany reports whether the arguments are more than one prescription's file.
func isMany(args []string) (bool, error) {
	if len(args) > 1 {
		return true, nil
	}
	if args[0] == "-" {
		return false, nil
	}
	info, err := os.Stat(args[0])
	if err != nil {
		return false, &hinted{args[0] + ": " + systemSays(err), "check the name and the folder"}
	}
	return info.IsDir(), nil
}

// prescriptions lists the files that the arguments name: those of folders in
// their order, without folders that rxsplit wrote.
func prescriptions(args []string) ([]string, error) {
	var files []string
	for _, arg := range args {
		info, err := os.Stat(arg)
		if err != nil {
			return nil, &hinted{arg + ": " + systemSays(err), "check the name and the folder"}
		}
		if !info.IsDir() {
			files = append(files, arg)
			continue
		}
		err = filepath.WalkDir(arg, func(path string, entry fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case entry.IsDir() && path != arg && (strings.HasPrefix(entry.Name(), ".") || holdsPlan(path)):
				return fs.SkipDir
			case !entry.IsDir() && slices.Contains([]string{".shp", ".zip", ".geojson", ".json"}, strings.ToLower(filepath.Ext(path))):
				files = append(files, path)
			}
			return nil
		})
		if err != nil {
			return nil, &hinted{arg + ": " + systemSays(err), ""}
		}
	}
	if len(files) == 0 {
		return nil, &hinted{strings.Join(args, ", ") + ": no prescription in it", "prescriptions are .shp, .zip, .geojson or .json"}
	}
	return files, nil
}

func holdsPlan(dir string) bool {
	_, err := os.Stat(filepath.Join(dir, "plan.json"))
	return err == nil
}

// checkMany checks the files side by side and tells of them in their order; a bad
// one is reported and the rest go on.
func checkMany(u *ui, args []string, q *request, asJSON bool) error {
	files, err := prescriptions(args)
	if err != nil {
		return err
	}
	if _, err := q.terms(); err != nil { // wrong for all of them
		return err
	}
	table := report.NewTable(u.out, asJSON)
	flagged, failed := 0, 0
	q.folders = new(read.Folders)
	for row := range rowsOf(files, *q) {
		switch {
		case row.Err != nil:
			failed++
			u.fail(&inFolder{row.Path, row.Err})
		case row.flagged:
			flagged++
		}
		table.Add(row.Row)
	}
	if err := table.Close(); err != nil {
		return err
	}
	switch {
	case failed > 0:
		return &hinted{fmt.Sprintf("%d of %d files could not be checked", failed, len(files)), "the reasons stand above"}
	case flagged > 0:
		return errFlagged
	}
	return nil
}

// inFolder says with its path which of several files an error is about: files of
// different folders may have one name.
type inFolder struct {
	path string
	err  error
}

// Error puts the folder before the name of the file, or of a part of it, that each line
// begins with, and the path before other lines.
func (e *inFolder) Error() string {
	dir, name := filepath.Split(e.path)
	stem := strings.TrimSuffix(name, filepath.Ext(name)) + "."
	path, quoted := report.Name(e.path), report.Name(name)
	lines := strings.Split(report.OneLine(e.err.Error(), e.path), "\n")
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

func (e *inFolder) Unwrap() error { return e.err }

// checkedRow is a row and whether anything in it is worse than a note.
type checkedRow struct {
	report.Row
	flagged bool
}

// mostAtOnce bounds the bytes of the files that are in work at the same time; a
// larger file is checked alone.
const mostAtOnce = 128 << 20

// rowsOf checks the files on all cores and yields their rows in their order. What
// a file holds is let go with its row.
func rowsOf(files []string, q request) iter.Seq[checkedRow] {
	return func(yield func(checkedRow) bool) {
		rows := make([]chan checkedRow, len(files))
		for i := range rows {
			rows[i] = make(chan checkedRow, 1)
		}
		room := newRoom(mostAtOnce)
		slots := make(chan struct{}, runtime.GOMAXPROCS(0))
		stop := make(chan struct{})
		defer close(stop)
		go func() {
			for i, path := range files {
				select {
				case slots <- struct{}{}:
				case <-stop:
					return
				}
				size := room.take(weight(path))
				go func() {
					rows[i] <- rowOf(path, q)
					room.give(size)
					<-slots
				}()
			}
		}()
		for i := range rows {
			if !yield(<-rows[i]) {
				return
			}
		}
	}
}

func rowOf(path string, q request) checkedRow {
	quiet := &ui{in: strings.NewReader(""), out: io.Discard, err: io.Discard}
	c, err := assess(quiet, path, &q)
	if err != nil {
		return checkedRow{Row: report.Failed(path, err)}
	}
	return checkedRow{Row: report.RowOf(path, c.result("")), flagged: c.flagged()}
}

// weight is the size of a file, which stands for the memory that it takes.
func weight(path string) int64 {
	info, err := os.Stat(path)
	if err != nil {
		return 0
	}
	return info.Size()
}

// room is a bounded amount that is taken and given back.
type room struct {
	mu    sync.Mutex
	freed *sync.Cond
	most  int64
	taken int64
}

func newRoom(most int64) *room {
	r := &room{most: most}
	r.freed = sync.NewCond(&r.mu)
	return r
}

// take waits until n fits beside what is taken, or nothing is; it returns what is
// to be given back.
func (r *room) take(n int64) int64 {
	r.mu.Lock()
	defer r.mu.Unlock()
	for r.taken > 0 && r.taken+n > r.most {
		r.freed.Wait()
	}
	r.taken += n
	return n
}

func (r *room) give(n int64) {
	r.mu.Lock()
	r.taken -= n
	r.mu.Unlock()
	r.freed.Signal()
}

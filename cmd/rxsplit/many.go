package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
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

// checkMany checks file after file; a bad one is reported and the rest go on.
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
	for _, path := range files {
		c, err := assess(u, path, q)
		u.end()
		if err != nil {
			failed++
			u.fail(err)
			table.Failed(path, err)
			continue
		}
		if c.flagged() {
			flagged++
		}
		result := c.result("")
		table.Add(path, result)
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

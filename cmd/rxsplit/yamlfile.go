package main

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/label"
	"rxsplit/label/strictyaml"
	"rxsplit/rx/equip"
)

// labelError says what is wrong with a label profile, or that the file is a job file.
func labelError(path string, text []byte, err error) error {
	_, other := equip.ParseJob(path, text)
	if mistakenFor(err, other) {
		return &hinted{path + ": is a job file, not a label profile", "give it with --job; the label profile is a file of its own, which it names as label"}
	}
	return mistakes(err, "rxsplit label check ", path)
}

// jobError says what is wrong with a job file, or that the file is a label profile.
func jobError(path string, text []byte, err error) error {
	_, other := label.Parse(path, text)
	if mistakenFor(err, other) {
		return &hinted{path + ": is a label profile, not a job file", "give it with --label; rxsplit job new writes a job file to fill in"}
	}
	return mistakes(err, "rxsplit job check ", path)
}

// mistakenFor reports whether a file has far fewer mistakes as another kind of file than
// as the one that it was given for.
func mistakenFor(own, other error) bool {
	var asOwn, asOther strictyaml.Errors
	if !errors.As(own, &asOwn) || other != nil && !errors.As(other, &asOther) {
		return false
	}
	unknown := func(e *strictyaml.Error) bool { return strings.Contains(e.What, "is not a key that is known here") }
	return slices.ContainsFunc(asOwn, unknown) && 2*len(asOther) < len(asOwn)
}

// mistakes adds to the mistakes of a file how to look at it again; nothing where it has
// no name.
func mistakes(err error, command, path string) error {
	if err == nil || path == "" {
		return err
	}
	return &hinted{err.Error(), "correct the file, then look at it with: " + command + report.Word(path)}
}

// isOtherFile reports whether a name ends as a prescription's or a page's does: no label
// or job file is named so.
func isOtherFile(path string) bool {
	return slices.Contains([]string{".shp", ".shx", ".dbf", ".prj", ".cpg", ".zip", ".geojson", ".html", ".csv"}, strings.ToLower(filepath.Ext(path)))
}

package report

import (
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// Name prints the name of a file in a message: quoted where a line break in it would
// take a line of its own.
func Name(path string) string {
	if strings.ContainsAny(path, "\n\r") {
		return strconv.Quote(path)
	}
	return path
}

// OneLine prints the paths, and the names that they end in, as [Name] does wherever they
// stand in a message whose lines are told one by one.
func OneLine(message string, paths ...string) string {
	var names []string
	for _, path := range paths {
		for _, name := range []string{path, filepath.Base(path)} {
			if Name(name) != name {
				names = append(names, name)
			}
		}
	}
	slices.SortStableFunc(names, func(a, b string) int { return len(b) - len(a) }) // a path before its own end
	for _, name := range names {
		message = strings.ReplaceAll(message, name, Name(name))
	}
	return message
}

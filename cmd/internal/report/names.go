package report

import (
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode"
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

// Word prints a word of a command to type: quoted if a shell would split or expand it,
// and on one line.
func Word(s string) string {
	if strings.ContainsAny(s, "\n\r") {
		return "$'" + strings.NewReplacer("\\", `\\`, "'", `\'`, "\n", `\n`, "\r", `\r`).Replace(s) + "'"
	}
	if s != "" && !strings.ContainsAny(s, " \t\n'\"\\$`*?[]{}()<>|&;#~!%") {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}

// stand takes the place of a rune that is not shown.
const stand = '\uFFFD'

// Plain returns a text as it may go to a terminal: what a file or its name holds
// must not reach it as a command, nor turn the order of what is read. Control
// characters but the end of a line, those that set the direction of writing, and
// bytes that are no UTF-8 become U+FFFD.
func Plain(text string) string {
	return strings.Map(func(r rune) rune {
		if r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r)) {
			return stand
		}
		return r
	}, text)
}

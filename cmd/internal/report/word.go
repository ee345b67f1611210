package report

import "strings"

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

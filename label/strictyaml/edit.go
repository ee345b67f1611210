package strictyaml

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
)

// All returns what every key holds that has a value of its own, as it is written.
func (d *Document) All() map[string]string {
	all := map[string]string{}
	for key, p := range d.places {
		if p.written != "" {
			all[key] = p.written
		}
	}
	return all
}

// Set changes the value of one key of the root, whose text is as [Scalar], [Flow],
// [FlowList] and [Block] make it, and leaves every other line as it is, comments included. A
// key that is not there takes the lines where it stands as a comment, or else a new one at
// the end.
func Set(text []byte, key, value string) []byte {
	lines := strings.SplitAfter(string(text), "\n")
	from, to := extent(lines, key)
	comment := ""
	if from < 0 {
		from, to = shown(lines, key)
	} else if to == from+1 && !strings.Contains(value, "\n") {
		comment = trailing(lines[from])
	}
	lead := " "
	if strings.HasPrefix(value, "\n") {
		lead = ""
	}
	return put(lines, from, to, key+":"+lead+value+comment)
}

// Unset takes a key of the root out: its lines become comments. With a note, that stands in
// their place, as what is said of the key.
func Unset(text []byte, key, note string) []byte {
	lines := strings.SplitAfter(string(text), "\n")
	from, to := extent(lines, key)
	if note != "" {
		if from < 0 {
			from, to = shown(lines, key)
		}
		return put(lines, from, to, "#"+key+": "+note)
	}
	for i := max(from, 0); i < to; i++ {
		lines[i] = "#" + lines[i]
	}
	return []byte(strings.Join(lines, ""))
}

// Noted reports whether a key of the root is left out with that note.
func Noted(text []byte, key, note string) bool {
	return slices.Contains(strings.Split(strings.ReplaceAll(string(text), "\r", ""), "\n"), "#"+key+": "+note)
}

// Inside returns the lines below a key of the root as a file of their own, where they are a
// mapping with a line for each key, so that one of these can be changed by itself.
func Inside(text []byte, key string) (inner []byte, ok bool) {
	lines := strings.SplitAfter(string(text), "\n")
	from, to := extent(lines, key)
	if from < 0 || strings.TrimSpace(strings.TrimSuffix(strings.TrimRight(lines[from], "\r\n"), trailing(lines[from]))) != key+":" {
		return nil, false
	}
	indent := indentOf(lines[from+1 : to])
	for _, line := range lines[from+1 : to] {
		rest, fits := strings.CutPrefix(line, indent)
		if strings.TrimSpace(line) == "" {
			rest, fits = "\n", true
		}
		if !fits || indent == "" || strings.HasPrefix(rest, "- ") {
			return nil, false
		}
		inner = append(inner, rest...)
	}
	return inner, len(inner) > 0
}

// SetInside puts such lines back, changed.
func SetInside(text []byte, key string, inner []byte) []byte {
	lines := strings.SplitAfter(string(text), "\n")
	from, to := extent(lines, key)
	indent := indentOf(lines[from+1 : to])
	out := slices.Clone(lines[:from+1])
	for line := range strings.Lines(string(inner)) {
		if strings.TrimSpace(line) != "" {
			line = indent + line
		}
		out = append(out, line)
	}
	return []byte(strings.Join(append(out, lines[to:]...), ""))
}

// indentOf is the space before the first key of some lines.
func indentOf(lines []string) string {
	for _, line := range lines {
		if rest := strings.TrimLeft(line, " "); strings.TrimSpace(rest) != "" && !strings.HasPrefix(rest, "#") {
			return line[:len(line)-len(rest)]
		}
	}
	return ""
}

func put(lines []string, from, to int, line string) []byte {
	if last := len(lines) - 1; from > last && lines[last] != "" {
		lines[last] += "\n" // it had no end
	}
	return []byte(strings.Join(slices.Concat(lines[:from], []string{line + "\n"}, lines[to:]), ""))
}

// extent finds the lines of a key of the root, up to the next one but without the comments
// before that; to is 0 and from -1 where it is not there.
func extent(lines []string, key string) (from, to int) {
	from = slices.IndexFunc(lines, func(line string) bool { return strings.HasPrefix(line, key+":") })
	if from < 0 {
		return -1, 0
	}
	to = from + 1
	for to < len(lines) && (strings.TrimSpace(lines[to]) == "" || strings.ContainsAny(lines[to][:1], " \t-]}#")) {
		to++
	}
	for to > from+1 && (strings.TrimSpace(lines[to-1]) == "" || strings.HasPrefix(lines[to-1], "#")) {
		to--
	}
	return from, to
}

// shown finds the comment that shows a key, with the lines that go on below it; the end of
// the file where there is none.
func shown(lines []string, key string) (from, to int) {
	from = slices.IndexFunc(lines, func(line string) bool { return strings.HasPrefix(line, "#"+key+":") })
	if from < 0 {
		return len(lines), len(lines)
	}
	to = from + 1
	for to < len(lines) && strings.HasPrefix(lines[to], "#  ") {
		to++
	}
	return from, to
}

var remark = regexp.MustCompile(`^[^"'#]*?(\s+#[^"']*?)\r?\n?$`)

// trailing is the comment at the end of a line that is no comment itself.
func trailing(line string) string {
	if strings.HasPrefix(line, "#") {
		return ""
	}
	if m := remark.FindStringSubmatch(line); m != nil {
		return m[1]
	}
	return ""
}

var plain = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9 ./%$+()-]*[A-Za-z0-9.%)]$|^[A-Za-z0-9]$`)

// Scalar writes one value, in quotes where it needs them.
func Scalar(text string) string {
	text = strings.TrimSpace(text)
	switch strings.ToLower(text) {
	case "":
		return ""
	case "null":
		return `"` + text + `"`
	}
	if plain.MatchString(text) {
		return text
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.Encode(text) // a text: it can't fail
	return strings.TrimSpace(b.String())
}

// Flow writes values of keys, in their order, on one line; without values, nothing. Those
// that are given have been written already.
func Flow(keys []string, values map[string]string) string {
	var parts []string
	for _, k := range keys {
		if values[k] != "" {
			parts = append(parts, k+": "+values[k])
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// FlowList writes a list on one line; nothing where it is empty.
func FlowList(values []string) string {
	if len(values) == 0 {
		return ""
	}
	return "[" + strings.Join(values, ", ") + "]"
}

// Block writes a list with a line for each of its values.
func Block(values []string) string {
	if len(values) == 0 {
		return ""
	}
	return "\n  - " + strings.Join(values, "\n  - ")
}

// Same makes sure that an edited file says of all keys but those of the root that were
// changed what it said before.
func Same(before, after *Document, changed []string) error {
	old, now := before.All(), after.All()
	for _, all := range []map[string]string{old, now} {
		for _, key := range slices.Sorted(maps.Keys(all)) {
			root, _, _ := strings.Cut(key, ".")
			root, _, _ = strings.Cut(root, "[")
			if !slices.Contains(changed, root) && old[key] != now[key] {
				return fmt.Errorf("%s can't be kept as it is: change the file in an editor", key)
			}
		}
	}
	return nil
}

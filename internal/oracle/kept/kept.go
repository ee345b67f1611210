// Package kept holds digests of all that a test has the program print and write, in one
// file of testdata, so that any change of an output shows as one line of it. A digest
// proves nothing right: it tells that something is not as it was.
package kept

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// folderName is what the environment may name to have every output laid down there under its
// digest, and not those alone that are new: two commits are compared by that.
const folderName = "RXSPLIT_KEEP"

// mostTold is how many differences are told one by one.
const mostTold = 30

// Lay returns the digest of an output. The output lies in dir under it then, unless the
// file of digests at path holds it already.
func Lay(path, dir string, output []byte) string {
	digest := fmt.Sprintf("%x", sha256.Sum256(output))[:12]
	known, _ := os.ReadFile(path)
	if os.Getenv(folderName) != "" || !bytes.Contains(known, []byte(digest)) {
		os.WriteFile(filepath.Join(dir, digest), output, 0o666)
	}
	return digest
}

// Dir is where new outputs are laid.
func Dir(t testing.TB) string {
	dir := os.Getenv(folderName)
	err := os.MkdirAll(cmp.Or(dir, os.TempDir()), 0o777)
	if dir == "" && err == nil {
		dir, err = os.MkdirTemp("", "rxsplit-kept-")
	}
	if err != nil {
		t.Fatal(err)
	}
	return dir
}

// Hold compares what each section came to with the file at path, or writes it there. A
// section has commands, each a line with the lines of its outputs, indented, below: name and
// digest; the first is "exit". Sections of the file that got lacks are left alone, and in a
// short run commands that got lacks. New outputs lie in dir, which
// goes where there is none.
func Hold(t testing.TB, path, dir string, got map[string]string, update bool) {
	t.Helper()
	os.Remove(dir) // if it is empty
	text, err := os.ReadFile(path)
	if err != nil && !update {
		t.Fatal(err)
	}
	want := sections(string(text))
	if update && t.Failed() {
		t.Errorf("%s is not written: what comes after a line that failed is not known. Mend the script, then -update again", path)
		return
	}
	if update {
		maps.Copy(want, got)
		var b strings.Builder
		for _, name := range slices.Sorted(maps.Keys(want)) {
			b.WriteString(mark + name + "\n" + want[name])
		}
		if err := os.WriteFile(path, []byte(b.String()), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	var told []string
	for _, name := range slices.Sorted(maps.Keys(got)) {
		told = append(told, differences(name, outputs(want[name]), outputs(got[name]))...)
	}
	if len(told) == 0 {
		return
	}
	for _, one := range told[:min(len(told), mostTold)] {
		t.Error(one)
	}
	t.Errorf("%d outputs are not as %s has them. The new ones lie in %s by their digests; %s=FOLDER keeps all, also those of an earlier commit. If they are meant: -update.", len(told), path, dir, folderName)
}

// mark begins a section.
const mark = "== "

func sections(text string) map[string]string {
	all, name := map[string]string{}, ""
	for line := range strings.Lines(text) {
		if after, ok := strings.CutPrefix(line, mark); ok {
			name = strings.TrimSpace(after)
			continue
		}
		all[name] += line
	}
	return all
}

// output is one of a command; the same command may come again.
type output struct {
	command string
	time    int
	name    string
}

func outputs(section string) map[output]string {
	all, times, command := map[output]string{}, map[string]int{}, ""
	for line := range strings.Lines(section) {
		line = strings.TrimSuffix(line, "\n")
		rest, indented := strings.CutPrefix(line, "  ")
		if !indented {
			command = line
			times[command]++
			continue
		}
		at := strings.LastIndexByte(rest, ' ')
		all[output{command, times[command], rest[:max(at, 0)]}] = rest[at+1:]
	}
	return all
}

func differences(section string, want, got map[output]string) (told []string) {
	for _, o := range slices.SortedFunc(maps.Keys(got), byCommand) {
		switch was, ok := want[o]; {
		case !ok:
			told = append(told, fmt.Sprintf("%s: %s: %s is new: %s", section, o.command, o.name, got[o]))
		case was != got[o]:
			told = append(told, fmt.Sprintf("%s: %s: %s is %s, was %s", section, o.command, o.name, got[o], was))
		}
	}
	for _, o := range slices.SortedFunc(maps.Keys(want), byCommand) {
		_, ok := got[o]
		_, ran := got[output{o.command, o.time, "exit"}]
		if !ok && (ran || !testing.Short()) {
			told = append(told, fmt.Sprintf("%s: %s: %s is gone", section, o.command, o.name))
		}
	}
	return told
}

func byCommand(a, b output) int {
	return cmp.Or(strings.Compare(a.command, b.command), a.time-b.time, strings.Compare(a.name, b.name))
}

package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"rxsplit/cmd/internal/report"
	"rxsplit/internal/oracle/kept"
)

// keptPath lists, of each command of each script, its exit status and the digests of all that
// it prints and writes.
const keptPath = "../../testdata/kept.txt"

// What the environment tells the program of a script.
const (
	keptLog    = "RXSPLIT_KEPT_LOG" // the file that each command adds its lines to
	keptFile   = "RXSPLIT_KEPT"     // the digests that are known
	keptFolder = "RXSPLIT_KEPT_DIR" // where outputs are laid down
	keptWork   = "WORK"             // the script's folder, whose name differs from run to run
)

// keepScripts has every command of the scripts kept, and holds them against keptPath once all
// have run. It returns what a script's environment needs.
func keepScripts(t *testing.T) func(*testscript.Env) {
	if runtime.GOOS != "linux" || testing.Short() { // the system's own words stand in messages; digests take as long again
		return func(*testscript.Env) {}
	}
	logs, dir := t.TempDir(), kept.Dir(t)
	path, err := filepath.Abs(keptPath)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		got := map[string]string{}
		list, _ := filepath.Glob(filepath.Join(logs, "*"))
		for _, log := range list {
			text, _ := os.ReadFile(log)
			got[filepath.Base(log)] = string(text)
		}
		kept.Hold(t, path, dir, got, *update)
	})
	return func(env *testscript.Env) {
		name := strings.TrimPrefix(filepath.Base(env.WorkDir), "script-")
		env.Setenv(keptLog, filepath.Join(logs, name))
		env.Setenv(keptFile, path)
		env.Setenv(keptFolder, dir)
	}
}

// keeper is one command of a script.
type keeper struct {
	args     []string
	out, err bytes.Buffer
	before   map[string]fs.FileInfo
}

// keptRun runs the program, and keeps what it prints and writes where a script asks for that.
func keptRun(args []string, in io.Reader, out, errs io.Writer) int {
	if os.Getenv(keptLog) == "" || slices.Contains(args, "--timings") { // seconds differ
		return run(args, in, out, errs)
	}
	noon := time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)
	now = func() time.Time { return noon }
	k := &keeper{args: args, before: filesBelow(os.Getenv(keptWork))}
	status := run(args, in, io.MultiWriter(out, &k.out), io.MultiWriter(errs, &k.err))
	if err := k.done(status); err != nil {
		panic(err)
	}
	return status
}

// done adds to the log what the command printed and wrote.
func (k *keeper) done(status int) error {
	var lines strings.Builder
	lines.WriteString("rxsplit")
	for _, arg := range k.args {
		lines.WriteString(" " + report.Word(arg))
	}
	fmt.Fprintf(&lines, "\n  exit %d\n", status)
	work := os.Getenv(keptWork)
	add := func(name string, data []byte) {
		if len(data) > 0 {
			data = bytes.ReplaceAll(data, []byte(work), []byte("$WORK"))
			fmt.Fprintf(&lines, "  %s %s\n", name, kept.Lay(os.Getenv(keptFile), os.Getenv(keptFolder), data))
		}
	}
	add("stdout", k.out.Bytes())
	add("stderr", k.err.Bytes())
	after := filesBelow(work)
	for _, path := range slices.Sorted(maps.Keys(after)) {
		was, is := k.before[path], after[path]
		if was != nil && was.Size() == is.Size() && was.ModTime().Equal(is.ModTime()) && os.SameFile(was, is) {
			continue
		}
		data, err := os.ReadFile(filepath.Join(work, path))
		if err != nil {
			return err
		}
		add(strings.ReplaceAll(path, "\n", `\n`), data)
	}
	f, err := os.OpenFile(os.Getenv(keptLog), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	_, err = f.WriteString(strings.ReplaceAll(lines.String(), work, "$WORK"))
	return errors.Join(err, f.Close())
}

// filesBelow lists the files under a folder.
func filesBelow(root string) map[string]fs.FileInfo {
	files := map[string]fs.FileInfo{}
	filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || !entry.Type().IsRegular() {
			return nil
		}
		if info, err := entry.Info(); err == nil {
			rel, _ := filepath.Rel(root, path)
			files[rel] = info
		}
		return nil
	})
	return files
}

package main

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/rogpeppe/go-internal/testscript"
	"github.com/spf13/cobra"

	"rxsplit/geo/geojson"
)

// exits runs a command that must exit with a status.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits STATUS COMMAND ARGS...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	var got int
	if args[1] == "rxsplit" {
		got, _, _ = rxsplit(ts, args[2:])
	} else {
		got = status(ts, args[1], args[2:])
	}
	if got != want {
		ts.Fatalf("%s exits with %d, want %d", args[1], got, want)
	}
}

// rxsplit runs the program, and returns its exit status and what it prints.
func rxsplit(ts *testscript.TestScript, args []string) (code int, out, errs string) {
	if ts.Getenv(ownProcess) != "" {
		code = status(ts, "rxsplit", args)
		return code, ts.ReadFile("stdout"), ts.ReadFile("stderr")
	}
	code, out, errs = ts.Value("workers").(workers).run(ts, args)
	io.WriteString(ts.Stdout(), out)
	io.WriteString(ts.Stderr(), errs)
	return code, out, errs
}

// status runs a command as a process of its own, and returns its exit status.
func status(ts *testscript.TestScript, name string, args []string) int {
	err := ts.Exec(name, args...)
	var exit *exec.ExitError
	switch {
	case err == nil:
		return 0
	case errors.As(err, &exit):
		return exit.ExitCode()
	}
	ts.Fatalf("%s: %v", name, err)
	return -1
}

// runs runs the program, whatever its status: what it prints, writes and exits with is held
// by digests.
func runs(ts *testscript.TestScript, neg bool, args []string) {
	if neg || ts.Getenv(keptLog) == "" && runtime.GOOS == "linux" {
		ts.Fatalf("nothing holds what is run")
	}
	rxsplit(ts, args)
}

// helps prints the help of every command.
func helps(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 0 {
		ts.Fatalf("usage: helps")
	}
	var below func(*cobra.Command)
	below = func(cmd *cobra.Command) {
		args := append(strings.Fields(cmd.CommandPath())[1:], "--help")
		if code, _, errs := rxsplit(ts, args); code != exitClean {
			ts.Fatalf("rxsplit %s exits with %d: %s", strings.Join(args, " "), code, errs)
		}
		for _, one := range cmd.Commands() {
			below(one)
		}
	}
	below(newRoot(&ui{}))
}

// harvestOf writes the yield of an invented harvest of the demo's field: harvest PLAN FILE
// GAIN, where the plan has untreated strips, and the gain is what treating brings, in bu/ac.
func harvestOf(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: harvest PLAN FILE GAIN")
	}
	gain, err := strconv.ParseFloat(args[2], 64)
	ts.Check(err)
	strips, err := geojson.Decode(strings.NewReader(ts.ReadFile(args[0]+"/strips.geojson")), "strips")
	ts.Check(err)
	var left []orb.Polygon
	for i := range strips.Shapes.Len() {
		if i%3 == 0 { // the untreated one, and what is treated on both sides of it
			left = append(left, strips.Shapes.Shape(i)...)
		}
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), []byte(harvest(left, gain)), 0o666))
}

// refused runs the program and asserts all that a failure promises: status 2,
// nothing on standard output, on standard error nothing but messages with a hint
// after them, and in the script's folder not a file more, less or other than
// before.
func refused(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) == 0 {
		ts.Fatalf("usage: refused ARGS...")
	}
	before := tree(ts)
	got, out, errs := rxsplit(ts, args)
	if got != exitFailed {
		ts.Fatalf("rxsplit exits with %d, want %d", got, exitFailed)
	}
	if out != "" {
		ts.Fatalf("standard output holds %q, want nothing", out)
	}
	if why := badMessage(errs); why != "" {
		ts.Fatalf("standard error: %s", why)
	}
	if after := tree(ts); !maps.Equal(before, after) {
		ts.Fatalf("the folder changed: it held %v, and holds %v", slices.Sorted(maps.Keys(before)), slices.Sorted(maps.Keys(after)))
	}
}

// badMessage says what is wrong with the messages of a failure; empty if nothing
// is.
func badMessage(text string) string {
	const mark = "rxsplit: error: "
	errs, hints := 0, 0
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		switch {
		case strings.Contains(line, "goroutine ") || strings.Contains(line, "runtime error"):
			return fmt.Sprintf("a panic shows: %q", line)
		case hints == 0 && strings.HasPrefix(line, mark) && len(line) > len(mark):
			errs++
		case errs > 0 && strings.HasPrefix(line, "  "):
			hints++
		default:
			return fmt.Sprintf("%q is neither a message nor a hint behind one", line)
		}
	}
	if errs == 0 {
		return "there is no message"
	}
	return ""
}

// tree returns the paths of all files under the script's folder, each with the
// digest of what it holds.
func tree(ts *testscript.TestScript) map[string]string {
	files := map[string]string{}
	root := ts.Getenv("WORK")
	ts.Check(filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(root, path)
		files[rel] = "folder"
		if entry.Type().IsRegular() {
			data, err := os.ReadFile(path)
			files[rel] = fmt.Sprintf("%x", sha256.Sum256(data))
			return err
		}
		return nil
	}))
	return files
}

// tampered changes one byte of each file of a plan in turn: near its beginning, in
// its middle and at its end. Each time, verify must fail, name the file, and say
// nothing on standard output. The plan is left as it was. A short run changes one byte of
// one file of each kind.
func tampered(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: tampered DIR")
	}
	entries, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	if len(entries) < 10 {
		ts.Fatalf("%s holds %d files: no plan", args[0], len(entries))
	}
	log := ts.Getenv(keptLog)
	ts.Setenv(keptLog, "") // a short run asks less
	defer ts.Setenv(keptLog, log)
	kinds := map[string]bool{}
	for _, entry := range entries {
		if kind := filepath.Ext(entry.Name()); testing.Short() && kinds[kind] {
			continue
		} else {
			kinds[kind] = true
		}
		path := filepath.Join(ts.MkAbs(args[0]), entry.Name())
		whole, err := os.ReadFile(path)
		ts.Check(err)
		places := []int{len(whole) / 2, min(40, len(whole)-1), len(whole) - 1}
		if testing.Short() {
			places = places[:1]
		}
		for _, at := range places {
			changed := slices.Clone(whole)
			changed[at] ^= 1
			ts.Check(os.WriteFile(path, changed, 0o666))
			got, out, text := rxsplit(ts, []string{"verify", args[0]})
			if got != exitFailed {
				ts.Fatalf("byte %d of %s changed: verify exits with %d, want %d", at, entry.Name(), got, exitFailed)
			}
			if out != "" {
				ts.Fatalf("byte %d of %s changed: standard output holds %q", at, entry.Name(), out)
			}
			if why := badMessage(text); why != "" || !strings.Contains(text, entry.Name()) {
				ts.Fatalf("byte %d of %s changed: verify says %q %s", at, entry.Name(), text, why)
			}
		}
		ts.Check(os.WriteFile(path, whole, 0o666))
	}
}

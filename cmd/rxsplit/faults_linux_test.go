package main

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"rxsplit/geo/invent"
	"rxsplit/label"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/write"
)

// bench is a folder with a field of some cells and a label.
type bench struct {
	dir, exe string
	field    string
}

func newBench(t *testing.T, cells int) bench {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	exe := filepath.Join(t.TempDir(), "rxsplit") // under this name the test binary is the program
	if err := os.Symlink(self, exe); err != nil {
		t.Fatal(err)
	}
	l, err := invent.Grid(invent.GridOptions{Cells: cells, Seed: 5})
	if err != nil {
		t.Fatal(err)
	}
	b := bench{dir: t.TempDir(), exe: exe, field: rxtest.Write(t, l)}
	if err := os.WriteFile(filepath.Join(b.dir, "label.yaml"), label.DemoYAML(), 0o666); err != nil {
		t.Fatal(err)
	}
	return b
}

// split returns the command that writes a plan into out.
func (b bench) split(out string, more ...string) *exec.Cmd {
	args := append([]string{"split", b.field, "--label", "label.yaml", "--rate-field", invent.RateField, "--rate-unit", "lb/ac", "--out", out}, more...)
	cmd := exec.Command(b.exe, args...)
	cmd.Dir = b.dir
	return cmd
}

func (b bench) verify(out string) error {
	cmd := exec.Command(b.exe, "verify", out)
	cmd.Dir = b.dir
	if text, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("%w: %s", err, text)
	}
	return nil
}

// stages lists the staging folders beside a plan.
func (b bench) stages(t *testing.T) []string {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(b.dir, ".*.rxsplit-*"))
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// Killed at any moment, a run leaves the old plan or the new one, whole, and what
// it staged is swept by the next run. RXSPLIT_KILLS sets how many times.
func TestKilledAtAnyMoment(t *testing.T) {
	kills, cells := 25, 3000
	if testing.Short() {
		kills, cells = 4, 500
	}
	if n, err := strconv.Atoi(os.Getenv("RXSPLIT_KILLS")); err == nil {
		kills = n
	}
	b := newBench(t, cells)
	ways := []string{"wet-boom", "refit"}
	started := time.Now()
	if text, err := b.split("plan", "--way", ways[0]).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	usual := time.Since(started)
	random := rand.New(rand.NewPCG(1, 2))
	finished := 0
	for i := 0; i < kills || finished == i && i < 10*kills; i++ {
		cmd := b.split("plan", "--force", "--way", ways[i%2])
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		pause := time.Duration(random.Int64N(int64(usual * 5 / 4)))
		time.Sleep(pause)
		cmd.Process.Kill()
		if cmd.Wait() == nil {
			finished++
			usual = min(usual, pause+1) // the first run met a busier machine
		}
		if err := b.verify("plan"); err != nil {
			t.Fatalf("kill %d: %v", i, err)
		}
	}
	t.Logf("%d runs had finished before they were killed; every plan was whole", finished)
	if finished >= 10*kills {
		t.Error("no run was killed in its work")
	}
	if text, err := b.split("plan", "--force").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	if left := b.stages(t); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// Two runs into the same folder: one wins, the other says so, and the plan is
// whole.
func TestTwoWritersAtOnce(t *testing.T) {
	b, rounds := newBench(t, 3000), 2
	if testing.Short() {
		b, rounds = newBench(t, 500), 1
	}
	for _, force := range []bool{false, true} {
		for round := range rounds {
			out := fmt.Sprintf("plan-%v-%d", force, round)
			var more []string
			if force {
				if text, err := b.split(out).CombinedOutput(); err != nil {
					t.Fatalf("%v: %s", err, text)
				}
				more = []string{"--force"}
			}
			var cmds [3]*exec.Cmd
			var texts [3]bytes.Buffer
			for i, way := range []string{"wet-boom", "refit", "loads"} {
				cmds[i] = b.split(out, append(more, "--way", way)...)
				cmds[i].Stderr = &texts[i]
				if err := cmds[i].Start(); err != nil {
					t.Fatal(err)
				}
			}
			won := 0
			for i, cmd := range cmds {
				err := cmd.Wait()
				var exit *exec.ExitError
				switch {
				case err == nil:
					won++
				case errors.As(err, &exit) && exit.ExitCode() == exitFailed:
					if text := texts[i].String(); !strings.Contains(text, "meanwhile") && !strings.Contains(text, "is there already") && !strings.Contains(text, "no whole plan") {
						t.Errorf("the loser says: %s", text)
					}
				default:
					t.Errorf("%v: %s", err, texts[i].String())
				}
			}
			if won == 0 {
				t.Error("nobody won")
			}
			if !force && won != 1 {
				t.Errorf("%d won, want 1", won)
			}
			if err := b.verify(out); err != nil {
				t.Error(err)
			}
		}
	}
	if left := b.stages(t); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// On a full disk nothing is written and the old plan stays.
func TestDiskFull(t *testing.T) {
	b := newBench(t, 20000) // about 10 MB of layers
	small := filepath.Join(b.dir, "small")
	if err := os.Mkdir(small, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := unix.Mount("tmpfs", small, "tmpfs", 0, "size=4m"); err != nil {
		t.Skipf("skipped: a small disk can't be mounted here: %v", err)
	}
	defer unix.Unmount(small, unix.MNT_DETACH)
	text, err := b.split("small/plan").CombinedOutput()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != exitFailed || !strings.Contains(string(text), "no space left") {
		t.Errorf("got %v: %s", err, text)
	}
	entries, err := os.ReadDir(small)
	if err != nil || len(entries) > 0 {
		t.Errorf("left behind: %v %v", entries, err)
	}
	fill := exec.Command("sh", "-c", "cat /dev/zero > small/fill; true")
	fill.Dir = b.dir
	if err := fill.Run(); err != nil {
		t.Fatal(err)
	}
	template := exec.Command(b.exe, "label", "new", "small/label.yaml")
	template.Dir = b.dir
	text, err = template.CombinedOutput()
	if !errors.As(err, &exit) || exit.ExitCode() != exitFailed || !strings.Contains(string(text), "no space left") {
		t.Errorf("a template: got %v: %s", err, text)
	}
	if _, err := os.Stat(filepath.Join(small, "label.yaml")); !os.IsNotExist(err) {
		t.Errorf("half a template is left: %v", err)
	}
}

// A folder that can't be written to is refused, and a source that can only be
// read is enough: on a disk that not even the superuser can write to.
func TestReadOnlyPlaces(t *testing.T) {
	b := newBench(t, 100)
	place := filepath.Join(b.dir, "locked")
	if err := os.Mkdir(place, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := unix.Mount("tmpfs", place, "tmpfs", 0, ""); err != nil {
		t.Skipf("skipped: a disk can't be mounted here: %v", err)
	}
	defer unix.Unmount(place, unix.MNT_DETACH)
	l := invent.FourZones()
	var sources []string
	for _, name := range []string{"field.geojson", "field.shp", "field.zip"} {
		path := filepath.Join(place, name)
		files, err := encodeLayer(path, l, l.Columns())
		if err != nil {
			t.Fatal(err)
		}
		for path, data := range files {
			if err := os.WriteFile(path, data, 0o666); err != nil {
				t.Fatal(err)
			}
		}
		sources = append(sources, path)
	}
	if err := unix.Mount("", place, "", unix.MS_REMOUNT|unix.MS_RDONLY, ""); err != nil {
		t.Skipf("skipped: a read-only disk can't be mounted here: %v", err)
	}
	text, err := b.split("locked/plan").CombinedOutput()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != exitFailed || !strings.Contains(string(text), "can't be written to") {
		t.Errorf("got %v: %s", err, text)
	}
	for i, source := range sources {
		b.field = source
		if text, err := b.split(fmt.Sprint("open", i)).CombinedOutput(); err != nil {
			t.Errorf("%s: %v: %s", source, err, text)
		}
	}
}

// Standard output that closes early ends the program without noise or a plan left
// half written.
func TestOutputClosedEarly(t *testing.T) {
	b := newBench(t, 3000)
	cmd := exec.Command("sh", "-c", `"$0" check "$1" --label label.yaml --rate-field DRY_LBAC --rate-unit lb/ac --json | head -c 100 >/dev/null`, b.exe, b.field)
	cmd.Dir = b.dir
	text, err := cmd.CombinedOutput()
	if err != nil || len(text) > 0 {
		t.Errorf("got %v: %s", err, text)
	}
}

// Standard output that takes nothing is an error of every command; a plan is whole
// all the same, and that is said.
func TestOutputOnAFullDisk(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skipf("skipped: no device is full here: %v", err)
	}
	defer full.Close()
	b := newBench(t, 50)
	terms := []string{"--label", "label.yaml", "--rate-field", invent.RateField, "--rate-unit", "lb/ac"}
	for _, c := range []struct {
		args []string
		hint string
	}{
		{append([]string{"check", b.field}, terms...), "cut short"},
		{append([]string{"check", "--json", b.field}, terms...), "cut short"},
		{append([]string{"check", b.field, b.field}, terms...), "cut short"},
		{[]string{"inspect", b.field}, "cut short"},
		{[]string{"label", "show", "label.yaml"}, "cut short"},
		{[]string{"label", "check", "label.yaml"}, "cut short"},
		{append([]string{"split", b.field, "--out", "a b"}, terms...), "the plan is whole all the same; look at it with: rxsplit verify 'a b'"},
		{append([]string{"split", b.field, "--json", "--out", "c"}, terms...), "the plan is whole all the same"},
		{[]string{"verify", "c"}, "cut short"},
	} {
		cmd := exec.Command(b.exe, c.args...)
		var text bytes.Buffer
		cmd.Dir, cmd.Stdout, cmd.Stderr = b.dir, full, &text
		err := cmd.Run()
		var exit *exec.ExitError
		if !errors.As(err, &exit) || exit.ExitCode() != exitFailed || !strings.HasPrefix(text.String(), "rxsplit: error: standard output: no space left on device\n  ") || !strings.Contains(text.String(), c.hint) {
			t.Errorf("%v: got %v: %s", c.args, err, text.String())
		}
	}
	for _, out := range []string{"a b", "c"} {
		if err := b.verify(out); err != nil {
			t.Errorf("%s: %v", out, err)
		}
	}
}

// A file that changes while it is read is refused. It is changed without a pause, and read
// again where nobody came to change it in the short while.
func TestInputChangesWhileRead(t *testing.T) {
	b := newBench(t, 3000)
	done := make(chan struct{})
	var wg sync.WaitGroup
	wg.Go(func() {
		for at := time.Now(); ; at = at.Add(time.Second) {
			select {
			case <-done:
				return
			default:
				os.Chtimes(b.field, at, at)
			}
		}
	})
	var text []byte
	var err error
	for range 100 {
		if text, err = b.split("plan").CombinedOutput(); err != nil {
			break
		}
		os.RemoveAll(filepath.Join(b.dir, "plan"))
	}
	close(done)
	wg.Wait()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != exitFailed || !strings.Contains(string(text), "changed while it was read") {
		t.Errorf("got %v: %s", err, text)
	}
	if _, err := os.Stat(filepath.Join(b.dir, "plan")); err == nil {
		t.Error("a plan was written")
	}
}

// Names of any kind are written and proved.
func TestAwkwardNames(t *testing.T) {
	b := newBench(t, 50)
	for _, name := range []string{
		"with space", "with 'quote'", `with "quotes"`, "with\nnewline", "Zürich–Feld", "-dash", "dot.", strings.Repeat("n", 255),
		"sub/../other", "back\\slash", "%percent", "a;b&c|d",
	} {
		if text, err := b.split("./" + name).CombinedOutput(); err != nil {
			t.Errorf("%q: %v: %s", name, err, text)
			continue
		}
		if err := b.verify("./" + name); err != nil {
			t.Errorf("%q: %v", name, err)
		}
	}
	if _, err := write.ReadManifest(filepath.Join(b.dir, "with\nnewline")); err != nil {
		t.Error(err)
	}
}

// A device states no size and has no end: no more is read of it than a label may
// have.
func TestEndlessLabel(t *testing.T) {
	for _, args := range [][]string{{"label", "check", "/dev/zero"}, {"job", "check", "/dev/zero"}, {"check", "x.shp", "y.shp", "--label", "/dev/zero"}} {
		var out, errs bytes.Buffer
		if status := run(args, strings.NewReader(""), &out, &errs); status != exitFailed || !strings.Contains(errs.String(), "/dev/zero: is no label or job file") {
			t.Errorf("%v: exit %d: %s", args, status, errs.String())
		}
	}
}

package write

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// While two folders change places, the name of each is always there and whole.
func TestExchangeIsOneStep(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a"), filepath.Join(dir, "b")
	for _, path := range []string{a, b} {
		if err := os.Mkdir(path, 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(path, manifestName), nil, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	done := make(chan error)
	go func() {
		for range 3000 {
			if err := exchange(a, b); err != nil {
				done <- err
				return
			}
		}
		done <- nil
	}()
	for {
		select {
		case err := <-done:
			if err != nil {
				t.Fatal(err)
			}
			return
		default:
			if _, err := os.Stat(filepath.Join(a, manifestName)); err != nil {
				<-done
				t.Fatalf("for a moment there was no plan: %v", err)
			}
		}
	}
}

// A new name is never taken from what has it, be it an empty folder, which a plain
// rename replaces.
func TestNewNameIsNotTaken(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a"), filepath.Join(dir, "b")
	for _, path := range []string{a, b} {
		if err := os.Mkdir(path, 0o777); err != nil {
			t.Fatal(err)
		}
	}
	if err := renameNew(a, b); !errors.Is(err, fs.ErrExist) {
		t.Errorf("got %v", err)
	}
}

// What the disk has no room for is an error at the last moment as well.
func TestLastBytesOnAFullDisk(t *testing.T) {
	file, err := os.OpenFile("/dev/full", os.O_RDWR, 0)
	if err != nil {
		t.Skipf("skipped: no device is full here: %v", err)
	}
	o := newOutput(t.Context(), "dry.shp", file)
	if _, err := o.Write([]byte("a few bytes, still in the buffer")); err != nil {
		t.Fatal(err)
	}
	if _, err := o.close(); !errors.Is(err, syscall.ENOSPC) {
		t.Errorf("got %v, want that there is no room", err)
	}
}

// folder writes a plan of one way with nothing but its manifest.
func folder(t *testing.T, dir, way string) (self string) {
	t.Helper()
	raw := json.RawMessage("{}")
	m := Manifest{Schema: schema, Way: way, Units: raw, Parameters: raw, Summary: raw, Findings: raw}
	text, err := m.encode()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, manifestName), text, 0o666); err != nil {
		t.Fatal(err)
	}
	return m.Self
}

// A plan that another run put in place meanwhile stays there, whether it came
// before the last look at it or after.
func TestAnotherRunsPlanStays(t *testing.T) {
	for _, c := range []struct {
		name string
		put  func(*stage) error
	}{{"before the last look", (*stage).commit}, {"after it", (*stage).replace}} {
		dir := t.TempDir()
		s := &stage{named: "plan", target: filepath.Join(dir, "plan"), dir: filepath.Join(dir, "staged")}
		s.before = folder(t, s.target, "loads")
		folder(t, s.dir, "refit")
		folder(t, s.target, "base") // by another run
		var e *Error
		if err := c.put(s); !errors.As(err, &e) || e.What != "was written by another run meanwhile" || e.Hint == "" {
			t.Errorf("%s: got %v", c.name, err)
		}
		if m, err := ReadManifest(s.target); err != nil || m.Way != "base" {
			t.Errorf("%s: %v: the other run's plan is gone", c.name, err)
		}
		if m, err := ReadManifest(s.dir); err != nil || m.Way != "refit" {
			t.Errorf("%s: %v: the staged plan is gone", c.name, err)
		}
	}
}

// The files of a plan that another run puts there between two looks are not taken for
// strange ones.
func TestAnotherRunsFilesAreNotStrange(t *testing.T) {
	dir := t.TempDir()
	s := &stage{named: "plan", target: filepath.Join(dir, "plan")}
	folder(t, s.target, "loads")
	old, err := ReadManifest(s.target)
	if err != nil {
		t.Fatal(err)
	}
	old.Files = []FileSum{{Name: "loads.dbf"}}
	folder(t, s.target, "base") // by another run
	if err := os.WriteFile(filepath.Join(s.target, "base.dbf"), nil, 0o666); err != nil {
		t.Fatal(err)
	}
	var e *Error
	for _, err := range []error{s.holdsOthers(old, s.target), s.isAsWritten(old)} {
		if !errors.As(err, &e) || e.What != "was written by another run meanwhile" {
			t.Errorf("got %v", err)
		}
	}
	if now, err := ReadManifest(s.target); err != nil || s.stillHolds(now.Self, s.target) != nil {
		t.Errorf("%v: a plan that nobody changed is told as changed", err)
	}
}

// What is not of the plan is not replaced with it: not when it lies there as the run
// begins, nor when it is put there while the plan is made, before the last look at the
// folder or after.
func TestWhatIsNotOfThePlanStays(t *testing.T) {
	note := func(s *stage) error {
		return os.WriteFile(filepath.Join(s.target, "signed.pdf"), []byte("signed"), 0o666)
	}
	look := func(s *stage) error { return s.look(true, true) }
	for _, c := range []struct {
		name string
		put  []func(*stage) error
	}{
		{"as the run begins", []func(*stage) error{note, look}},
		{"before the last look", []func(*stage) error{look, note, (*stage).commit}},
		{"after it", []func(*stage) error{look, note, (*stage).replace}},
	} {
		dir := t.TempDir()
		s := &stage{named: "plan", target: filepath.Join(dir, "plan"), dir: filepath.Join(dir, "staged")}
		folder(t, s.target, "loads")
		folder(t, s.dir, "refit")
		var err error
		for _, step := range c.put {
			if err != nil {
				t.Fatalf("%s: too early: %v", c.name, err)
			}
			err = step(s)
		}
		var e *Error
		if !errors.As(err, &e) || e.What != "holds what is not of its plan, so it is not replaced: signed.pdf" || e.Hint == "" {
			t.Errorf("%s: got %v", c.name, err)
		}
		if text, err := os.ReadFile(filepath.Join(s.target, "signed.pdf")); string(text) != "signed" {
			t.Errorf("%s: %v: the file is gone", c.name, err)
		}
		if m, err := ReadManifest(s.target); err != nil || m.Way != "loads" {
			t.Errorf("%s: %v: the plan is gone", c.name, err)
		}
	}
}

// A staging folder that another run works in is not swept.
func TestSweepMindsLocks(t *testing.T) {
	dir := t.TempDir()
	target := filepath.Join(dir, "plan")
	s, err := newStage(target, false, true, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer s.discard()
	sweep(target)
	if _, err := os.Stat(s.dir); err != nil {
		t.Errorf("swept while in use: %v", err)
	}
}

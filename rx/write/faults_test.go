package write

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"rxsplit/geo/invent"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// flipping is a disk on whose way one bit of a file turns over, of the byte that is so far
// into it.
type flipping struct {
	*onDisk
	name string
	at   int
}

func (f flipping) create(ctx context.Context, name string) (made, error) {
	m, err := f.onDisk.create(ctx, name)
	if err != nil || name != f.name {
		return m, err
	}
	return &flipped{m.(*output), f.at}, nil
}

type flipped struct {
	*output
	left int
}

func (f *flipped) Write(p []byte) (int, error) {
	return len(p), f.WriteSealed(p, f.Seal(p))
}

func (f *flipped) WriteSealed(block []byte, sum uint64) error {
	if f.left >= 0 && f.left < len(block) {
		block = slices.Clone(block)
		block[f.left] ^= 0x10
	}
	f.left -= len(block)
	return f.output.WriteSealed(block, sum)
}

// faulty is a job of the demo's kind, with its layers laid out.
func faulty(t *testing.T) Job {
	t.Helper()
	p := rxtest.Read(t, invent.FourZones())
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	plan, err := split.For(p, a, nil).Plan(rx.WetBoom)
	if err != nil {
		t.Fatal(err)
	}
	raw := json.RawMessage("{}")
	job := Job{Prescription: p, Plan: plan, Units: unit.US, Manifest: Manifest{Units: raw, Parameters: raw, Summary: raw, Findings: raw}}
	job.tables = tablesOf(job)
	job.Extras = []Extra{{"zones.csv", func(w io.Writer) error { // three blocks of it
		for range 3 {
			if _, err := w.Write(bytes.Repeat([]byte{'1'}, smallBlock+1)); err != nil {
				return err
			}
		}
		return nil
	}}}
	return job
}

// nothingLeft wants the folder of a plan that failed to be empty.
func nothingLeft(t *testing.T, dir string) {
	t.Helper()
	if entries, err := os.ReadDir(filepath.Dir(dir)); err != nil || len(entries) > 0 {
		t.Errorf("left behind: %v (%v)", entries, err)
	}
}

// A byte that turns over after its block was proved is found when the file is read back,
// wherever it is, and of a file of several blocks in each.
func TestBytesThatTurnOverBehindTheProof(t *testing.T) {
	job := faulty(t)
	whole := filepath.Join(t.TempDir(), "plan")
	if _, err := Plan(whole, job); err != nil {
		t.Fatal(err)
	}
	layer := job.Plan.Layers[0].Name
	for _, name := range []string{layer + ".geojson", layer + ".shp", layer + ".dbf", layer + ".shx", layer + ".prj", layer + ".cpg", "zones.csv", manifestName} {
		text, err := os.ReadFile(filepath.Join(whole, name))
		if err != nil {
			t.Fatal(err)
		}
		for _, at := range []int{0, len(text) / 2, len(text) - 1} {
			dir := filepath.Join(t.TempDir(), "plan")
			job.disk = func(root *os.Root) sink { return flipping{newOnDisk(root), name, at} }
			_, err := Plan(dir, job)
			var proof *VerifyError
			if !errors.As(err, &proof) || !strings.HasPrefix(err.Error(), name+": reads back otherwise") {
				t.Errorf("byte %d of %s: got %v", at, name, err)
			}
			nothingLeft(t, dir)
		}
	}
}

// failing is a disk that refuses one of the calls that make files, and takes all others.
type failing struct {
	*onDisk
	at    int64
	calls *atomic.Int64
}

var errFull = &fs.PathError{Op: "write", Path: "/staged/file", Err: errors.New("no space left on device")}

func (f failing) call() error {
	if f.calls.Add(1) == f.at {
		return errFull
	}
	return nil
}

func (f failing) create(ctx context.Context, name string) (made, error) {
	if err := f.call(); err != nil {
		return nil, err
	}
	m, err := f.onDisk.create(ctx, name)
	if err != nil {
		return m, err
	}
	return &unwritten{m.(*output), f}, nil
}

type unwritten struct {
	*output
	disk failing
}

func (u *unwritten) Write(p []byte) (int, error) {
	if err := u.disk.call(); err != nil {
		return 0, err
	}
	return u.output.Write(p)
}

func (u *unwritten) WriteSealed(block []byte, sum uint64) error {
	if err := u.disk.call(); err != nil {
		return err
	}
	return u.output.WriteSealed(block, sum)
}

func (u *unwritten) close() (FileSum, error) {
	sum, err := u.output.close()
	return sum, cmp.Or(u.disk.call(), err)
}

// Whichever call the disk refuses, the plan is not written: that is said with the system's reason and
// what to do, without the staging folder's name, and nothing is left.
func TestWhateverTheDiskRefuses(t *testing.T) {
	job := faulty(t)
	write := func(at int64) (calls int64, err error) {
		var n atomic.Int64
		dir := filepath.Join(t.TempDir(), "plan")
		job.disk = func(root *os.Root) sink { return failing{newOnDisk(root), at, &n} }
		if _, err = Plan(dir, job); err != nil {
			nothingLeft(t, dir)
		}
		return n.Load(), err
	}
	all, err := write(0)
	if err != nil || all < 20 {
		t.Fatal(all, err)
	}
	for at := int64(1); at <= all; at++ {
		_, err := write(at)
		var told *Error
		if !errors.As(err, &told) || !errors.Is(err, errFull) || !strings.HasSuffix(told.What, "could not be written: no space left on device") || !strings.Contains(told.Hint, "nothing was left behind") || strings.Contains(err.Error(), "staged") {
			t.Errorf("call %d of %d: %v", at, all, err)
		}
	}
}

// A cell that is encoded otherwise than it is, or whose bytes turn over before its block is
// proved, is found by the proof.
func TestBytesThatTurnOverBeforeTheProof(t *testing.T) {
	for _, format := range []string{".geojson", ".dbf"} {
		for c := range faulty(t).tables[0].cols {
			job := faulty(t)
			col := &job.tables[0].cols[c]
			turn := func(encode func([]byte, int) []byte) func([]byte, int) []byte {
				return func(dst []byte, row int) []byte {
					dst = encode(dst, row)
					if row == 2 {
						dst[len(dst)-1] ^= 1 // a digit that another one takes the place of
					}
					return dst
				}
			}
			if format == ".dbf" {
				col.Text = turn(col.Text)
			} else {
				col.JSON = turn(col.JSON)
			}
			dir := filepath.Join(t.TempDir(), "plan")
			if _, err := Plan(dir, job); err == nil || !strings.Contains(err.Error(), "record 3: field "+col.Name+" was encoded wrongly") {
				t.Errorf("%s of %s: got %v", format, col.Name, err)
			}
			nothingLeft(t, dir)
		}
	}
}

// Of a folder's plans, those that no file can hold or whose bytes are not proved are named, each with its reason; the
// others are asked for all the same, and nothing is left. What the disk refuses is no plan's fault.
func TestFolderNamesPlansThatAreNotProved(t *testing.T) {
	whole, wrong, turned, noDisk, large := faulty(t), faulty(t), faulty(t), faulty(t), faulty(t)
	large.tables[0].cols[0].Width = 1 << 31 // refused before a byte of it is made
	text := wrong.tables[0].cols[0].Text
	wrong.tables[0].cols[0].Text = func(dst []byte, row int) []byte {
		dst = text(dst, row)
		dst[len(dst)-1] ^= 1
		return dst
	}
	turned.disk = func(root *os.Root) sink {
		return flipping{newOnDisk(root), turned.Plan.Layers[0].Name + ".geojson", 7}
	}
	noDisk.disk = func(root *os.Root) sink { root.Close(); return newOnDisk(root) }
	write := func(jobs ...Job) (string, error) {
		dir := filepath.Join(t.TempDir(), "day")
		f := Folder{Dir: dir, Manifest: "day.json", List: func([]FileSum, string) ([]byte, error) { return []byte("{}"), nil }}
		for i, job := range jobs {
			f.Plans = append(f.Plans, Nested{Name: string(rune('a' + i)), Job: func() (Job, error) { return job, nil }})
		}
		return dir, f.Write()
	}
	for what, bad := range map[string]Job{"was encoded wrongly": wrong, "reads back otherwise": turned, "would have": large} {
		dir, err := write(whole, bad)
		var refused *PlansError
		if !errors.As(err, &refused) || refused.Of[0] != nil || !strings.Contains(refused.Of[1].Error(), what) || strings.Contains(err.Error(), "rxsplit-") {
			t.Errorf("%s: %v", what, err)
		}
		nothingLeft(t, dir)
	}
	dir, err := write(whole, noDisk)
	if refused := (*PlansError)(nil); err == nil || errors.As(err, &refused) {
		t.Errorf("no disk: %v", err)
	}
	nothingLeft(t, dir)
	if _, err := write(whole, whole); err != nil {
		t.Error(err)
	}
}

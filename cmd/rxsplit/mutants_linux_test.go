package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// Bounds of one run over a batch of mutants, none of which has more than a few
// hundred kB. A run of the whole batch takes some 0.1 s and 30 MB.
const (
	batchTime = 5 * time.Minute
	batchPeak = 200 << 10 // kB
)

// mutants is a test bench for damaged files. What it writes lies in one folder
// that is used again for every batch.
type mutants struct {
	*testing.T
	seed, batch uint64
	exe, dir    string
	parts       map[string]map[string][]byte // of shapefiles, by the kind of coordinates and by ending
	geojson     []byte
	jobs        []string
	peak        int // kB, the most of all runs
	runs        int
	rows        map[string]int // by what became of them
	plans       int
}

// Damaged files never crash the program, hang it or take its memory, and none is
// passed over in silence. RXSPLIT_MUTANTS sets how many there are, and
// RXSPLIT_MUTANTS_SEED which; a batch depends on the seed and its number alone.
func TestMutants(t *testing.T) {
	m, usual := newMutants(t), 150
	if testing.Short() {
		usual = 30
	}
	for made := 0; made < number(t, "RXSPLIT_MUTANTS", usual); m.batch++ {
		made += m.folder(newMutator(m.seed, m.batch))
		made += m.texts(newMutator(m.seed, m.batch|1<<63))
		if t.Failed() {
			break
		}
	}
	t.Logf("%d runs, %v, %d plans, at most %d MB", m.runs, m.rows, m.plans, m.peak>>10)
	for _, what := range []string{"failed", "checked", "text failed", "text checked"} {
		if m.rows[what] == 0 {
			t.Errorf("no mutant %s: the damage is too small or too large", what)
		}
	}
}

func number(t *testing.T, variable string, otherwise int) int {
	text := os.Getenv(variable)
	if text == "" {
		return otherwise
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatalf("%s: %v", variable, err)
	}
	return n
}

func newMutants(t *testing.T) *mutants {
	b := newBench(t, 1)
	return &mutants{
		T: t, seed: uint64(number(t, "RXSPLIT_MUTANTS_SEED", 1)), exe: b.exe, dir: b.dir,
		parts:   map[string]map[string][]byte{"utm": smallParts(t, 32615), "lonlat": smallParts(t, 4326)},
		geojson: smallGeoJSON(t), jobs: []string{smallJob, shortJob}, rows: map[string]int{},
	}
}

// folder checks a folder of mutants in one run, and splits one of those that the
// check takes.
func (m *mutants) folder(r mutator) int {
	const count = 40
	dir := m.fresh("in")
	files := map[string]bool{} // prescriptions that need a row
	for i := range count {
		for name, data := range m.prescription(r, fmt.Sprintf("m%02d", i)) {
			m.write(filepath.Join(dir, name), data)
			if filepath.Ext(name) != "" && strings.Contains(".shp .zip .geojson", filepath.Ext(name)) {
				files[filepath.Join("in", name)] = true
			}
		}
	}
	m.write(filepath.Join(m.dir, "job.yaml"), []byte(m.jobs[r.IntN(len(m.jobs))]))
	args := []string{"--label", "label.yaml", "--job", "job.yaml", "--json"}
	out, why := m.run(append([]string{"check", "in"}, args...)...)
	if why == "" {
		why = m.wrongRows(out, files)
	}
	if why != "" {
		m.keep(why, slices.Sorted(maps.Keys(files)), args)
		return count
	}
	if m.batch%20 == 0 {
		m.release(out)
	}
	return count
}

// prescription returns the files of one damaged prescription.
func (m *mutants) prescription(r mutator, name string) map[string][]byte {
	kind := r.IntN(10)
	if kind < 4 {
		return map[string][]byte{name + ".geojson": r.damageOf(m.geojson, inText)}
	}
	parts := maps.Clone(m.parts[[]string{"utm", "lonlat"}[r.IntN(2)]])
	if kind == 4 { // the archive itself, packed or not
		return map[string][]byte{name + ".zip": r.damageOf(stored(m, name, parts), anyBytes)}
	}
	ext := []string{".shp", ".shp", ".shp", ".dbf", ".dbf", ".shx", ".prj", ".cpg"}[r.IntN(8)]
	ops := map[string][]func(mutator, []byte) []byte{".shp": inShp, ".shx": inShp, ".dbf": inDbf, ".prj": inText, ".cpg": inText}[ext]
	parts[ext] = r.damageOf(parts[ext], ops)
	if r.IntN(20) == 0 {
		delete(parts, ext)
	}
	if kind < 8 {
		data, err := zipped(named(name, parts))
		if err != nil {
			m.Fatal(err)
		}
		return map[string][]byte{name + ".zip": data}
	}
	files := map[string][]byte{}
	for _, e := range named(name, parts) {
		files[e.name] = e.data
	}
	return files
}

func named(name string, parts map[string][]byte) (entries []entry) {
	for _, ext := range slices.Sorted(maps.Keys(parts)) {
		entries = append(entries, entry{name + ext, parts[ext]})
	}
	return entries
}

// wrongRows wants a row for each file and a reason that names it where it failed.
func (m *mutants) wrongRows(out []byte, files map[string]bool) string {
	left := maps.Clone(files)
	for line := range bytes.Lines(out) {
		var row struct {
			Path, Error string
			Area        struct{ Total, Treated, Below, Within, Above float64 }
		}
		if err := json.Unmarshal(line, &row); err != nil {
			return fmt.Sprintf("%v in the row %q", err, line)
		}
		if !left[row.Path] {
			return fmt.Sprintf("a row for %q", row.Path)
		}
		delete(left, row.Path)
		stem := strings.TrimSuffix(filepath.Base(row.Path), filepath.Ext(row.Path))
		switch a := row.Area; {
		case row.Error == "":
			m.rows["checked"]++
			if off := a.Below + a.Within + a.Above - a.Treated; !(off <= 1e-9*a.Total && off >= -1e-9*a.Total) {
				return fmt.Sprintf("acres that don't add up: %s", line)
			}
		case !strings.Contains(row.Error, stem):
			return fmt.Sprintf("a reason that does not name the file: %s", line)
		default:
			m.rows["failed"]++
		}
	}
	if len(left) > 0 {
		return fmt.Sprintf("no row for %v", slices.Sorted(maps.Keys(left)))
	}
	return ""
}

// release splits the first mutants that the check took, and verifies the plans: a
// few, as each is synced to the disk.
func (m *mutants) release(out []byte) {
	const most = 4
	for before := m.plans; m.plans < before+most; {
		line, rest, found := bytes.Cut(out, []byte("\n"))
		if out = rest; !found {
			return
		}
		var row struct{ Path, Error string }
		if json.Unmarshal(line, &row); row.Error != "" {
			continue
		}
		args := []string{"--label", "label.yaml", "--job", "job.yaml", "--leave-off", "--out", "plan"}
		_, why := m.run(append([]string{"split", row.Path}, args...)...)
		if _, err := os.Stat(filepath.Join(m.dir, "plan")); err == nil && why == "" {
			m.plans++
			if text, w := m.run("verify", "plan"); w != "" {
				why = w
			} else if !bytes.Contains(text, []byte("layer")) {
				why = fmt.Sprintf("a plan that can't be verified: %s", text)
			}
			m.remove("plan")
		}
		if why != "" {
			m.keep(why, []string{row.Path}, args)
			return
		}
	}
}

// texts checks a sound prescription with damaged labels and jobs, one a run.
func (m *mutants) texts(r mutator) int {
	const count = 10
	m.write(filepath.Join(m.dir, "sound.geojson"), m.geojson)
	for range count {
		label, job := fullLabel(), []byte(m.jobs[r.IntN(len(m.jobs))])
		if r.IntN(2) == 0 {
			label = r.damageOf(label, inText)
		} else {
			job = r.damageOf(job, inText)
		}
		m.write(filepath.Join(m.dir, "bad.yaml"), label)
		m.write(filepath.Join(m.dir, "job.yaml"), job)
		args := []string{"--label", "bad.yaml", "--job", "job.yaml", "--json"}
		out, why := m.run(append([]string{"check", "sound.geojson"}, args...)...)
		if why != "" {
			m.keep(why, nil, args)
		}
		if len(out) > 0 {
			m.rows["text checked"]++
		} else {
			m.rows["text failed"]++
		}
	}
	return count
}

var crash = regexp.MustCompile(`panic:|goroutine |fatal error:|runtime error`)

// run runs the program and says what is wrong with how it ended; empty if nothing
// is.
func (m *mutants) run(args ...string) (out []byte, why string) {
	m.runs++
	ctx, cancel := context.WithTimeout(context.Background(), batchTime)
	defer cancel()
	note := filepath.Join(m.dir, "peak")
	cmd := exec.CommandContext(ctx, m.exe, args...)
	cmd.Dir, cmd.Env = m.dir, append(os.Environ(), "RXSPLIT_PEAK="+note)
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	err := cmd.Run()
	status := cmd.ProcessState.ExitCode()
	peak := peakOf(note)
	m.peak = max(m.peak, peak)
	var exit *exec.ExitError
	switch {
	case ctx.Err() != nil:
		why = fmt.Sprintf("is not done after %v", batchTime)
	case err != nil && !errors.As(err, &exit) || status < exitClean || status > exitFailed:
		why = fmt.Sprintf("ends with %v: %.2000s", err, stderr.String())
	case crash.MatchString(stderr.String()):
		why = fmt.Sprintf("crashes: %.2000s", stderr.String())
	case status == exitFailed && badMessage(stderr.String()) != "" && args[1] != "in": // many files have many messages
		why = fmt.Sprintf("%s: %.2000s", badMessage(stderr.String()), stderr.String())
	case status == exitFailed && stderr.Len() == 0:
		why = "fails without a word"
	case peak == 0:
		why = "did not tell its memory"
	case peak > batchPeak && !raceDetector():
		why = fmt.Sprintf("takes %d MB, more than %d", peak>>10, batchPeak>>10)
	}
	return stdout.Bytes(), why
}

// peakOf reads the most memory that a run had in use, in kB. The kernel's own
// count in wait4 would not do: it begins with that of the parent (getrusage(2)).
func peakOf(note string) int {
	text, _ := os.ReadFile(note)
	os.Remove(note)
	_, rest, _ := strings.Cut(string(text), "VmHWM:")
	fields := strings.Fields(rest)
	if len(fields) == 0 {
		return 0
	}
	kB, _ := strconv.Atoi(fields[0])
	return kB
}

// raceDetector reports whether this binary has it, which takes memory of its own.
func raceDetector() bool {
	info, ok := debug.ReadBuildInfo()
	return ok && slices.Contains(info.Settings, debug.BuildSetting{Key: "-race", Value: "true"})
}

// keep moves what failed out of the test's folder and tells where it is: the files
// that fail alone or, if none does, all of them.
func (m *mutants) keep(why string, paths, args []string) {
	m.Helper()
	var guilty []string
	for _, path := range paths {
		if _, alone := m.run(append([]string{"check", path}, args[:4]...)...); alone != "" {
			guilty = append(guilty, path)
			why = alone
		}
	}
	kept, err := os.MkdirTemp("", "rxsplit-mutants-")
	if err == nil {
		err = os.CopyFS(kept, os.DirFS(m.dir))
	}
	m.Errorf("seed %d, batch %d: %s\nargs %q, files %v, kept in %s (%v)", m.seed, m.batch, why, args, guilty, kept, err)
}

func (m *mutants) fresh(name string) string {
	m.remove(name)
	dir := filepath.Join(m.dir, name)
	if err := os.Mkdir(dir, 0o777); err != nil && !errors.Is(err, fs.ErrExist) {
		m.Fatal(err)
	}
	return dir
}

func (m *mutants) remove(name string) {
	if err := os.RemoveAll(filepath.Join(m.dir, name)); err != nil {
		m.Fatal(err)
	}
}

func (m *mutants) write(path string, data []byte) {
	if err := os.WriteFile(path, data, 0o666); err != nil {
		m.Fatal(err)
	}
}

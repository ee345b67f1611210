package write_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/geo/invent"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
	"rxsplit/rx/write"
)

// planned returns the job of writing one way of a layer.
func planned(t testing.TB, l *invent.Layer, way rx.WayName) write.Job {
	t.Helper()
	p := rxtest.Read(t, l)
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	plan, err := split.For(p, a, nil).Plan(way)
	if err != nil {
		t.Fatal(err)
	}
	return write.Job{
		Prescription: p, Plan: plan,
		Manifest: write.Manifest{
			Tool: write.Tool{Name: "rxsplit", Version: "test"}, Way: string(way),
			Units: json.RawMessage(`{}`), Parameters: json.RawMessage(`{}`), Summary: json.RawMessage(`{}`), Findings: json.RawMessage(`[]`),
		},
		Extras: []write.Extra{{Name: "zones.csv", Render: func(w io.Writer) error { _, err := io.WriteString(w, "zone\n"); return err }}},
	}
}

func written(t testing.TB, job write.Job) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "plan")
	if _, err := write.Plan(dir, job); err != nil {
		t.Fatal(err)
	}
	return dir
}

func files(t testing.TB, dir string) map[string][]byte {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]byte{}
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[e.Name()] = data
	}
	return out
}

// leftovers lists what stands beside the plan.
func leftovers(t testing.TB, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(dir))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		if e.Name() != filepath.Base(dir) {
			names = append(names, e.Name())
		}
	}
	return names
}

func TestWritesWhatThePlanSays(t *testing.T) {
	for _, way := range []rx.WayName{rx.WetBoom, rx.Base, rx.Loads, rx.Refit} {
		job := planned(t, invent.FourZones(), way)
		dir := written(t, job)
		for _, l := range job.Plan.Layers {
			for _, ext := range []string{".shp", ".shx", ".dbf", ".prj", ".cpg", ".geojson"} {
				if _, err := os.Stat(filepath.Join(dir, l.Name+ext)); err != nil {
					t.Errorf("way %s: %v", way, err)
				}
			}
		}
		m, err := write.ReadManifest(dir)
		if err != nil {
			t.Fatal(err)
		}
		if wrong := m.CheckFiles(dir); len(wrong) > 0 {
			t.Errorf("way %s: %v", way, wrong)
		}
		if got, want := len(m.Files)+1, len(files(t, dir)); got != want {
			t.Errorf("way %s: the manifest knows %d files, the folder has %d", way, got, want)
		}
		if err := write.Verify(dir, job.Prescription, job.Plan, unit.US); err != nil {
			t.Errorf("way %s: %v", way, err)
		}
		if rest := leftovers(t, dir); len(rest) > 0 {
			t.Errorf("way %s: left behind: %v", way, rest)
		}
	}
}

func TestSameBytes(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.WetBoom)
	first, second := files(t, written(t, job)), files(t, written(t, job))
	if len(first) != len(second) {
		t.Fatalf("%d files, then %d", len(first), len(second))
	}
	for name, data := range first {
		if !bytes.Equal(data, second[name]) {
			t.Errorf("%s has other bytes the second time", name)
		}
	}
}

// Whatever byte changes in whatever file, it is found and the file is named.
func TestOneChangedByteIsFound(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.WetBoom)
	dir := written(t, job)
	for name, data := range files(t, dir) {
		step := max(len(data)/37, 1)
		for at := 0; at < len(data); at += step {
			changed := bytes.Clone(data)
			changed[at] ^= 0x01
			path := filepath.Join(dir, name)
			if err := os.WriteFile(path, changed, 0o666); err != nil {
				t.Fatal(err)
			}
			m, err := write.ReadManifest(dir)
			switch {
			case name == write.ManifestName && err == nil:
				t.Errorf("%s: byte %d: not found", name, at)
			case name != write.ManifestName && err != nil:
				t.Errorf("%s: byte %d: %v", name, at, err)
			case name != write.ManifestName:
				wrong := m.CheckFiles(dir)
				if len(wrong) != 1 || wrong[0].File != name {
					t.Errorf("%s: byte %d: got %v", name, at, wrong)
				}
			}
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// What other readers go by is proved without the manifest's digests as well.
func TestWhatOtherReadersGoByIsCompared(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.WetBoom)
	for file, change := range map[string]func([]byte) []byte{
		"dry.prj": func(b []byte) []byte { return bytes.Replace(b, []byte("WGS_1984"), []byte("NAD_1927"), 1) },
		"dry.cpg": func([]byte) []byte { return []byte("1252") },
		"dry.shx": func(b []byte) []byte { b[len(b)-5]++; return b },
		"liquid.geojson": func(b []byte) []byte {
			return append([]byte(`{"crs":{"type":"name","properties":{"name":"EPSG:32615"}},`), b[1:]...)
		},
	} {
		dir := written(t, job)
		path := filepath.Join(dir, file)
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, change(data), 0o666); err != nil {
			t.Fatal(err)
		}
		if err := write.Verify(dir, job.Prescription, job.Plan, unit.US); err == nil || !strings.HasPrefix(err.Error(), file+": ") {
			t.Errorf("%s: got %v", file, err)
		}
	}
}

// A changed value is named with its zone.
func TestChangedValueNamesItsZone(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.WetBoom)
	for _, c := range []struct{ file, from, to, zone, value string }{
		{"dry.geojson", `"DRY_LBAC":250`, `"DRY_LBAC":251`, "zone 3", "251"},
		{"dry.dbf", "250", "251", "zone 3", "251"},
		{"liquid.geojson", `"STAB_RATE":30`, `"STAB_RATE":31`, "zone 1", "31"},
	} {
		dir := written(t, job)
		path := filepath.Join(dir, c.file)
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(data, []byte(c.from)) {
			t.Fatalf("%s does not hold %q", c.file, c.from)
		}
		if err := os.WriteFile(path, bytes.Replace(data, []byte(c.from), []byte(c.to), 1), 0o666); err != nil {
			t.Fatal(err)
		}
		err = write.Verify(dir, job.Prescription, job.Plan, unit.US)
		var wrong *write.VerifyError
		if !errors.As(err, &wrong) {
			t.Errorf("%s: got %v", c.file, err)
			continue
		}
		for _, want := range []string{c.file, c.zone, c.value} {
			if !strings.Contains(wrong.Error(), want) {
				t.Errorf("%s: %q does not name %q", c.file, wrong.Error(), want)
			}
		}
	}
}

// A vertex that moved is found, and its zone named.
func TestMovedVertexIsFound(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.WetBoom)
	dir := written(t, job)
	path := filepath.Join(dir, "dry.shp")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	const secondPoint = 100 + 8 + 44 + 4 + 16 // header, record header, box and counts, one part, one point
	data[secondPoint] ^= 0x01                 // the last bit of a longitude
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
	err = write.Verify(dir, job.Prescription, job.Plan, unit.US)
	if err == nil || !strings.Contains(err.Error(), "dry.shp: zone 1") {
		t.Errorf("got %v", err)
	}
}

// A plan that is proved wrong is not left behind.
func TestNothingIsLeftOfAFailure(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.WetBoom)
	job.Extras = append(job.Extras, write.Extra{Name: "report.html", Render: func(io.Writer) error { return errors.New("no ink") }})
	dir := filepath.Join(t.TempDir(), "plan")
	_, err := write.Plan(dir, job)
	var e *write.Error
	if !errors.As(err, &e) || !strings.Contains(err.Error(), "no ink") || e.Hint == "" {
		t.Errorf("got %v", err)
	}
	if _, err := os.Stat(dir); err == nil {
		t.Error("the folder was made")
	}
	if rest := leftovers(t, dir); len(rest) > 0 {
		t.Errorf("left behind: %v", rest)
	}
}

func TestReplacing(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.WetBoom)
	dir := written(t, job)
	other := planned(t, invent.FourZones(), rx.Base)
	if _, err := write.Plan(dir, other); err == nil {
		t.Error("a plan was overwritten without force")
	}
	other.Force = true
	if _, err := write.Plan(dir, other); err != nil {
		t.Errorf("with force: %v", err)
	}
	if _, err := os.Stat(filepath.Join(dir, "liquid.shp")); err == nil {
		t.Error("a file of the old plan is left")
	}
	if rest := leftovers(t, dir); len(rest) > 0 {
		t.Errorf("left behind: %v", rest)
	}
	// A folder that is not a whole plan of ours is never replaced.
	if err := os.WriteFile(filepath.Join(dir, "zones.csv"), []byte("mine\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	if _, err := write.Plan(dir, other); err == nil || !strings.Contains(err.Error(), "changed since") {
		t.Errorf("a changed plan: got %v", err)
	}
	foreign := filepath.Join(t.TempDir(), "photos")
	if err := os.Mkdir(foreign, 0o777); err != nil {
		t.Fatal(err)
	}
	if _, err := write.Plan(foreign, other); err == nil || !strings.Contains(err.Error(), "no whole plan") {
		t.Errorf("a folder of somebody else: got %v", err)
	}
}

// What a killed run left is swept by the next one; what another run works on is
// not.
func TestSweepsWhatAKilledRunLeft(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.WetBoom)
	parent := t.TempDir()
	dead := filepath.Join(parent, ".plan.rxsplit-0123456789ab")
	if err := os.Mkdir(dead, 0o777); err != nil {
		t.Fatal(err)
	}
	if _, err := write.Plan(filepath.Join(parent, "plan"), job); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(dead); err == nil {
		t.Error("the leftover of a killed run is still there")
	}
}

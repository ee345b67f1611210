package write

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	gogeom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/xy"

	"rxsplit/geo/taskdata"
	"rxsplit/internal/oracle"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/check"
	"rxsplit/rx/equip"
	"rxsplit/rx/read"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// demoTasks is the demo's field by one way, with task data.
func demoTasks(t *testing.T, way rx.WayName, want rx.TaskRequest) (*rx.Prescription, *rx.Plan) {
	t.Helper()
	const dir = "../../cmd/internal/app/demo/"
	file, err := read.Open(dir+"field.zip", read.FileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	p, err := read.Prescription(file, read.Options{RateFields: []string{"DRY_LBAC"}, RateUnit: "lb/ac"})
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(dir + "job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	profile := rxtest.Profile(t, string(label.DemoYAML()))
	terms := rx.Terms{Label: profile, Intended: profile.Rate.Middle()}
	if terms.Job, err = equip.ParseJob("job.yaml", text); err != nil {
		t.Fatal(err)
	}
	a, err := check.Grade(p, terms)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := split.For(p, a, nil).Plan(way)
	if err != nil {
		t.Fatal(err)
	}
	if plan.TaskData, err = split.For(p, a, nil).TaskData(plan, want); err != nil {
		t.Fatal(err)
	}
	return p, plan
}

// demoForms are all forms of task data that the demo's field has.
var demoForms = map[string]struct {
	way  rx.WayName
	want rx.TaskRequest
}{
	"rates":    {rx.WetBoom, rx.TaskRequest{Cell: 10 * unit.Meter}},
	"one task": {rx.WetBoom, rx.TaskRequest{Cell: 10 * unit.Meter, OneTask: true, Hold: true}},
	"codes":    {rx.WetBoom, rx.TaskRequest{Cell: 10 * unit.Meter, Form: rx.CodeGrid}},
	"codes of one task": {rx.WetBoom, rx.TaskRequest{
		Cell: 10 * unit.Meter, Form: rx.CodeGrid, OneTask: true,
	}},
	"polygons": {rx.WetBoom, rx.TaskRequest{Form: rx.TaskPolygons}},
	"loads":    {rx.Loads, rx.TaskRequest{Cell: 20 * unit.Meter}},
	"base":     {rx.Base, rx.TaskRequest{Cell: 20 * unit.Meter}},
	"refit":    {rx.Refit, rx.TaskRequest{Cell: 20 * unit.Meter, Form: rx.CodeGrid}},
}

func filesOf(p *rx.Prescription, plan *rx.Plan) taskdata.Files {
	return taskFiles(Job{Prescription: p, Plan: plan, Manifest: Manifest{Tool: Tool{"rxsplit", "1"}}})
}

func onStick(files taskdata.Files) map[string][]byte {
	out := map[string][]byte{}
	for name, data := range files {
		out[taskdata.Folder+"/"+name] = data
	}
	return out
}

// Every form keeps the rules of the standard and reads back as the plan; where isoxml is at
// hand it warns of nothing.
func TestDemoInEveryForm(t *testing.T) {
	for name, form := range demoForms {
		t.Run(name, func(t *testing.T) {
			p, plan := demoTasks(t, form.way, form.want)
			files := filesOf(p, plan)
			if faults := taskdata.Check(onStick(files)); len(faults) > 0 {
				t.Fatalf("faults: %v", faults)
			}
			set, remarks, err := taskdata.Decode(files)
			if err != nil || len(remarks) > 0 {
				t.Fatal(err, remarks)
			}
			if wrong := compareSets(set, p, plan, unit.US); len(wrong) > 0 {
				t.Errorf("%v", wrong)
			}
			got := oracle.ReadTaskData(t, "../../geo/taskdata/testdata/isoxml.js", onStick(files))
			if len(got.Warnings) > 0 || len(got.Tasks) != len(plan.TaskData.Tasks) {
				t.Errorf("isoxml: warnings %v, %d tasks", got.Warnings, len(got.Tasks))
			}
		})
	}
}

// What isoxml makes of the cells, held against the layer itself: each cell has the rate of
// the zone that go-geom finds at its center.
func TestIsoxmlCellsAgainstTheLayer(t *testing.T) {
	p, plan := demoTasks(t, rx.WetBoom, rx.TaskRequest{Cell: 10 * unit.Meter})
	got := oracle.ReadTaskData(t, "../../geo/taskdata/testdata/isoxml.js", onStick(filesOf(p, plan)))
	g := plan.TaskData.Grid
	in, beyond := 0, 0
	for _, c := range got.Tasks[0].Cells {
		zone := zoneAround(p, orb.Point{c[0] + g.Width/2, c[1] + g.Height/2})
		if zone < 0 {
			beyond++
			continue
		}
		in++
		want, err := taskdata.MassCount(p.Zones[zone].Dry, 0, unit.DryRate(math.Inf(1)))
		if err != nil || c[2] != float64(want) {
			t.Fatalf("the cell at %v, %v has %v, want %d of zone %d", c[0], c[1], c[2], want, p.Zones[zone].Number())
		}
	}
	if in < 8000 || beyond > 600 {
		t.Errorf("%d cells in a zone, %d beyond the edge", in, beyond)
	}
}

func zoneAround(p *rx.Prescription, c orb.Point) int {
	for z, zone := range p.Zones {
		in := false
		if !p.LonLat.Bound(int(zone.Record)).Contains(c) {
			continue
		}
		from, to := p.LonLat.ShapeRings(int(zone.Record))
		for r := from; r < to; r++ {
			var flat []float64
			for _, q := range p.LonLat.Ring(r) {
				flat = append(flat, q[0], q[1])
			}
			in = in != xy.IsPointInRing(gogeom.XY, gogeom.Coord{c[0], c[1]}, flat)
		}
		if in {
			return z
		}
	}
	return -1
}

// One count that differs is named with its zone and its cell; so is each other change.
func TestChangedTaskDataIsFound(t *testing.T) {
	p, plan := demoTasks(t, rx.WetBoom, rx.TaskRequest{Cell: 20 * unit.Meter})
	for name, c := range map[string]struct {
		change func(taskdata.Files)
		want   string
	}{
		"a count": {func(f taskdata.Files) {
			cell := 4 * (20*plan.TaskData.Grid.Columns + 30)
			f["GRD00001.bin"][cell]++
		}, "TASKDATA/GRD00001.bin: zone 6: row 21, column 31 from the south-west has 22418 of Dry blend, want 22417"},
		"rows turned over": {func(f taskdata.Files) {
			data, row := f["GRD00001.bin"], 4*plan.TaskData.Grid.Columns
			for i := 0; i < len(data)/2; i += row {
				for k := range row {
					j := len(data) - i - row + k
					data[i+k], data[j] = data[j], data[i+k]
				}
			}
		}, "TASKDATA/GRD00001.bin: zone 8: row 1, column 51 from the south-west has 0 of Dry blend, want 17373"},
		"a corner": {func(f taskdata.Files) {
			f[taskdata.Main] = []byte(strings.Replace(string(f[taskdata.Main]), `C="47.3459`, `C="47.3458`, 1))
		}, "TASKDATA/TASKDATA.XML: is not the one of the plan"},
		"a zone": {func(f taskdata.Files) {
			f[taskdata.Main] = []byte(strings.Replace(string(f[taskdata.Main]), `I="0" J="0"`, `I="1" J="0"`, 1))
		}, "TASKDATA/TASKDATA.XML: is not the one of the plan"},
		"the grid's place": {func(f taskdata.Files) {
			f[taskdata.Main] = []byte(strings.Replace(string(f[taskdata.Main]), `<GRD A="47.34`, `<GRD A="47.35`, 1))
		}, "TASKDATA/GRD00001.bin: is not laid out as the plan's grid"},
		"a missing file": {func(f taskdata.Files) { delete(f, "GRD00002.bin") }, "TASKDATA: breaks the rules of task data: GRD00002.bin is missing"},
		"a task gone": {func(f taskdata.Files) {
			text := string(f[taskdata.Main])
			from, to := strings.LastIndex(text, "<TSK "), strings.LastIndex(text, "</TSK>")+len("</TSK>")
			f[taskdata.Main] = []byte(text[:from] + text[to:])
			delete(f, "GRD00002.bin")
		}, "TASKDATA/TASKDATA.XML: has 1 tasks, want 2"},
		"most that are told": {func(f taskdata.Files) {
			for i := range f["GRD00002.bin"][:4*mostTold] {
				f["GRD00002.bin"][i] = 0x11
			}
		}, "TASKDATA/GRD00002.bin: row 1, column 1 from the south-west has 286331153 of Liquid mix, want 0"},
	} {
		files := filesOf(p, plan)
		c.change(files)
		dir := t.TempDir()
		if err := os.Mkdir(filepath.Join(dir, taskdata.Folder), 0o777); err != nil {
			t.Fatal(err)
		}
		for name, data := range files {
			if err := os.WriteFile(filepath.Join(dir, taskdata.Folder, name), data, 0o666); err != nil {
				t.Fatal(err)
			}
		}
		wrong := compareTaskData(dir, p, plan, unit.US)
		if len(wrong) == 0 || wrong[0].Error() != c.want {
			t.Errorf("%s: found\n%v, want\n%s", name, wrong, c.want)
		}
		if many := name == "rows turned over" || name == "most that are told"; many && len(wrong) != mostTold || !many && len(wrong) != 1 {
			t.Errorf("%s: %d are told", name, len(wrong))
		}
	}
	if got, want := fmt.Sprint(compareTaskData(t.TempDir(), p, plan, unit.US)), "[TASKDATA: is missing]"; got != want {
		t.Errorf("without the folder: found %s, want %s", got, want)
	}
}

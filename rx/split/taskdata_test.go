package split_test

import (
	"cmp"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	gogeom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/xy"

	"rxsplit/geo"
	"rxsplit/geo/taskdata"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/read"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// demoPlan is one way of the demo's field.
func demoPlan(t testing.TB, keepOut orb.MultiPolygon, way rx.WayName) (*rx.Prescription, *rx.Assessment, *rx.Plan) {
	t.Helper()
	const dir = "../../cmd/internal/app/demo/"
	text, err := os.ReadFile(dir + "job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	profile, err := label.Parse("label.yaml", label.DemoYAML())
	if err != nil {
		t.Fatal(err)
	}
	p := rxtest.Open(t, dir+"field.zip", read.Options{RateFields: []string{"DRY_LBAC"}, RateUnit: "lb/ac"})
	terms := rxtest.Terms(profile)
	if terms.Job, err = equip.ParseJob("job.yaml", text); err != nil {
		t.Fatal(err)
	}
	a := rxtest.Grade(t, p, terms)
	plan, err := split.For(p, a, keepOut).Plan(way)
	if err != nil {
		t.Fatal(err)
	}
	return p, a, plan
}

func tasksOf(t testing.TB, p *rx.Prescription, a *rx.Assessment, keepOut orb.MultiPolygon, plan *rx.Plan, want rx.TaskRequest) *rx.TaskData {
	t.Helper()
	out, err := split.For(p, a, keepOut).TaskData(plan, want)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// What the demo's field (227.85 ac, 41,463 lb) comes to by the center rule, as another
// program counted it cell by cell: columns and rows without those around, acres and pounds
// more or less, and the most that a zone is off (at 2.5 m half of that is found here).
func TestDemoByCells(t *testing.T) {
	p, a, plan := demoPlan(t, nil, rx.WetBoom)
	for _, c := range []struct {
		cell             float64
		columns, rows    int
		acres, lb, worst float64
	}{
		{2.5, 434, 381, 0.05, 13, 0.04},
		{5, 217, 191, 0.02, -12, 0.08},
		{10, 109, 96, 0.01, 2, 0.24},
		{20, 55, 48, -0.21, -85, 0.59},
	} {
		out := tasksOf(t, p, a, nil, plan, rx.TaskRequest{Wanted: true, Cell: unit.Length(c.cell) * unit.Meter})
		if out.Grid.Columns != c.columns+2 || out.Grid.Rows != c.rows+2 {
			t.Errorf("%v m: %d columns, %d rows, want %d and %d, and one on each side", c.cell, out.Grid.Columns, out.Grid.Rows, c.columns, c.rows)
		}
		dry := out.Tasks[0].Products[0]
		if off := float64(dry.Cells.Mass - plan.Layers[0].Mass); math.Abs(off-c.lb) > 0.75 { // counts are rounded, and so is the table
			t.Errorf("%v m: %+.1f lb, want %+.0f", c.cell, off, c.lb)
		}
		if off := float64(ownedArea(out) - p.Area()); math.Abs(off-c.acres) > 0.0051 {
			t.Errorf("%v m: %+.3f ac, want %+.2f", c.cell, off, c.acres)
		}
		t.Logf("%v m: %+.3f ac, %+.1f lb, worst zone %.3f ac", c.cell, float64(ownedArea(out)-p.Area()), float64(dry.Cells.Mass-plan.Layers[0].Mass), worstZone(p, out))
		if worst := worstZone(p, out); worst > c.worst+0.0051 || float64(dry.Worst) > worst+1e-9 {
			t.Errorf("%v m: worst zone off by %.3f ac, that of the dry %.3f, want %.2f", c.cell, worst, float64(dry.Worst), c.worst)
		}
	}
}

// ownedArea is what the cells cover whose centers lie in a zone, with a rate or without.
func ownedArea(out *rx.TaskData) (sum unit.Area) {
	for cell, zone := range out.Owner {
		if zone >= 0 && !out.Edge.Has(cell) {
			sum += out.Grid.CellArea(cell / out.Grid.Columns)
		}
	}
	return sum
}

// worstZone is by how many acres a zone's cells differ most from it, those without a rate
// too.
func worstZone(p *rx.Prescription, out *rx.TaskData) (worst float64) {
	own := make([]unit.Area, len(p.Zones))
	for cell, zone := range out.Owner {
		if zone >= 0 && !out.Edge.Has(cell) {
			own[zone] += out.Grid.CellArea(cell / out.Grid.Columns)
		}
	}
	for z, zone := range p.Zones {
		worst = max(worst, math.Abs(float64(own[z]-zone.Area)))
	}
	return worst
}

// Each cell has the rate of the zone that holds its center, by go-geom's point in ring and
// the layer's own rates: counted from the south-west, or it would be another zone's.
func TestCellsHaveTheRateAtTheirCenter(t *testing.T) {
	p, a, plan := demoPlan(t, nil, rx.WetBoom)
	out := tasksOf(t, p, a, nil, plan, rx.TaskRequest{Wanted: true, Cell: 10 * unit.Meter})
	dry, liquid := &out.Tasks[0].Products[0], &out.Tasks[1].Products[0]
	wrong, edges, zoneAt := 0, 0, zoneFinder(p)
	for cell := range out.Grid.Cells() {
		c := out.Grid.Center(cell/out.Grid.Columns, cell%out.Grid.Columns)
		zone := zoneAt(c)
		if zone < 0 {
			if out.Count(dry, cell) > 0 {
				edges++
			}
			continue
		}
		want, err := taskdata.MassCount(p.Zones[zone].Dry, 0, unit.DryRate(math.Inf(1)))
		if err != nil {
			t.Fatal(err)
		}
		if out.Count(dry, cell) != want || (out.Count(liquid, cell) > 0) != (p.Zones[zone].Dry > 0) {
			wrong++
		}
	}
	if wrong > 0 {
		t.Errorf("%d cells have another rate than the zone at their center", wrong)
	}
	// The field's edge of about 4 km passes some 570 cells of 10 m, and half of their centers lie beyond it.
	if edges < 100 || edges > 500 {
		t.Errorf("%d cells beyond the edge have a rate", edges)
	}
}

// zoneFinder tells which zone holds a place; -1: none.
func zoneFinder(p *rx.Prescription) func(orb.Point) int {
	flat := make([][][]float64, len(p.Zones)) // the rings of each zone, coordinate by coordinate
	for z, zone := range p.Zones {
		from, to := p.LonLat.ShapeRings(int(zone.Record))
		for r := from; r < to; r++ {
			var ring []float64
			for _, q := range p.LonLat.Ring(r) {
				ring = append(ring, q[0], q[1])
			}
			flat[z] = append(flat[z], ring)
		}
	}
	return func(c orb.Point) int {
		for z, zone := range p.Zones {
			if !p.LonLat.Bound(int(zone.Record)).Contains(c) {
				continue
			}
			in := false
			for _, ring := range flat[z] {
				if xy.IsPointInRing(gogeom.XY, gogeom.Coord{c[0], c[1]}, ring) {
					in = !in
				}
			}
			if in {
				return z
			}
		}
		return -1
	}
}

// No liquid in a cell that a keep-out touches, whatever its center says; dry that is not
// treated goes on there.
func TestCellsStayOutOfKeepOuts(t *testing.T) {
	p, _, _ := demoPlan(t, nil, rx.WetBoom)
	zone := slices.IndexFunc(p.Zones, func(z rx.Zone) bool { return z.Dry > 0 && z.Area > 4 })
	at := p.Place(zone)
	const d = 0.0002
	keepOut := orb.MultiPolygon{{{{at[0] - d, at[1] - d}, {at[0] + d, at[1] - d}, {at[0] + d, at[1] + d}, {at[0] - d, at[1] + d}, {at[0] - d, at[1] - d}}}}
	p, a, plan := demoPlan(t, keepOut, rx.WetBoom)
	out := tasksOf(t, p, a, keepOut, plan, rx.TaskRequest{Wanted: true})
	dry, liquid := &out.Tasks[0].Products[0], &out.Tasks[1].Products[0]
	touched, inside := 0, 0
	for cell := range out.Grid.Cells() {
		row, column := cell/out.Grid.Columns, cell%out.Grid.Columns
		common, err := geo.Intersect(keepOut, orb.MultiPolygon{{out.Grid.Ring(row, column, column+1)}})
		if err != nil || len(common) == 0 {
			continue
		}
		touched++
		if out.Count(liquid, cell) != 0 {
			t.Fatalf("cell %d touches the keep-out and has liquid", cell)
		}
		if out.Count(dry, cell) > 0 {
			inside++
		}
	}
	if touched < 40 || inside == 0 {
		t.Errorf("%d cells touch the keep-out, %d of them have dry", touched, inside)
	}
	if liquid.Cells.Area >= plan.Layers[1].Area {
		t.Errorf("the cells have %v of liquid, the layer %v", liquid.Cells.Area, plan.Layers[1].Area)
	}
}

// Dry with a further liquid alone goes on where the season has no room for the stabilizer, as the plan has it: all of its
// ground has cells with dry, and nothing is told of keep-outs, of which there are none. Where some are given it stays out.
func TestDryGoesOnWhereTheSeasonIsFull(t *testing.T) {
	for _, given := range []bool{false, true} {
		p := rxtest.Read(t, rxtest.Strip(rxtest.FourGrounds()...))
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Job = job(t, "boom: {width: 70 ft, spacing: 20 in, volume: 10 gal/ac, tank: 500 gal, nozzles: [\"05\"], pressure: {min: 20 psi, max: 70 psi}, speed: {low: 11 mph, usual: 15 mph, high: 18 mph}}\n")
		terms.Further, terms.LeaveOff, terms.NoRoom, terms.KeepOuts = rxtest.Further(64), true, []int{1}, given
		a, keepOut := rxtest.Grade(t, p, terms), p.LonLat.Shape(int(p.Zones[1].Record))
		plan, err := split.For(p, a, keepOut).Plan(rx.WetBoom)
		if err != nil {
			t.Fatal(err)
		}
		out := tasksOf(t, p, a, keepOut, plan, rx.TaskRequest{Wanted: true})
		dry, liquid := &out.Tasks[0].Products[0], &out.Tasks[1].Products[0]
		whole := tasksOf(t, p, a, nil, plan, rx.TaskRequest{Wanted: true})
		if ratio := float64(dry.Cells.Mass / whole.Tasks[0].Products[0].Cells.Mass); (ratio < 1) != given {
			t.Errorf("keep-outs %v: the cells have %.3f of the dry", given, ratio)
		}
		if ratio := float64(liquid.Cells.Area / plan.Layers[1].Area); ratio > 1 || ratio < 0.5 {
			t.Errorf("keep-outs %v: the cells have %.3f of the liquid's ground", given, ratio)
		}
		if told := slices.ContainsFunc(plan.Findings, func(f rx.Finding) bool { return f.Key() == "keep-out/liquid on the dry" }); told != given {
			t.Errorf("keep-outs %v: told %v", given, told)
		}
	}
}

// Counts of a treated load keep every zone on label: the dry rates that its loading allows
// are passed by no rounding.
func TestTreatedCountsStayOnLabel(t *testing.T) {
	for _, way := range []rx.WayName{rx.Loads, rx.Base, rx.Refit} {
		p, a, plan := demoPlan(t, nil, way)
		out := tasksOf(t, p, a, nil, plan, rx.TaskRequest{Wanted: true, Form: rx.CodeGrid})
		for _, task := range out.Tasks {
			one := task.Products[0]
			l := &plan.Layers[one.Layer]
			for z, n := range one.Counts {
				exact := l.DryRate(p, z)
				rate := taskdata.MassRate(n)
				if math.Abs(float64(rate-exact)) > 0.0090 { // a count
					t.Errorf("%s, zone %d: %v, want %v", task.Name, z, rate, exact)
				}
				if l.Treated && n > 0 {
					s := unit.StabilizerRate(l.Loading, rate)
					if pass, _ := a.Terms.PassRange(); s < pass.Min*(1-1e-12) || s > pass.Max*(1+1e-12) {
						t.Errorf("%s, zone %d: %v of stabilizer", task.Name, z, s)
					}
				}
			}
		}
	}
}

// Products that are spread side by side are tasks of their own, or values of one task; the
// one that is impregnated alone stays out of keep-outs.
func TestSideBySideAsTasks(t *testing.T) {
	path := filepath.Join(t.TempDir(), "field.geojson")
	const text = `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"UREA":150,"POTASH":100},"geometry":{"type":"Polygon","coordinates":[[[-90.404,47.35],[-90.400,47.35],[-90.400,47.3525],[-90.404,47.3525],[-90.404,47.35]]]}},
{"type":"Feature","properties":{"UREA":200,"POTASH":0},"geometry":{"type":"Polygon","coordinates":[[[-90.400,47.35],[-90.396,47.35],[-90.396,47.3525],[-90.400,47.3525],[-90.400,47.35]]]}}]}`
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	file, err := read.Open(path, read.FileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	p, err := read.Prescription(file, read.Options{RateFields: []string{"UREA", "POTASH"}, RateUnit: "lb/ac", Carrier: "UREA"})
	if err != nil {
		t.Fatal(err)
	}
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	plan, err := split.For(p, a, nil).Plan(rx.OneLoad)
	if err != nil {
		t.Fatal(err)
	}
	out := tasksOf(t, p, a, nil, plan, rx.TaskRequest{})
	if len(out.Tasks) != 2 {
		t.Fatalf("%d tasks", len(out.Tasks))
	}
	urea, potash := out.Tasks[0].Products[0], out.Tasks[1].Products[0]
	if urea.Name != "UREA, treated" || !urea.Avoids || potash.Name != "POTASH" || potash.Avoids {
		t.Errorf("products are %q (%v) and %q (%v)", urea.Name, urea.Avoids, potash.Name, potash.Avoids)
	}
	// 150 and 200 lb/ac are 16812.77 and 22417.02 counts, 100 are 11208.51.
	if !slices.Equal(urea.Counts, []int32{16813, 22417}) || !slices.Equal(potash.Counts, []int32{11209, 0}) {
		t.Errorf("counts are %v and %v", urea.Counts, potash.Counts)
	}
	if one := tasksOf(t, p, a, nil, plan, rx.TaskRequest{OneTask: true}); len(one.Tasks) != 1 || len(one.Tasks[0].Products) != 2 {
		t.Errorf("one task has %+v", one.Tasks)
	}
}

// A field with more cells of 5 m on a side than every terminal must take gets larger ones.
func TestLargeFieldsGetLargerCells(t *testing.T) {
	p := rxtest.Read(t, rxtest.Strip(pairs(60, 150, 60, 200)...)) // 100 m high, 4.9 km long
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	plan, err := split.For(p, a, nil).Plan(rx.WetBoom)
	if err != nil {
		t.Fatal(err)
	}
	plan.Layers[1].Mix = cmp.Or(plan.Layers[1].Mix, 10*unit.GallonPerAcre)
	out := tasksOf(t, p, a, nil, plan, rx.TaskRequest{})
	if out.Grid.Columns > 350 || out.Grid.Columns < 350-12 || out.Cell < 13*unit.Meter || out.Cell > 15*unit.Meter {
		t.Errorf("%d columns of %v m", out.Grid.Columns, float64(out.Cell/unit.Meter))
	}
}

// What would run wrong is refused.
func TestTaskDataRefused(t *testing.T) {
	p, a, loads := demoPlan(t, nil, rx.Loads)
	_, _, boom := demoPlan(t, nil, rx.WetBoom)
	for name, c := range map[string]struct {
		plan *rx.Plan
		want rx.TaskRequest
	}{
		"two passes in one task": {loads, rx.TaskRequest{OneTask: true}},
		"polygons in one task":   {boom, rx.TaskRequest{OneTask: true, Form: rx.TaskPolygons}},
		"cells of a hair":        {boom, rx.TaskRequest{Cell: unit.Millimeter}},
	} {
		if _, err := split.For(p, a, nil).TaskData(c.plan, c.want); err == nil {
			t.Errorf("%s: not refused", name)
		}
	}
	one := tasksOf(t, p, a, nil, boom, rx.TaskRequest{OneTask: true})
	if len(one.Tasks) != 1 || len(one.Tasks[0].Products) != 2 {
		t.Errorf("one task has %+v", one.Tasks)
	}
	many := *boom
	many.Layers = slices.Clone(boom.Layers)
	many.Layers[1].Mix = 0
	if _, err := split.For(p, a, nil).TaskData(&many, rx.TaskRequest{}); err == nil {
		t.Error("a mix that nobody knows: not refused")
	}
}

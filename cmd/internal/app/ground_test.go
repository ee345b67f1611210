package app_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/geo/crs"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/ground"
	"rxsplit/rx/write"
)

// aLog writes a log of straight passes 70 ft apart over the demo's field, on within it as
// far as a box tells, and the map of its columns. mend changes its lines, from 0.
func aLog(t *testing.T, mend func(row int, cells []string) []string) (log, mapped string) {
	t.Helper()
	dir := t.TempDir()
	var b strings.Builder
	b.WriteString("LON,LAT,TIME,RATE,TGT,ON\n")
	row, at := 0, 1_770_000_000
	for i := range 50 {
		lon := -90.4067 + float64(i)*21.336/75_400
		for k := range 120 {
			step := k
			if i%2 == 1 {
				step = 119 - k
			}
			lat := 47.3460 + float64(step)*6.7/111_200
			cells := []string{fmt.Sprintf("%.8f", lon), fmt.Sprintf("%.8f", lat), fmt.Sprint(at), "30", "30", "1"}
			if mend != nil {
				cells = mend(row, cells)
			}
			if cells != nil {
				b.WriteString(strings.Join(cells, ",") + "\n")
			}
			row, at = row+1, at+1
		}
		at += 30
	}
	log, mapped = filepath.Join(dir, "log.csv"), filepath.Join(dir, "map.yaml")
	for path, text := range map[string]string{
		log:    b.String(),
		mapped: "columns: {lon: LON, lat: LAT, time: TIME, rate: RATE, target: TGT, on: ON}\ntime-form: epoch-s\nrate-unit: fl oz/ac\nwidth: 70 ft\n",
	} {
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return log, mapped
}

func applied(t *testing.T, dir, log, mapped string) report.Ground {
	t.Helper()
	g, err := (app.Run{}).Applied(t.Context(), dir, app.InputsAt{}, app.Logs{Paths: []string{log}, Maps: []string{mapped}})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// verified proves a folder of results.
func verified(t *testing.T, dir string) (app.Proved, error) {
	t.Helper()
	p, ok, err := (app.Run{}).VerifyResults(t.Context(), dir, app.InputsAt{})
	if !ok && err == nil {
		err = errors.New("it holds no results")
	}
	return p, err
}

// The ledger, the tables and the classes of a log add up; what is written is proved, and
// every change of it is found.
func TestAppliedIsWrittenAndProved(t *testing.T) {
	dir := aPlan(t, "wet-boom")
	log, mapped := aLog(t, nil)
	g := applied(t, dir, log, mapped)
	p, c := g.Products[0], g.Liquids[0].Classes
	sum := c[ground.None].Area + c[ground.Below].Area + c[ground.Within].Area + c[ground.Above].Area + c[ground.OverSeason].Area
	if math.Abs(float64(sum/g.Sampled.Area)-1) > 1e-12 || math.Abs(float64(g.Sampled.Area/g.Field.Prescription.Area())-1) > 1e-4 {
		t.Errorf("classes have %v, the field %v as sampled and %v as drawn", sum, g.Sampled.Area, g.Field.Prescription.Area())
	}
	if math.Abs((p.InField+p.OutField)/p.Total-1) > 1e-4 || !rx.Flagged(g.Findings) {
		t.Errorf("%v in the field and %v outside of %v", p.InField, p.OutField, p.Total)
	}
	out := filepath.Join(t.TempDir(), "out")
	if err := (app.Run{}).WriteGround(t.Context(), out, g); err != nil {
		t.Fatal(err)
	}
	if _, err := verified(t, out); err != nil || !app.IsGround(out) {
		t.Fatal(err)
	}
	names := []string{"applied.json", "applied.dbf", "applied.html", "spots.geojson", "applied.geojson", "applied.shp"}
	if testing.Short() {
		names = names[:2]
	}
	for _, name := range names {
		path := filepath.Join(out, name)
		whole, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		changed := bytes.Clone(whole)
		changed[len(changed)-3] ^= 1
		os.WriteFile(path, changed, 0o666)
		var proof *write.VerifyError
		if _, err := verified(t, out); name != "applied.json" && (!errors.As(err, &proof) || proof.Mismatches[0].File != name) || err == nil {
			t.Errorf("%s was changed: %v", name, err)
		}
		os.WriteFile(path, whole, 0o666)
	}
	if err := (app.Run{}).WriteGround(t.Context(), out, g); err == nil {
		t.Error("a folder was written over")
	}
}

// Bad logs of every kind end in a finding that names what is odd, and in tables that hold
// without it.
func TestBadLogsAreNamed(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long")
	}
	dir := aPlan(t, "wet-boom")
	log, mapped := aLog(t, nil)
	whole := applied(t, dir, log, mapped).Products[0].Covered.Area
	set := func(column int, value string, from, to int) func(int, []string) []string {
		return func(row int, cells []string) []string {
			if row >= from && row < to {
				cells[column] = value
			}
			return cells
		}
	}
	var place []string
	for rule, c := range map[string]struct {
		mend func(int, []string) []string
		less float64 // acres that are covered no more, at most
	}{
		"log-no-place": {set(0, "", 500, 510), 1},
		"log-no-rate":  {set(3, "", 500, 510), 1},
		"log-jump":     {set(0, "-90.39", 505, 506), 1},
		"log-gaps": {func(row int, cells []string) []string {
			if row >= 500 && row < 503 {
				return nil
			}
			return cells
		}, 1},
		"log-twice": {func(row int, cells []string) []string {
			if row == 500 {
				return []string{strings.Join(cells, ",") + "\n" + strings.Join(cells, ",")}
			}
			return cells
		}, 0.001},
		"log-order": {func(row int, cells []string) []string {
			cells[2] = fmt.Sprint(1_770_000_000 + (row*7)%12_000)
			return cells
		}, 1e9},
		"log-no-time": {set(2, "", 500, 501), 1},
		"log-far": {func(row int, cells []string) []string { // another field, 2.2 km to the north
			if row >= 480 && row < 600 {
				cells[1] = strings.Replace(cells[1], "47.3", "47.4", 1)
			}
			return cells
		}, 30},
		"log-nothing": {set(5, "0", 0, 1e9), 1e9},
		"log-alone": {func(row int, cells []string) []string {
			if row >= 690 && row < 710 && row != 700 {
				return nil
			}
			return cells
		}, 1},
		"log-stand": {func(row int, cells []string) []string {
			if row == 500 {
				place = slices.Clone(cells[:2])
			}
			if row >= 500 && row < 506 {
				copy(cells, place)
			}
			return cells
		}, 0.5},
		"log-delay": {func(row int, cells []string) []string {
			step := func(row int) string { return []string{"24", "36"}[max(row, 0)/37%2] }
			cells[3], cells[4] = step(row-3), step(row)
			return cells
		}, 0.001},
	} {
		bad, m := aLog(t, c.mend)
		g := applied(t, dir, bad, m)
		found := false
		for _, f := range g.Findings {
			found = found || f.Rule() == rule
		}
		lost := float64(whole - g.Products[0].Covered.Area)
		if !found || lost > c.less {
			var rules []string
			for _, f := range g.Findings {
				rules = append(rules, f.Rule())
			}
			t.Errorf("%s: found %v; %.3f ac less are covered", rule, rules, lost)
		}
		var out bytes.Buffer
		if err := errors.Join(text.Ground(&out, g), data.Ground(&out, g)); err != nil {
			t.Error(err)
		}
	}
}

// Every way can be driven on paper. On a rectangle ten swaths wide, with seams square across the
// passes, no lag and no headland, what lands is the plan; as it is usually driven, what is
// written of it is proved.
func TestPassesOfAllWays(t *testing.T) {
	const west, south, step = -93.0, 42.0, 200 / 111_077.0
	east := west + 213.36/82_843.0
	folder := t.TempDir()
	var zones []string
	for i, rate := range []int{180, 240, 210} {
		low, high := south+float64(i)*step, south+float64(i+1)*step
		zones = append(zones, fmt.Sprintf(`{"type":"Feature","properties":{"DRY_LBAC":%d},"geometry":{"type":"Polygon","coordinates":[[[%.8f,%.8f],[%.8f,%.8f],[%.8f,%.8f],[%.8f,%.8f],[%.8f,%.8f]]]}}`,
			rate, west, low, east, low, east, high, west, high, west, low))
	}
	field, machines := filepath.Join(folder, "field.geojson"), filepath.Join(folder, "machines.yaml")
	for path, text := range map[string]string{
		field: `{"type":"FeatureCollection","features":[` + strings.Join(zones, ",") + "]}",
		machines: "spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}, bins: 1, rate-change: 0.1 s}\n" +
			"boom: {width: 70 ft, spacing: 20 in, volume: 10 gal/ac, tank: 500 gal, nozzles: [\"05\"], pressure: {min: 20 psi, max: 70 psi}, speed: {low: 11 mph, usual: 15 mph, high: 18 mph}}\n",
	} {
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	for _, way := range equip.Ways() {
		_, q := demo(t, app.Values{"way": {string(way.Name)}})
		dir := filepath.Join(t.TempDir(), "plan")
		if _, _, err := (app.Run{}).Split(t.Context(), field, q, app.Target{Dir: dir}); err != nil {
			t.Fatal(err)
		}
		exact, err := (app.Run{}).Passes(t.Context(), dir, app.InputsAt{}, app.PassesAsked{Job: machines, Laps: "0"})
		if err != nil {
			t.Fatal(err)
		}
		equalToPlan(t, string(way.Name), exact)
		if testing.Short() && way.Name != "base" {
			continue
		}
		g, err := (app.Run{}).Passes(t.Context(), dir, app.InputsAt{}, app.PassesAsked{Azimuth: "20", Offset: "10 ft", Job: machines})
		if err != nil {
			t.Fatal(err)
		}
		out := filepath.Join(t.TempDir(), "out")
		if err := (app.Run{}).WriteGround(t.Context(), out, g); err != nil {
			t.Fatal(err)
		}
		if _, err := verified(t, out); err != nil {
			t.Errorf("%s: %v", way.Name, err)
		}
	}
}

// equalToPlan holds what lands against what the plan orders. The meridians at the field's sides
// draw together by 2 cm on its length, and a rate change takes 0.7 m.
func equalToPlan(t *testing.T, way string, g report.Ground) {
	t.Helper()
	const off = 3e-3
	plan, area := g.Field.Plan, float64(g.Field.Prescription.Area())
	c := g.Liquids[0].Classes
	if !g.Liquids[0].Graded || math.Abs(float64(c[ground.Within].Area)/area-1) > off || len(g.Products) != len(plan.Layers) {
		t.Errorf("%s: %v of %v ac are within the label", way, c[ground.Within].Area, area)
	}
	for i, p := range g.Products {
		l := &plan.Layers[i]
		want := float64(l.Mass)
		if l.Product == rx.Liquid {
			want = float64(l.Volume)
		}
		if math.Abs(p.Total/want-1) > off || float64(p.Skip.Area+p.Twice.Area+p.Outside.Area+p.Off.Area) > off*area {
			t.Errorf("%s, %s: %.2f lands of %.2f; %v bare, %v twice, %v outside, %v off target", way, l.Name, p.Total, want, p.Skip, p.Twice, p.Outside, p.Off)
		}
	}
}

// What was applied is taken as applied already: it leaves room that differs from zone to
// zone, and a plan that was made with it is proved with it.
func TestAlreadyAppliedLayer(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long")
	}
	dir := aPlan(t, "wet-boom")
	log, mapped := aLog(t, nil)
	out := filepath.Join(t.TempDir(), "out")
	if err := (app.Run{}).WriteGround(t.Context(), out, applied(t, dir, log, mapped)); err != nil {
		t.Fatal(err)
	}
	field, q := demo(t, app.Values{"way": {"loads"}, "already-applied": {filepath.Join(out, "applied.shp")}})
	result, err := (app.Run{}).Check(t.Context(), field, q)
	if err != nil {
		t.Fatal(err)
	}
	terms := result.Assessment.Terms
	if len(terms.Already) != len(result.Prescription.Zones) || math.Abs(float64(terms.AlreadyApplied)-30) > 0.1 {
		t.Errorf("already %v, at most %v", terms.Already, terms.AlreadyApplied)
	}
	second := filepath.Join(t.TempDir(), "second")
	if _, _, err := (app.Run{}).Split(t.Context(), field, q, app.Target{Dir: second}); err != nil {
		t.Fatal(err)
	}
	if _, err := (app.Run{}).Verify(t.Context(), second, app.InputsAt{}); err != nil {
		t.Error(err)
	}
	// The log itself says the same, and the plan that was made with it is proved with it.
	field, q = demo(t, app.Values{"way": {"loads"}, "already-applied": {log}, "already-map": {mapped}})
	logged, err := (app.Run{}).Check(t.Context(), field, q)
	if err != nil {
		t.Fatal(err)
	}
	for z, rate := range logged.Assessment.Terms.Already {
		if math.Abs(float64(rate-terms.Already[z])) > 0.1 {
			t.Errorf("zone %d has %v by the log and %v by its layer", z, rate, terms.Already[z])
		}
	}
	third := filepath.Join(t.TempDir(), "third")
	if _, _, err := (app.Run{}).Split(t.Context(), field, q, app.Target{Dir: third}); err != nil {
		t.Fatal(err)
	}
	if _, err := (app.Run{}).Verify(t.Context(), third, app.InputsAt{}); err != nil {
		t.Error(err)
	}
	text, _ := os.ReadFile(mapped)
	os.WriteFile(mapped, append(text, "delay: 1 s\n"...), 0o666)
	if _, err := (app.Run{}).Verify(t.Context(), third, app.InputsAt{}); err == nil || !strings.Contains(err.Error(), "map.yaml: is not the file that the plan was made from") {
		t.Errorf("a map that changed: %v", err)
	}
	_, q = demo(t, app.Values{"already-applied": {filepath.Join(out, "applied.shp")}, "already-field": {"NONE"}})
	if _, err := (app.Run{}).Check(t.Context(), field, q); err == nil || !strings.Contains(err.Error(), "has no field NONE") {
		t.Errorf("a field that is not there: %v", err)
	}
}

// A log of dry, or of a mix, counts for each liquid that its map says is in it, and so does a
// layer that holds a further liquid alone.
func TestLogOfSeveralLiquidsAsApplied(t *testing.T) {
	field, q := demo(t, app.Values{})
	plain, err := (app.Run{}).Check(t.Context(), field, q)
	if err != nil {
		t.Fatal(err)
	}
	job := filepath.Join(filepath.Dir(field), "job.yaml")
	text, _ := os.ReadFile(job)
	liquids := filepath.Join(filepath.Dir(field), "liquids.yaml")
	os.WriteFile(liquids, append(text, "\nfurther-liquids: [{name: root aid, rate: 6 fl oz/ac}]\n"...), 0o666)
	log, mapped := aLog(t, nil)
	shape, layer := plain.Prescription.LonLat.Shape(int(plain.Prescription.Zones[0].Record)), filepath.Join(t.TempDir(), "layer.geojson")
	ring, _ := json.Marshal(shape)
	os.WriteFile(layer, []byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"ROOT_AID":6.5},"geometry":{"type":"MultiPolygon","coordinates":`+string(ring)+`}}]}`), 0o666)
	columns := "columns: {lon: LON, lat: LAT, time: TIME, rate: RATE, on: ON}\ntime-form: epoch-s\nwidth: 70 ft\n"
	for _, c := range []struct {
		what, mapped      string
		stabilizer, other float64 // fl oz/ac, of the worst zone
		why               string
	}{
		{"dry", "of: dry\nrate-unit: lb/ac\nholds: [{liquid: stabilizer, part: 320 fl oz/ton}, {liquid: root aid, part: 64 fl oz/ton}]\n", 4.8, 0.96, ""},
		{"mix", "of: mix\nrate-unit: gal/ac\nholds: [{liquid: root aid, part: 6 fl oz/ac in 10 gal/ac}]\n", 0, 18, ""},
		{"further liquid", "rate-unit: fl oz/ac\nholds: [{liquid: root aid, part: 100 %}]\n", 0, 30, ""},
		{"stabilizer", "rate-unit: fl oz/ac\n", 30, 0, ""},
		{"layer of a further liquid", "", 0, 6.5, ""},
		{"dry of nobody knows what", "of: dry\nrate-unit: lb/ac\n", 0, 0, "nothing says which liquids are in it"},
		{"a liquid that is not there", "rate-unit: fl oz/ac\nholds: [{liquid: other, part: 100 %}]\n", 0, 0, `the job has no liquid "other"`},
	} {
		values := app.Values{"job": {liquids}, "already-applied": {layer}}
		if c.mapped != "" {
			os.WriteFile(mapped, []byte(columns+c.mapped), 0o666)
			values["already-applied"], values["already-map"] = []string{log}, []string{mapped}
		}
		q, err := app.Resolve(values)
		if err != nil {
			t.Fatal(err)
		}
		got, err := (app.Run{}).Check(t.Context(), field, q)
		if c.why != "" {
			if err == nil || !strings.Contains(err.Error(), c.why) {
				t.Errorf("%s: %v, want %q", c.what, err, c.why)
			}
			continue
		}
		if err != nil {
			t.Fatalf("%s: %v", c.what, err)
		}
		terms := got.Assessment.Terms
		for name, pair := range map[string][2]float64{"stabilizer": {float64(terms.AlreadyApplied), c.stabilizer}, "root aid": {float64(terms.Further[0].AlreadyApplied), c.other}} {
			if math.Abs(pair[0]-pair[1]) > 1e-3*pair[1] {
				t.Errorf("%s: %v fl oz/ac of %s already, want %v", c.what, pair[0], name, pair[1])
			}
		}
	}
}

// A record takes what logs say, and what of a plan is known; it is refused what is of another.
func TestRecordOfADay(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long")
	}
	dir := aPlan(t, "wet-boom")
	log, mapped := aLog(t, nil)
	out := filepath.Join(t.TempDir(), "out")
	if err := (app.Run{}).WriteGround(t.Context(), out, applied(t, dir, log, mapped)); err != nil {
		t.Fatal(err)
	}
	r, err := (app.Run{}).Record(t.Context(), dir, app.InputsAt{}, app.RecordFrom{Applied: out})
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range r.Rows {
		if (row.What == "Ground treated" || row.What == "Stabilizer in all") && (row.From != "logs" || row.Value == "") {
			t.Errorf("%+v", row)
		}
	}
	rec := filepath.Join(t.TempDir(), "record")
	if err := (app.Run{}).WriteRecord(t.Context(), rec, r); err != nil {
		t.Fatal(err)
	}
	if _, err := verified(t, rec); err != nil || !app.IsRecord(rec) {
		t.Error(err)
	}
	os.WriteFile(filepath.Join(rec, "record.html"), []byte("other"), 0o666)
	var proof *write.VerifyError
	if _, err := verified(t, rec); !errors.As(err, &proof) || proof.Mismatches[0].File != "record.html" {
		t.Errorf("a page was changed: %v", err)
	}
	if _, err := (app.Run{}).Record(t.Context(), aPlan(t, "base"), app.InputsAt{}, app.RecordFrom{Applied: out}); err == nil || !strings.Contains(err.Error(), "another plan") {
		t.Errorf("logs of another plan: %v", err)
	}
}

// T9: one log, whatever its order, its files, its units and its coordinate system, gives one
// and the same tables; rows that are there twice are dropped and named.
func TestOneLogInManyForms(t *testing.T) {
	if testing.Short() {
		t.Skip("lays eight logs")
	}
	dir := aPlan(t, "wet-boom")
	log, mapped := aLog(t, nil)
	text, _ := os.ReadFile(log)
	lines := strings.SplitAfter(strings.TrimSpace(string(text)), "\n")
	lines[len(lines)-1] += "\n"
	head, rows := lines[0], lines[1:]
	columns, _ := os.ReadFile(mapped)
	shuffled := slices.Clone(rows)
	rand.New(rand.NewPCG(9, 9)).Shuffle(len(rows), func(i, k int) { shuffled[i], shuffled[k] = shuffled[k], shuffled[i] })
	doubled := make([]string, 0, 2*len(rows))
	for _, row := range rows {
		doubled = append(doubled, row, row)
	}
	feet := slices.Clone(rows)
	for i, row := range rows {
		feet[i] = strings.TrimSpace(row) + ",70\n"
	}
	inFeet := strings.Replace(strings.Replace(string(columns), "width: 70 ft", "width-unit: ft", 1), "on: ON", "on: ON, width: W", 1)
	projected := func(code string) []string {
		system, err := crs.Parse(code)
		if err != nil {
			t.Fatal(err)
		}
		out := slices.Clone(rows)
		for i, row := range rows {
			cells := strings.Split(row, ",")
			place := make([]orb.Point, 1)
			for k := range place[0] {
				place[0][k], _ = strconv.ParseFloat(cells[k], 64)
			}
			if err := system.FromLonLat(place, place); err != nil {
				t.Fatal(err)
			}
			out[i] = fmt.Sprintf("%.6f,%.6f,%s", place[0][0], place[0][1], strings.Join(cells[2:], ","))
		}
		return out
	}
	want := applied(t, dir, log, mapped)
	middle := len(rows)/2 + 60 // of a pass
	for name, c := range map[string]struct {
		head, columns, crs string
		files              [][]string
		within             float64
		finds              string
	}{
		"shuffled":           {head, string(columns), "", [][]string{shuffled}, 0, "log-order"},
		"in two files":       {head, string(columns), "", [][]string{rows[middle:], rows[:middle]}, 1e-6, ""},
		"each row twice":     {head, string(columns), "", [][]string{doubled}, 0, "log-twice"},
		"in feet":            {strings.TrimSpace(head) + ",W\n", inFeet, "", [][]string{feet}, 1e-12, ""},
		"in feet of a state": {head, string(columns), "EPSG:2287", [][]string{projected("EPSG:2287")}, 1e-5, ""},
		"in UTM":             {head, string(columns), "EPSG:26915", [][]string{projected("EPSG:26915")}, 1e-5, ""},
		"in NAD 83":          {head, string(columns), "EPSG:4269", [][]string{rows}, 0, ""},
	} {
		logs := app.Logs{CRS: c.crs}
		folder := t.TempDir()
		for i, part := range c.files {
			path := filepath.Join(folder, fmt.Sprintf("part%d.csv", i))
			os.WriteFile(path, []byte(c.head+strings.Join(part, "")), 0o666)
			logs.Paths = append(logs.Paths, path)
		}
		logs.Maps = []string{filepath.Join(folder, "map.yaml")}
		os.WriteFile(logs.Maps[0], []byte(c.columns), 0o666)
		got, err := (app.Run{}).Applied(t.Context(), dir, app.InputsAt{}, logs)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		a, b := figures(want), figures(got)
		for i := range a {
			if math.Abs(a[i]-b[i]) > c.within*math.Abs(a[0]) {
				t.Errorf("%s: figure %d is %v, and %v of the log as it was", name, i, b[i], a[i])
			}
		}
		if c.finds != "" && !slices.ContainsFunc(got.Findings, func(f rx.Finding) bool { return f.Rule() == c.finds }) {
			t.Errorf("%s: no finding says %s", name, c.finds)
		}
	}
}

// figures are what the tables of a liquid layer say, the covered ground first.
func figures(g report.Ground) []float64 {
	p := g.Products[0]
	list := []float64{float64(p.Covered.Area), float64(p.Skip.Area), float64(p.Twice.Area), float64(p.Outside.Area), float64(p.Off.Area), float64(p.Driven), float64(p.OnTarget)}
	for _, c := range g.Liquids[0].Classes {
		list = append(list, float64(c.Area))
	}
	for _, amount := range []float64{p.Laid, p.Gaps, p.InField, p.OutField} {
		list = append(list, amount/p.Total)
	}
	return list
}

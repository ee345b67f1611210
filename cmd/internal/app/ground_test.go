package app_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/ground"
	"rxsplit/rx/write"
)

// aLog writes a log of straight passes 70 ft apart over the demo's field, on within it as
// far as a box tells, and the map of its columns.
func aLog(t *testing.T) (log, mapped string) {
	t.Helper()
	dir := t.TempDir()
	var b strings.Builder
	b.WriteString("LON,LAT,TIME,RATE,TGT,ON\n")
	at := 1_770_000_000
	for i := range 50 {
		lon := -90.4067 + float64(i)*21.336/75_400
		for k := range 120 {
			step := k
			if i%2 == 1 {
				step = 119 - k
			}
			lat := 47.3460 + float64(step)*6.7/111_200
			fmt.Fprintf(&b, "%.8f,%.8f,%d,30,30,1\n", lon, lat, at)
			at++
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
	log, mapped := aLog(t)
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
	log, mapped := aLog(t)
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
	log, mapped := aLog(t)
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
	log, mapped := aLog(t)
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

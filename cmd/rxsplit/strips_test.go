package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"rxsplit/label"
)

// stripPlan splits the invented field with six strips, and returns the plan's folder.
func stripPlan(t *testing.T, more ...string) (field, plan string) {
	t.Helper()
	field = t.TempDir()
	for _, name := range []string{"field.zip", "job.yaml"} {
		text, err := os.ReadFile("../internal/app/demo/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(field, name), text, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(field, "label.yaml"), label.DemoYAML(), 0o666); err != nil {
		t.Fatal(err)
	}
	plan = filepath.Join(t.TempDir(), "plan")
	args := append([]string{"split", filepath.Join(field, "field.zip"), "--job", filepath.Join(field, "job.yaml"), "--strips", "6", "--azimuth", "0", "--header", "30 ft", "--out", plan}, more...)
	if status, _, errs := readoutRun(t, args...); status != exitClean {
		t.Fatal(errs)
	}
	return field, plan
}

// feature is one of a layer, as a plain decoder of JSON reads it.
type feature struct {
	Properties map[string]float64
	Geometry   struct{ Coordinates json.RawMessage }
}

func (f feature) polygon(t *testing.T) (p orb.Polygon) {
	t.Helper()
	if err := json.Unmarshal(f.Geometry.Coordinates, &p); err != nil {
		t.Fatal(err)
	}
	return p
}

func featuresOf(t *testing.T, plan, name string) []feature {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(plan, name))
	var doc struct{ Features []feature }
	if err != nil || json.Unmarshal(text, &doc) != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return doc.Features
}

func stripsOf(t *testing.T, plan string) []feature {
	t.Helper()
	list := featuresOf(t, plan, "strips.geojson")
	if len(list) != 18 {
		t.Fatalf("%d polygons, want three for each of six strips", len(list))
	}
	return list
}

// harvested is an invented harvest of the invented field: passes of 30 ft northward, a point every
// 12 ft, 180 bu/ac with a slope across the field and a little up and down, and a gain where treated; around the strips alone.
func harvested(t *testing.T, plan string, gain float64) string {
	t.Helper()
	left := []orb.Polygon{}
	for _, f := range stripsOf(t, plan) {
		if f.Properties["treated"] == 0 {
			left = append(left, f.polygon(t))
		}
	}
	path := filepath.Join(t.TempDir(), "yield.csv")
	if err := os.WriteFile(path, []byte(harvest(left, gain)), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// harvest is the table of such a harvest, by the untreated strips.
func harvest(left []orb.Polygon, gain float64) string {
	const perFoot = 0.3048 / 111_190 // degrees of latitude
	aside := perFoot / math.Cos(47.35*math.Pi/180)
	var b strings.Builder
	b.WriteString("lon,lat,yield,distance,width\n")
	for pass := range 140 {
		x := -90.4075 + float64(30*pass+11)*aside
		for y := 47.3455; y < 47.3545; y += 12 * perFoot {
			if !besideStrips(left, orb.Point{x, y}) {
				continue
			}
			yield := 180 + 0.05*float64(pass) + 3*math.Sin(float64(pass)*1.7+y*4000)
			treated := true
			for _, p := range left {
				treated = treated && !planar.PolygonContains(p, orb.Point{x, y})
			}
			if treated {
				yield += gain
			}
			fmt.Fprintf(&b, "%.8f,%.8f,%.3f,144,30\n", x, y, yield)
		}
	}
	return b.String()
}

// besideStrips reports whether a place may be read for a strip, that is drawn northward.
func besideStrips(left []orb.Polygon, p orb.Point) bool {
	for _, one := range left {
		if box := one.Bound().Pad(0.0004); box.Contains(p) {
			return true
		}
	}
	return false
}

const harvestMap = `columns: {lon: lon, lat: lat, yield: yield, distance: distance, width: width}
yield-unit: bu/ac
distance-unit: in
width-unit: ft
header: 30 ft
price: 4.25 $/bu
cost: 9.50 $/ac
`

// From a plan with strips to what they say, and nobody types a strip: the gain that an invented
// harvest has is found inside the interval, and the folder is proved.
func TestStripsFromPlanToReadout(t *testing.T) {
	_, plan := stripPlan(t, "--kml")
	if !testing.Short() {
		if status, _, errs := readoutRun(t, "verify", plan); status != exitClean {
			t.Fatal(errs)
		}
	}
	out := filepath.Join(t.TempDir(), "said")
	status, text, errs := readoutRun(t, "readout", plan, "--yield", harvested(t, plan, 6), "--map", writeText(t, harvestMap), "--out", out, "--json")
	if status == exitFailed {
		t.Fatal(errs)
	}
	doc := said(t, text)
	if len(doc.Replicates) != 6 || doc.Verdict != "more" || doc.Interval[0] > 6 || doc.Interval[1] < 6 || math.Abs(doc.Mean-6) > 1 {
		t.Errorf("got %+v", doc)
	}
	if status, _, errs := readoutRun(t, "verify", out); status != exitClean {
		t.Errorf("verify: %s", errs)
	}
}

// Strips that the boom's log shows sprayed are named and left out; logs of another plan, and plans
// without strips or changed since, are refused.
func TestSprayedStripsAreLeftOut(t *testing.T) {
	if testing.Short() {
		t.Skip("writes several plans")
	}
	field, plan := stripPlan(t)
	yield, columns := harvested(t, plan, 6), writeText(t, harvestMap)
	logs := filepath.Join(t.TempDir(), "applied")
	logMap := writeText(t, "layer: liquid\ncolumns: {lon: lon, lat: lat, time: seconds, rate: rate}\ntime-form: epoch-s\nrate-unit: fl oz/ac\nwidth: 70 ft\n")
	if status, _, errs := readoutRun(t, "applied", plan, sprayedLog(t, plan, 2), "--map", logMap, "--out", logs); status == exitFailed {
		t.Fatal(errs)
	}
	status, text, errs := readoutRun(t, "readout", plan, "--applied", logs, "--yield", yield, "--map", columns, "--json")
	if status != exitFlagged {
		t.Fatalf("status %d: %s", status, errs)
	}
	doc := said(t, text)
	if len(doc.Replicates) != 5 || !strings.Contains(strings.Join(doc.Remarks, " "), "replicate 2: 100 % of its untreated strip was sprayed all the same") {
		t.Errorf("%d replicates, remarks %q", len(doc.Replicates), doc.Remarks)
	}
	_, other := stripPlan(t, "--seed", "9")
	bare := filepath.Join(t.TempDir(), "bare")
	readoutRun(t, "split", filepath.Join(field, "field.zip"), "--job", filepath.Join(field, "job.yaml"), "--out", bare)
	for _, c := range []struct {
		want string
		args []string
	}{
		{"is of another plan", []string{other, "--applied", logs}},
		{"leaves no strips untreated", []string{bare}},
		{"leave out --strips", []string{plan, "--strips", filepath.Join(plan, "strips.geojson")}},
		{"no plan is named", []string{"--applied", logs, "--strips", filepath.Join(plan, "strips.geojson")}},
	} {
		args := append([]string{"readout"}, c.args...)
		if status, _, errs := readoutRun(t, append(args, "--yield", yield, "--map", columns)...); status != exitFailed || !strings.Contains(errs, c.want) {
			t.Errorf("%v: %d, %s", c.args, status, errs)
		}
	}
	if err := os.WriteFile(filepath.Join(plan, "strips.geojson"), []byte("{}"), 0o666); err != nil {
		t.Fatal(err)
	}
	if status, _, errs := readoutRun(t, "readout", plan, "--yield", yield, "--map", columns); status != exitFailed || !strings.Contains(errs, "strips.geojson") {
		t.Errorf("a changed layer of strips is read: %s", errs)
	}
}

// sprayedLog is the log of a boom that drove north through the middle of each strip, off over all
// of them but one.
func sprayedLog(t *testing.T, plan string, sprayed float64) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("lon,lat,seconds,rate\n")
	second := 0
	for _, f := range stripsOf(t, plan) {
		if f.Properties["treated"] == 1 {
			continue
		}
		box := f.polygon(t).Bound()
		for y := box.Min[1] - 0.0004; y < box.Max[1]+0.0004; y += 0.00002 {
			rate := 30.0
			if box.Min[1] < y && y < box.Max[1] && f.Properties["rep"] != sprayed {
				rate = 0
			}
			second++
			fmt.Fprintf(&b, "%.8f,%.8f,%d,%v\n", box.Center()[0], y, second, rate)
		}
		second += 60
	}
	path := filepath.Join(t.TempDir(), "boom.csv")
	if err := os.WriteFile(path, []byte(b.String()), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// What the plan leaves out agrees wherever it is told: manifest, liquid layer, and the zones.
func TestStripsAgreeEverywhere(t *testing.T) {
	_, plan := stripPlan(t)
	var m struct {
		Strips struct {
			Area   float64
			Seed   int
			Strips []struct{ Area float64 }
		}
		Layers []struct {
			Name string
			Area float64
		}
		Summary struct {
			Untreated float64 `json:"untreated_strips_area"`
		}
	}
	text, err := os.ReadFile(filepath.Join(plan, "plan.json"))
	if err != nil || json.Unmarshal(text, &m) != nil {
		t.Fatal(err)
	}
	off, on := 0.0, 0.0
	for _, f := range featuresOf(t, plan, "liquid.geojson") {
		if f.Properties["STAB_RATE"] == 0 && f.Properties["MIX_RATE"] == 0 {
			off += f.Properties["ACRES"]
		} else {
			on += f.Properties["ACRES"]
		}
	}
	if m.Strips.Seed != 1 || len(m.Strips.Strips) != 6 || math.Abs(off-m.Strips.Area) > 1e-4 || math.Abs(m.Summary.Untreated-m.Strips.Area) > 1e-9 || math.Abs(on-m.Layers[1].Area) > 1e-3 {
		t.Errorf("%v off and %v on, of %+v", off, on, m)
	}
}

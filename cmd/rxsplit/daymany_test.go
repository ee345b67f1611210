package main

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rxsplit/geo/invent"
	"rxsplit/label"
)

const manyJob = `label: label.yaml
rate-field: DRY_LBAC
rate-unit: lb/ac
blend: [%s]
blender: {batch: 3 ton}
spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}}
boom: {width: 70 ft, spacing: 20 in, volume: 10 gal/ac, tank: 500 gal, nozzles: ["04", "05", "06"], pressure: {min: 20 psi, max: 70 psi}, speed: {low: 11 mph, usual: 15 mph, high: 18 mph}}
`

// manyFields writes a day of 40 invented fields in three coordinate systems, by two jobs, three of the files
// bad, and returns the folder. One field in five has rates that no loading serves.
func manyFields(t *testing.T) string {
	dir, r, list := t.TempDir(), rand.New(rand.NewPCG(40, 1)), "fields:\n"
	put := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	put("label.yaml", string(label.DemoYAML()))
	put("urea.yaml", fmt.Sprintf(manyJob, "{name: urea, grade: 46-0-0, share: 100 %, density: 48 lb/ft3}"))
	put("mix.yaml", fmt.Sprintf(manyJob, "{name: urea, grade: 46-0-0, share: 60 %, density: 48 lb/ft3}, {name: ammonium sulfate, grade: 21-0-0-24S, share: 40 %, density: 66 lb/ft3}"))
	for i := range 40 {
		kind := i % 3
		name := fmt.Sprintf("f%02d", i+1) + []string{".geojson", ".zip", ".shp"}[kind]
		l := invent.FourZones()
		if err := reproject(l, []int{4326, 26915, 5070}[kind]); err != nil {
			t.Fatal(err)
		}
		base, spread := 130+r.Float64()*120, 0.5
		if i%5 == 0 {
			spread = 1.5
		}
		for z := range l.Rates {
			l.Rates[z] = math.Round(base * (1 + spread*float64(z)/4 + 0.1*r.Float64()))
		}
		if i == 7 {
			l.Rates[2] = -20
		}
		save(t, filepath.Join(dir, name), l)
		list += "  - {file: " + name
		if i%2 == 1 {
			list += ", job: mix.yaml"
		}
		list += "}\n"
	}
	put("f12.shp", "no shapefile")
	put("f14.zip", "no zip")
	put("day.yaml", list)
	return dir
}

// ordered is a line of a plan's sheets that says what to order of a product.
var ordered = regexp.MustCompile(`(?m)^  (urea|ammonium sulfate|stabilizer|drying agent) +[0-9,.]+ +\S+ +([0-9,.]+) +(?:lb|fl oz)$`)

// What a day of many fields orders is what the sheets of its fields do, to the last unit that they
// print; each blend has its own loadings; the bad files stand in the list; all of it is proved.
func TestDayOfManyFields(t *testing.T) {
	if testing.Short() {
		t.Skip("plans 37 fields, twice")
	}
	dir := manyFields(t)
	out := filepath.Join(dir, "day")
	said := program(t, exitFlagged, "day", filepath.Join(dir, "day.yaml"), "--job", filepath.Join(dir, "urea.yaml"), "--out", out)
	if !strings.Contains(string(said), "37 of 40 fields served") {
		t.Fatalf("%s", said)
	}
	program(t, exitClean, "verify", out)
	text, err := os.ReadFile(filepath.Join(out, "day.json"))
	if err != nil {
		t.Fatal(err)
	}
	var doc manyDoc
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	sums, sheets := map[string]float64{}, map[string]float64{}
	blends, boom := map[int]int{}, 0
	for i, f := range doc.Fields {
		if bad := i == 7 || i == 11 || i == 13; bad != (f.Error != "") || bad != (f.Blend == nil) {
			t.Errorf("field %d: %q", i+1, f.Error)
		}
		if f.Error != "" {
			continue
		}
		if *f.Blend != i%2 {
			t.Errorf("field %d is of blend %d", i+1, *f.Blend)
		}
		if f.Loading == nil {
			boom++
		} else if *f.Loading < f.Window.Min || *f.Loading > f.Window.Max {
			t.Errorf("field %d: %v outside %v", i+1, *f.Loading, f.Window)
		}
		text, err := os.ReadFile(filepath.Join(out, f.Folder, "sheets.txt"))
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range ordered.FindAllStringSubmatch(string(text), -1) {
			v, err := strconv.ParseFloat(strings.ReplaceAll(m[2], ",", ""), 64)
			if err != nil {
				t.Fatal(err)
			}
			sums[m[1]], sheets[m[1]] = sums[m[1]]+v, sheets[m[1]]+1
		}
	}
	for _, l := range doc.Loadings {
		blends[l.Blend]++
		for _, i := range l.Fields {
			if i%2 != l.Blend || *doc.Fields[i].Loading != l.Value {
				t.Errorf("field %d at loading %v of blend %d", i+1, l.Value, l.Blend)
			}
		}
	}
	if doc.Opened != len(doc.Loadings) { // no field has one of its own
		t.Errorf("%d loadings are opened, and %d shared", doc.Opened, len(doc.Loadings))
	}
	if len(blends) != 2 || boom < 5 || sheets["stabilizer"] != 37 {
		t.Errorf("loadings by blend %v, %d fields by boom, %v sheets", blends, boom, sheets["stabilizer"])
	}
	// In the units of the sheets: whole fluid ounces are dosed, so that nothing at all may be missing of
	// them; pounds are printed whole, of drying agent to the hundredth.
	for what, unit := range map[string]struct{ in, printed float64 }{"urea": {2000, 1}, "ammonium sulfate": {2000, 1}, "stabilizer": {128, 0}, "drying agent": {1, 0.01}} {
		at := slices.IndexFunc(doc.Orders, func(o manyOrder) bool { return o.What == what })
		if at < 0 {
			t.Fatalf("no %s: %v", what, doc.Orders)
		}
		o := doc.Orders[at]
		if off := math.Abs(o.Amount*unit.in - sums[what]); off > unit.printed/2*sheets[what]+1e-6 {
			t.Errorf("%s: %v ordered, the sheets of %v fields say %v", what, o.Amount*unit.in, sheets[what], sums[what])
		}
		if math.Abs(o.Of[0]+o.Of[1]-o.Amount) > 1e-9*o.Amount {
			t.Errorf("%s: %v for blends of %v", what, o.Of, o.Amount)
		}
	}
	page, err := os.ReadFile(filepath.Join(out, "day.html"))
	if err != nil || strings.Count(string(page), `class="small-map"`) != 37 || !strings.Contains(string(page), "f14.zip: is no zip archive") {
		t.Errorf("%v: %d small maps", err, strings.Count(string(page), `class="small-map"`))
	}
}

// manyDoc is what the test reads of day.json.
type manyDoc struct {
	Fields []struct {
		Folder, Error string
		Blend         *int
		Loading       *float64
		Window        struct {
			Min float64 `json:"loading_min"`
			Max float64 `json:"loading_max"`
		}
	}
	Opened   int `json:"opened_loadings"`
	Loadings []struct {
		Blend  int
		Value  float64
		Fields []int
	}
	Orders []manyOrder
}

type manyOrder struct {
	What   string
	Amount float64
	Of     []float64 `json:"of_blends"`
}

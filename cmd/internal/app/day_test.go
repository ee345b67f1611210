package app

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/day"
)

// dayFolder writes n fields of four zones each side by side, their rates drawn.
func dayFolder(t *testing.T, r *rand.Rand, n int) string {
	t.Helper()
	dir := t.TempDir()
	for i := range n {
		text, base := "", 120+r.Float64()*150
		for z := range 4 {
			x, y := -90.4+0.004*float64(z), 40+0.01*float64(i)
			if z > 0 {
				text += ","
			}
			text += fmt.Sprintf(`{"type":"Feature","properties":{"RATE":%d,"POTASH":90},"geometry":{"type":"Polygon","coordinates":[[[%[2]f,%[3]f],[%[4]f,%[3]f],[%[4]f,%[5]f],[%[2]f,%[5]f],[%[2]f,%[3]f]]]}}`,
				int(base*(1+r.Float64()*0.9)), x, y, x+0.004, y+0.004)
		}
		name := filepath.Join(dir, fmt.Sprintf("f%02d.geojson", i))
		if err := os.WriteFile(name, []byte(`{"type":"FeatureCollection","features":[`+text+`]}`), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func dayFiles(t *testing.T, paths ...string) DayList {
	t.Helper()
	files, err := ListDay(paths)
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// Of drawn days: what a shared loading puts on every zone of its fields is on label with rates
// off by 5 % both ways, orders are what the fields take, and each loading has no more room to
// be joined with another.
func TestDayIsOnLabel(t *testing.T) {
	dir := t.TempDir()
	profile := filepath.Join(dir, "label.yaml")
	if err := os.WriteFile(profile, label.DemoYAML(), 0o666); err != nil {
		t.Fatal(err)
	}
	shared := 0
	for seed := range 6 {
		folder := dayFolder(t, rand.New(rand.NewPCG(uint64(seed), 1)), 9)
		q, err := Resolve(Values{"label": {profile}, "rate-field": {"RATE"}, "rate-unit": {"lb/ac"}})
		if err != nil {
			t.Fatal(err)
		}
		worked, err := Run{}.Day(context.Background(), dayFiles(t, folder), q, DayAsked{Packages: []string{"2.5 gal"}})
		if err != nil {
			t.Fatal(err)
		}
		d := worked.Shown
		var volume, dry float64
		var windows []day.Window
		for i, f := range d.Fields {
			if f.Err != nil {
				t.Fatal(f.Err)
			}
			if f.Window != nil {
				windows = append(windows, *f.Window)
			}
			if !f.Served() {
				continue
			}
			dry += float64(f.Mass / unit.Ton)
			low, high := float64(f.Rate.Min), float64(f.Rate.Max)
			if f.Shared >= 0 {
				shared++
				if low*0.95 < 20 || high*1.05 > 40 {
					t.Errorf("seed %d, field %d: %v to %v fl oz/ac is off 20 to 40 with rates off by 5 %%", seed, i, low, high)
				}
				volume += float64(f.Mean) * float64(f.Area)
			}
		}
		if len(d.Loadings) != len(day.Fewest(windows)) {
			t.Errorf("seed %d: %d loadings, the fewest are %d", seed, len(d.Loadings), len(day.Fewest(windows)))
		}
		for _, o := range d.Orders {
			switch {
			case o.What == "dry blend" && math.Abs(o.Amount-dry) > 1e-9*dry:
				t.Errorf("seed %d: %v ton ordered, fields take %v", seed, o.Amount, dry)
			case o.What == "stabilizer" && o.Amount*128 < volume*(1-1e-9):
				t.Errorf("seed %d: %v gal ordered, those that share take %v fl oz", seed, o.Amount, volume)
			case o.What == "stabilizer" && math.Abs(float64(o.Packs[0].Count)*2.5-o.Left-o.Amount) > 1e-6:
				t.Errorf("seed %d: packages %v leave %v of %v", seed, o.Packs, o.Left, o.Amount)
			}
		}
	}
	if shared < 6 {
		t.Errorf("%d fields share in all", shared)
	}
}

const dayJob = `label: label.yaml
rate-field: RATE
rate-unit: lb/ac
blend: [{name: urea, grade: 46-0-0, share: 100 %, density: 48 lb/ft3}]
blender: {batch: 3 ton}
spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}}
boom: {width: 70 ft, spacing: 20 in, volume: 10 gal/ac, tank: 500 gal, nozzles: ["04", "05", "06"], pressure: {min: 20 psi, max: 70 psi}, speed: {low: 11 mph, usual: 15 mph, high: 18 mph}}
prices: {stabilizer: 40 $/gal, drying-agent: 0.60 $/lb, blending: 12 $/ton, dry-spreading: 7.50 $/ac, wet-boom: 4 $/ac, extra-pass: 7.50 $/ac, nitrogen: 0.60 $/lb}
`

// What a shared field costs is what a check of it alone says of that loading, but for the
// rounding of batches to a meter's steps, 1 in 1000; the day costs what its fields and its
// change-overs do.
func TestDayCostsWhatItsFieldsDo(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string][]byte{"label.yaml": label.DemoYAML(), "job.yaml": []byte(dayJob)} {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	given := Values{"job": {filepath.Join(dir, "job.yaml")}}
	q, err := Resolve(given)
	if err != nil {
		t.Fatal(err)
	}
	shared := 0
	for seed := range 3 {
		folder := dayFolder(t, rand.New(rand.NewPCG(uint64(seed), 2)), 6)
		worked, err := Run{}.Day(context.Background(), dayFiles(t, folder), q, DayAsked{Change: "60 $"})
		if err != nil {
			t.Fatal(err)
		}
		d := worked.Shown
		sum := 60 * float64(d.Opened)
		for i, f := range d.Fields {
			if f.Served() {
				sum += *f.Cost
			}
			if f.Shared < 0 {
				continue
			}
			shared++
			given["loading"] = []string{d.Loadings[f.Shared].Value.Text(unit.US)}
			alone, err := Resolve(given)
			if err != nil {
				t.Fatal(err)
			}
			r, err := Run{}.Check(context.Background(), f.Path, alone)
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range r.Ways {
				if w.Name == f.Way && math.Abs(w.Cost.High-*f.Cost) > 1e-3*w.Cost.High {
					t.Errorf("seed %d, field %d: $%.2f, alone at %v $%.2f", seed, i, *f.Cost, given["loading"], w.Cost.High)
				}
			}
		}
		delete(given, "loading")
		if d.Cost == nil || math.Abs(d.Cost.High-sum) > 1e-6*sum {
			t.Errorf("seed %d: %v, its fields cost $%.2f", seed, d.Cost, sum)
		}
	}
	if shared == 0 {
		t.Error("no field shares")
	}
}

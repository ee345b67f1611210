package app

import (
	"context"
	"encoding/json"
	"errors"
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

	"rxsplit/cmd/internal/report"
	"rxsplit/label"
	"rxsplit/rx"
	"rxsplit/rx/write"
)

// writeDay writes a day of invented fields and counts the steps it took.
func writeDay(t *testing.T, folder, out string, force bool, stop int) (d *Day, steps int, err error) {
	t.Helper()
	profile := filepath.Join(t.TempDir(), "label.yaml")
	os.WriteFile(profile, label.DemoYAML(), 0o666)
	q, err := Resolve(Values{"label": {profile}, "rate-field": {"RATE"}, "rate-unit": {"lb/ac"}})
	if err != nil {
		t.Fatal(err)
	}
	d, err = Run{}.Day(context.Background(), dayFiles(t, folder), q, DayAsked{})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	counted := make(chan struct{}, 1000)
	r := Run{Progress: func(Step) {
		counted <- struct{}{}
		if len(counted) == stop {
			cancel()
		}
	}}
	err = r.WriteDay(ctx, out, d, force)
	return d, len(counted), err
}

func verifyDay(dir string) error {
	_, ok, err := Run{}.VerifyResults(context.Background(), dir, InputsAt{})
	if !ok {
		return errors.New("it holds no results")
	}
	return err
}

// What a day orders is what the plans of its fields dose, to the last unit.
func TestDayOrdersWhatSheetsDose(t *testing.T) {
	folder, out := dayFolder(t, rand.New(rand.NewPCG(3, 1)), 7), filepath.Join(t.TempDir(), "day")
	d, _, err := writeDay(t, folder, out, false, 0)
	if err != nil {
		t.Fatal(err)
	}
	sum, plans := 0.0, 0
	for _, f := range d.Shown.Fields {
		if !f.Served() {
			continue
		}
		_, _, result, err := Run{}.prove(context.Background(), filepath.Join(out, f.Folder), InputsAt{})
		if err != nil {
			t.Fatal(err)
		}
		if f.Shared >= 0 && result.Plan.Way.Loads[0].Loading != d.Shown.Loadings[f.Shared].Value {
			t.Errorf("%s: the plan is at %v, the day at %v", f.Path, result.Plan.Way.Loads[0].Loading, d.Shown.Loadings[f.Shared].Value)
		}
		gallons, _ := packed(result.Plan.Way.Metered, d.Shown.Units)
		sum, plans = sum+gallons, plans+1
	}
	at := slices.IndexFunc(d.Shown.Orders, func(o report.DayOrder) bool { return o.What == "stabilizer" })
	if got := d.Shown.Orders[at].Amount; plans < 3 || math.Abs(got-sum) > 1e-9*sum {
		t.Errorf("%d plans dose %v, ordered are %v", plans, sum, got)
	}
	if err := verifyDay(out); err != nil {
		t.Error(err)
	}
}

// Wherever the work is stopped, there is nothing, or the day that stood there before.
func TestDayIsWholeOrNothing(t *testing.T) {
	folder, out := dayFolder(t, rand.New(rand.NewPCG(5, 1)), 3), filepath.Join(t.TempDir(), "day")
	_, steps, err := writeDay(t, folder, out, false, 0)
	if err != nil || steps < 3 {
		t.Fatal(steps, err)
	}
	before, _ := os.ReadFile(filepath.Join(out, dayName))
	for stop := 1; stop <= steps; stop++ {
		other := filepath.Join(filepath.Dir(out), "other")
		for _, place := range []string{out, other} {
			if _, _, err := writeDay(t, folder, place, place == out, stop); !errors.Is(err, context.Canceled) {
				t.Errorf("stopped at step %d: %v", stop, err)
			}
		}
		if after, _ := os.ReadFile(filepath.Join(out, dayName)); string(after) != string(before) {
			t.Errorf("stopped at step %d, the day is another", stop)
		}
		if entries, _ := os.ReadDir(filepath.Dir(out)); len(entries) != 1 {
			t.Errorf("stopped at step %d, there is %v", stop, entries)
		}
	}
	if err := verifyDay(out); err != nil {
		t.Error(err)
	}
}

// Fields whose plans can't be worked out when it comes to writing stand in the list with their reasons; the
// others are planned without them, as if they had failed at once, written and proved.
func TestDayGoesOnWithoutAFieldThatFails(t *testing.T) {
	dir := t.TempDir()
	folder, profile := dayFolder(t, rand.New(rand.NewPCG(3, 1)), 5), filepath.Join(dir, "label.yaml")
	os.WriteFile(profile, label.DemoYAML(), 0o666)
	q, err := Resolve(Values{"label": {profile}, "rate-field": {"RATE"}, "rate-unit": {"lb/ac"}})
	if err != nil {
		t.Fatal(err)
	}
	d, err := Run{}.Day(t.Context(), dayFiles(t, folder), q, DayAsked{})
	if err != nil {
		t.Fatal(err)
	}
	var served []int
	for i, f := range d.Shown.Fields {
		if f.Served() {
			served = append(served, i)
		}
	}
	if len(served) < 4 {
		t.Fatal("served: ", served)
	}
	gone, garbled := d.Shown.Fields[served[0]], d.Shown.Fields[served[2]]
	os.Remove(gone.Path)
	os.WriteFile(garbled.Path, []byte("{"), 0o666)
	out := filepath.Join(dir, "day")
	if err := (Run{}).WriteDay(t.Context(), out, d, false); err != nil {
		t.Fatal(err)
	}
	for i, f := range d.Shown.Fields {
		failed := i == served[0] || i == served[2]
		if slices.Contains(served, i) && (f.Err != nil) != failed || failed && (f.Served() || f.Folder != "" || !strings.HasPrefix(f.Err.Error(), f.Path+":")) {
			t.Errorf("%s: %v, served by %q in %q", f.Path, f.Err, f.Way, f.Folder)
		}
	}
	if d.Shown.Whole() {
		t.Error("the day calls itself whole")
	}
	if entries, _ := filepath.Glob(filepath.Join(out, "*", "plan.json")); len(entries) != len(served)-2 {
		t.Errorf("plans: %v", entries)
	}
	if err := verifyDay(out); err != nil {
		t.Error(err)
	}
	os.WriteFile(gone.Path, []byte("{"), 0o666) // what was refused then stays told as it was
	if err := verifyDay(out); err != nil {
		t.Error(err)
	}
	os.Remove(gone.Path)
	again, err := Run{}.Day(t.Context(), dayFiles(t, folder), q, DayAsked{})
	if err != nil || len(again.Shown.Fields) != 4 || !slices.EqualFunc(again.Shown.Loadings, d.Shown.Loadings, func(a, b report.DayLoading) bool { return a.Value == b.Value }) {
		t.Errorf("%v: loadings %v, planned at once %v", err, d.Shown.Loadings, again.Shown.Loadings)
	}

	// One field that is left is written.
	last, err := Run{}.Day(t.Context(), dayFiles(t, folder), q, DayAsked{})
	if err != nil {
		t.Fatal(err)
	}
	left := slices.IndexFunc(last.Shown.Fields, func(f report.DayField) bool { return f.Served() })
	for i, f := range last.Shown.Fields {
		if i != left {
			os.Remove(f.Path)
		}
	}
	if err := (Run{}).WriteDay(t.Context(), filepath.Join(dir, "last"), last, false); err != nil {
		t.Error("one field left: ", err)
	}
	if entries, _ := filepath.Glob(filepath.Join(dir, "last", "*", "plan.json")); len(entries) != 1 {
		t.Errorf("one field left, plans: %v", entries)
	}

	// Where no field is left, nothing is written, and each reason is told.
	for _, f := range again.Shown.Fields {
		os.Remove(f.Path)
	}
	if err := (Run{}).WriteDay(t.Context(), filepath.Join(dir, "none"), again, false); err == nil || strings.Count(err.Error(), "no such file") < 2 {
		t.Errorf("nothing left: %v", err)
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 3 {
		t.Errorf("left behind: %v", entries)
	}
}

// A day of too many fields is refused before a file is read.
func TestDayHasRoomForSomeFields(t *testing.T) {
	profile := filepath.Join(t.TempDir(), "label.yaml")
	os.WriteFile(profile, label.DemoYAML(), 0o666)
	q, err := Resolve(Values{"label": {profile}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := (Run{}).Day(t.Context(), DayList{Fields: make([]DayFile, mostFields+1)}, q, DayAsked{}); err == nil || !strings.Contains(err.Error(), "301 fields are too many") {
		t.Error(err)
	}
}

// A day that names a job which it doesn't keep is told so.
func TestDayKeepsItsJobs(t *testing.T) {
	folder, out := dayFolder(t, rand.New(rand.NewPCG(5, 1)), 2), filepath.Join(t.TempDir(), "day")
	if _, _, err := writeDay(t, folder, out, false, 0); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(out, dayName)
	text, _ := os.ReadFile(name)
	for _, job := range []string{"7", "-1"} {
		os.WriteFile(name, []byte(strings.Replace(string(text), `"priority":2`, `"job":`+job+`,"priority":2`, 1)), 0o666)
		if err := verifyDay(out); err == nil || !strings.Contains(err.Error(), "day.json: it keeps no job "+job) {
			t.Errorf("job %s: %v", job, err)
		}
	}
}

// Each file of a day's folder is proved: one byte more is found, and named.
func TestDayProvesEveryFile(t *testing.T) {
	folder, out := dayFolder(t, rand.New(rand.NewPCG(5, 1)), 3), filepath.Join(t.TempDir(), "day")
	if _, _, err := writeDay(t, folder, out, false, 0); err != nil {
		t.Fatal(err)
	}
	files := 0
	filepath.WalkDir(out, func(path string, e os.DirEntry, _ error) error {
		if e.IsDir() {
			return nil
		}
		if files++; testing.Short() && files%4 != 0 {
			return nil
		}
		name, _ := filepath.Rel(out, path)
		text, _ := os.ReadFile(path)
		os.WriteFile(path, append(slices.Clone(text), ' '), 0o666)
		err := verifyDay(out)
		var proof *write.VerifyError
		var changed *write.Error // plan.json keeps a digest of itself
		if !errors.As(err, &proof) && !errors.As(err, &changed) || !strings.Contains(filepath.ToSlash(err.Error()), filepath.ToSlash(name)) {
			t.Errorf("%s: %v", name, err)
		}
		os.WriteFile(path, text, 0o666)
		return nil
	})
	if err := verifyDay(out); err != nil || files < 20 {
		t.Error(files, err)
	}
}

// With a blender, what is to be had at hand is what the fields' sheets have in all: full batches, as the
// scale weighs and the meter doses them. The costs are those of the plans, and trucks those of their spreader cards.
func TestDayOrdersFullBatches(t *testing.T) {
	dir := t.TempDir()
	job := strings.Replace(dayJob, "{swath: 70 ft,", "{swath: 70 ft, truck: 8 ton,", 1)
	for name, text := range map[string][]byte{"label.yaml": label.DemoYAML(), "job.yaml": []byte(job)} {
		os.WriteFile(filepath.Join(dir, name), text, 0o666)
	}
	q, err := Resolve(Values{"job": {filepath.Join(dir, "job.yaml")}})
	if err != nil {
		t.Fatal(err)
	}
	d, err := Run{}.Day(t.Context(), dayFiles(t, dayFolder(t, rand.New(rand.NewPCG(4, 2)), 4)), q, DayAsked{})
	if err == nil {
		err = Run{}.WriteDay(t.Context(), filepath.Join(dir, "day"), d, false)
	}
	if err != nil {
		t.Fatal(err)
	}
	full := regexp.MustCompile(`(?m)^ *(Dry|Stabilizer|Drying agent) in all .*full batches make ([0-9,.]+) `)
	sums, cost := map[string]float64{}, 0.0
	for i, f := range d.Shown.Fields {
		sheets, err := os.ReadFile(filepath.Join(dir, "day", f.Folder, "sheets.txt"))
		if err != nil || f.Shared < 0 {
			t.Fatal(f.Path, f.Shared, err)
		}
		for _, m := range full.FindAllStringSubmatch(string(sheets), -1) {
			v, _ := strconv.ParseFloat(strings.ReplaceAll(m[2], ",", ""), 64)
			sums[m[1]] += v
		}
		h := d.Shown.Hauls[slices.IndexFunc(d.Shown.Hauls, func(h rx.Haul) bool { return h.Field == i })]
		if want := fmt.Sprintf(`Trucks +%d truck loads? \(%d batch(es)? on each(, %d batch(es)? on the last)?\)`, h.Loads, h.Full, h.Last); h.Full == 0 || !regexp.MustCompile(want).Match(sheets) {
			t.Errorf("%s: the day has %+v; its spreader card has no %s", f.Path, h, want)
		}
		manifest, err := write.ReadManifest(filepath.Join(dir, "day", f.Folder))
		if err != nil {
			t.Fatal(err)
		}
		var way struct{ Cost struct{ High float64 } }
		if err := json.Unmarshal(manifest.Summary, &way); err != nil || math.Abs(way.Cost.High-*f.Cost) > 1e-6 {
			t.Errorf("%s: the day says $%v, its plan $%v, %v", f.Path, *f.Cost, way.Cost.High, err)
		}
		cost += *f.Cost
	}
	for _, o := range d.Shown.Orders {
		want := map[string]float64{"urea": sums["Dry"] / 2000, "stabilizer": sums["Stabilizer"] / 128, "drying agent": sums["Drying agent"]}[o.What]
		if math.Abs(o.Amount-want) > 1e-9*want {
			t.Errorf("%s: %v %s ordered, the sheets make %v", o.What, o.Amount, o.Unit, want)
		}
	}
	if len(d.Shown.Orders) != 3 || math.Abs(d.Shown.Cost.High-cost) > 1e-6 {
		t.Errorf("orders %v, cost $%v, the fields' $%v", d.Shown.Orders, d.Shown.Cost.High, cost)
	}
}

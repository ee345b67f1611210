package app_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/geo/invent"
	"rxsplit/label"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// A front end: a check, the plan of a way, and its proof.
func Example() {
	dir, err := os.MkdirTemp("", "example")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	err = app.Demo(filepath.Join(dir, "demo"), func(field, job string) error {
		ctx, run := context.Background(), app.Run{}
		q, err := app.Resolve(app.Values{"job": {job}, "way": {"loads"}})
		if err != nil {
			return err
		}
		result, err := run.Check(ctx, field, q)
		if err != nil {
			return err
		}
		fmt.Println(len(result.Prescription.Zones), "zones, the best way", result.Ways[0].Name)
		plan := filepath.Join(dir, "plan")
		_, manifest, err := run.Split(ctx, field, q, app.Target{Dir: plan})
		if err != nil {
			return err
		}
		fmt.Println(manifest.Way, "in", len(manifest.Layers), "layers")
		_, err = run.Verify(ctx, plan, app.InputsAt{})
		return err
	})
	if err != nil {
		fmt.Println(app.Explain(err).Text)
	}
	// Output:
	// 63 zones, the best way wet-boom
	// loads in 2 layers
}

// demo makes the demo's folder, and returns its field and what its job file asks for.
func demo(t testing.TB, v app.Values) (field string, q *app.Request) {
	t.Helper()
	err := app.Demo(filepath.Join(t.TempDir(), "demo"), func(path, job string) (err error) {
		field, v["job"] = path, []string{job}
		q, err = app.Resolve(v)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return field, q
}

// A piece of work that is canceled at any of its steps says so, goes no further, and
// leaves nothing behind.
func TestCanceledAtEveryStep(t *testing.T) {
	_, q := demo(t, app.Values{})
	field := rxtest.Write(t, invent.FourZones()) // as many steps as with more zones
	plan := filepath.Join(t.TempDir(), "plan")
	if _, _, err := (app.Run{}).Split(t.Context(), field, q, app.Target{Dir: plan}); err != nil {
		t.Fatal(err)
	}
	if _, _, err := (app.Run{}).Approve(t.Context(), plan, app.InputsAt{}, rx.Approval{By: "A. Nobody (invented)"}); err != nil {
		t.Fatal(err)
	}
	log, mapped, laid, strips := oneDrive(t)
	g, err := (app.Run{}).Applied(t.Context(), plan, app.InputsAt{}, app.Logs{Paths: []string{log}, Maps: []string{mapped}})
	if err == nil {
		err = (app.Run{}).WriteGround(t.Context(), laid, g)
	}
	if err != nil {
		t.Fatal(err)
	}
	for name, work := range map[string]func(context.Context, app.Run, string) error{
		"check": func(ctx context.Context, r app.Run, _ string) error { _, err := r.Check(ctx, field, q); return err },
		"verify": func(ctx context.Context, r app.Run, _ string) error {
			_, err := r.Verify(ctx, plan, app.InputsAt{})
			return err
		},
		"split": func(ctx context.Context, r app.Run, dir string) error {
			_, _, err := r.Split(ctx, field, q, app.Target{Dir: filepath.Join(dir, "plan")})
			return err
		},
		"inspect": func(ctx context.Context, r app.Run, _ string) error {
			_, err := r.Inspect(ctx, field, app.Values{})
			return err
		},
		"approve": func(ctx context.Context, r app.Run, _ string) error {
			_, _, err := r.Approve(ctx, plan, app.InputsAt{}, rx.Approval{})
			return err
		},
		"passes": func(ctx context.Context, r app.Run, dir string) error {
			g, err := r.Passes(ctx, plan, app.InputsAt{}, app.PassesAsked{})
			if err == nil {
				err = r.WriteGround(ctx, filepath.Join(dir, "passes"), g)
			}
			return err
		},
		"applied": func(ctx context.Context, r app.Run, dir string) error {
			g, err := r.Applied(ctx, plan, app.InputsAt{}, app.Logs{Paths: []string{log}, Maps: []string{mapped}})
			if err == nil {
				err = r.WriteGround(ctx, filepath.Join(dir, "applied"), g)
			}
			return err
		},
		"record": func(ctx context.Context, r app.Run, dir string) error {
			rec, err := r.Record(ctx, plan, app.InputsAt{}, app.RecordFrom{Applied: laid})
			if err == nil {
				err = r.WriteRecord(ctx, filepath.Join(dir, "record"), rec)
			}
			return err
		},
		"verify what logs say": func(ctx context.Context, r app.Run, _ string) error {
			_, _, err := r.VerifyResults(ctx, laid, app.InputsAt{})
			return err
		},
		"readout": func(ctx context.Context, r app.Run, dir string) error {
			out, err := r.Readout(ctx, strips)
			if err == nil {
				err = r.WriteReadout(ctx, filepath.Join(dir, "readout"), out)
			}
			return err
		},
	} {
		var all []app.Step
		if err := work(t.Context(), app.Run{Progress: func(s app.Step) { all = append(all, s) }}, t.TempDir()); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if testing.Short() {
			all = all[:1]
		}
		for at := range all {
			canceledAt(t, name, at, work)
			if s := all[at]; !slices.Contains([]string{"verify", "rename"}, s.Stage) && (s.Total == 0 || s.Stage != "write" && s.Stage != "ground") { // what writes and lays looks by itself
				canceledFor(t, name, at, 1, work)
				if slices.Contains([]string{"write", "bytes", "look-ahead"}, s.Stage) {
					canceledFor(t, name, at, 2, work)
				}
			}
		}
	}
}

// oneDrive writes the log of one pass over the first of the four zones, the map of its columns, and
// the map of a public yield map; laid is where what the log says may be written.
func oneDrive(t *testing.T) (log, mapped, laid string, strips app.Harvest) {
	t.Helper()
	dir, box := t.TempDir(), invent.FourZones().Shapes.Bound(0)
	text := "LON,LAT,TIME,RATE\n"
	for i := range 50 {
		text += fmt.Sprintf("%.8f,%.8f,%d,30\n", box.Center()[0], box.Min[1]+float64(i)*0.00006, 1_770_000_000+i)
	}
	const yields = "../../../rx/readout/testdata/yieldmap/"
	names := []string{filepath.Join(dir, "log.csv"), filepath.Join(dir, "map.yaml"), filepath.Join(dir, "yield.yaml")}
	for i, text := range []string{
		text,
		"columns: {lon: LON, lat: LAT, time: TIME, rate: RATE}\ntime-form: epoch-s\nrate-unit: fl oz/ac\nwidth: 70 ft\nlayer: liquid\n",
		"columns: {lon: lon, lat: lat, yield: yield_buac, distance: dist_in}\nyield-unit: bu/ac\ndistance-unit: in\nheader: 360 in\ninside: point\n",
	} {
		if err := os.WriteFile(names[i], []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return names[0], names[1], filepath.Join(dir, "laid"), app.Harvest{Strips: yields + "yieldmap_strips.geojson", Yield: yields + "yieldmap_yield.csv", Map: names[2]}
}

func canceledAt(t *testing.T, name string, at int, work func(context.Context, app.Run, string) error) {
	t.Helper()
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	var steps []app.Step
	err := work(ctx, app.Run{Progress: func(s app.Step) {
		if steps = append(steps, s); len(steps) > at {
			cancel()
		}
	}}, dir)
	if !errors.Is(err, context.Canceled) || len(steps) != at+1 {
		t.Errorf("%s canceled at step %d: %v after %v", name, at, err, steps)
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
		t.Errorf("%s canceled at step %d: %v is left, %v", name, at, left, err)
	}
}

// canceledFor cancels work for a moment: one look after a step hears it, the first that of the step itself, and
// none of the next.
func canceledFor(t *testing.T, name string, at, look int, work func(context.Context, app.Run, string) error) {
	t.Helper()
	ctx := &once{Context: t.Context()}
	var steps []app.Step
	err := work(ctx, app.Run{Progress: func(s app.Step) {
		if steps = append(steps, s); len(steps) == at+1 {
			ctx.looks.Store(int64(look))
		}
	}}, t.TempDir())
	if !errors.Is(err, context.Canceled) || len(steps) != at+1 {
		t.Errorf("%s canceled for a moment at look %d of step %d: %v after %v", name, look, at, err, steps)
	}
}

// once is a context that is canceled for one look: the first, or so many later.
type once struct {
	context.Context
	looks atomic.Int64 // until then; 0 for none
}

func (o *once) Err() error {
	if o.looks.Add(-1) == 0 {
		return context.Canceled
	}
	return nil
}

// Steps count the files that are made, and the files that are checked.
func TestStepsCount(t *testing.T) {
	field, q := demo(t, app.Values{})
	most := map[string]app.Step{}
	run := app.Run{Progress: func(s app.Step) { most[s.Stage] = s }}
	_, m, err := run.Split(t.Context(), field, q, app.Target{Dir: filepath.Join(t.TempDir(), "plan")})
	if err != nil {
		t.Fatal(err)
	}
	for _, stage := range []string{"read", "zones", "check", "split", "write", "verify", "rename"} {
		if s, ok := most[stage]; !ok || s.Done != s.Total {
			t.Errorf("%s: got %+v, %v", stage, s, ok)
		}
	}
	if s := most["write"]; s.Total == 0 || s.Total > len(m.Files) {
		t.Errorf("%d files in %+v", len(m.Files), s)
	}
}

// A file is not read to its end once the work is canceled.
func TestCanceledWhileReading(t *testing.T) {
	_, q := demo(t, app.Values{})
	ctx, cancel := context.WithCancel(t.Context())
	text := &endless{stop: cancel}
	if _, err := (app.Run{Stdin: text}).Check(ctx, "-", q); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

// endless is a file of spaces, whose reader gives up after some.
type endless struct {
	read int
	stop func()
}

func (e *endless) Read(b []byte) (int, error) {
	if e.read += len(b); e.read > 1<<20 {
		e.stop()
	}
	for i := range b {
		b[i] = ' '
	}
	return len(b), nil
}

// Many files come in their order, a bad one among them, until the work is canceled.
func TestEach(t *testing.T) {
	field, q := demo(t, app.Values{})
	dir := filepath.Dir(field)
	for _, name := range []string{"a.json", "z.json"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte("{"), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	landed := filepath.Join(dir, "landed") // what passes writes is no prescription
	for _, name := range []string{"passes.json", "passes.html", "passes.geojson"} {
		if err := errors.Join(os.MkdirAll(landed, 0o777), os.WriteFile(filepath.Join(landed, name), []byte("{"), 0o666)); err != nil {
			t.Fatal(err)
		}
	}
	files, err := app.Prescriptions([]string{dir})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	told := func(path string, r report.Result, err error) string {
		if err != nil {
			return filepath.Base(path) + " fails"
		}
		return fmt.Sprintf("%s: %d zones", filepath.Base(path), len(r.Prescription.Zones))
	}
	rows, err := app.Each(ctx, app.Run{}, files, q, false, told)
	if err != nil {
		t.Fatal(err)
	}
	got := slices.Collect(rows)
	if want := []string{"a.json fails", "field.zip: 63 zones", "z.json fails"}; !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	got = nil
	for row := range rows {
		got = append(got, row)
		cancel()
	}
	if len(got) != 1 {
		t.Errorf("canceled after the first: got %q", got)
	}
}

// What is wrong comes with its place, what to do next, and the key that it lies at.
func TestExplain(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		return path
	}
	square := func(rate string) string {
		return `{"type":"Feature","properties":{"R":` + rate + `},"geometry":{"type":"Polygon","coordinates":[[[-93,42],[-93,42.001],[-92.999,42.001],[-92.999,42],[-93,42]]]}}`
	}
	layer := func(rates ...string) string {
		for i, r := range rates {
			rates[i] = square(r)
		}
		return `{"type":"FeatureCollection","features":[` + strings.Join(rates, ",") + `]}`
	}
	profile := write("label.yaml", string(label.DemoYAML()))
	split := func(field string) error {
		q, err := app.Resolve(app.Values{"label": {profile}, "rate-unit": {"lb/ac"}, "rate-field": {"R"}})
		if err != nil {
			return err
		}
		_, _, err = app.Run{}.Split(t.Context(), field, q, app.Target{Dir: filepath.Join(dir, "plan")})
		return err
	}
	_, _, badLabel := app.Label(write("bad.yaml", "name: x\nrate: 30\n"))
	for _, c := range []struct {
		err       error
		text, key string
	}{
		{badLabel, "bad.yaml:2:7: rate", "rate"},
		{split(write("bad.geojson", layer("200", "-3"))), "bad.geojson: record 2: field R", ""},
		{split(write("twice.geojson", layer("200", "300"))), "twice.geojson: ", ""},
	} {
		if c.err == nil {
			t.Errorf("want an error at %s", c.text)
			continue
		}
		f := app.Explain(c.err)
		if !strings.Contains(f.Text, c.text) || f.Hint == "" || c.key != "" && (f.At[0].Key != c.key || f.At[0].What == "") {
			t.Errorf("%v: got %+v, want %s", c.err, f, c.text)
		}
	}
	if f := app.Explain(&app.InFolder{Path: "a/x.shp", Err: split(filepath.Join(dir, "none.shp"))}); !strings.HasPrefix(f.Text, "a/") || f.Hint == "" {
		t.Errorf("got %+v", f)
	}
}

// A text is what most of its keys are known of; one that is as wrong as either, or is no text of keys
// at all, is neither; one without keys is a job file, which needs none. Those of other commands are
// told from both, as all of the invented field are.
func TestKindOf(t *testing.T) {
	const neither = app.TextKind(0)
	for text, want := range map[string]app.TextKind{
		"name: x\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n": app.IsLabel, "name: x\nrate: 30\ncolor: red\n": app.IsLabel,
		"": app.IsJob, "# nothing yet\n": app.IsJob, "rate-unit: lb/ac\n": app.IsJob, "rate-unit: lb/ac\ncolor: red\n": app.IsJob,
		"columns: {lon: X, lat: Y}\nwidth: 70 ft\nlayer: liquid\n": 3, "columns: {yield: Y}\nyield-unit: bu/ac\n": 4,
		"date: 2026-05-04\nwind: calm\nlots: []\n": 5, "date: 2026-05-04\nfields: []\n": 6, "layer: liquid\ncolor: red\n": app.IsJob,
		"color: red\nsize: 3\n": neither, "rate: [\n": neither, "- one\n": neither,
	} {
		path := filepath.Join(t.TempDir(), "it.yaml")
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		if got := app.KindOf(path); got != want {
			t.Errorf("%q is of kind %d, want %d", text, got, want)
		}
	}
	if got := app.KindOf(filepath.Join(t.TempDir(), "none.yaml")); got != neither {
		t.Errorf("no file is of kind %d", got)
	}
}

package read

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/geo/track"
)

const plainMap = `
columns: {lon: LON, lat: LAT, time: T, rate: RATE, on: ON, width: W}
time-form: epoch-s
rate-unit: lb/ac
width-unit: ft
`

// readText reads a log from a text under a name.
func readLogText(t testing.TB, name, text, mapText string) (*logFile, error) {
	t.Helper()
	m, err := ParseLogMap("map.yaml", []byte(mapText))
	if err != nil {
		return nil, err
	}
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return Log(path, m, FileOptions{})
}

func TestCSVLog(t *testing.T) {
	f, err := readLogText(t, "log.csv", "\ufeffLON;LAT;T;RATE;ON;W;MORE\n-93;42;100;200;1;70;x\n-93;42.0001;101;;0;;\n;;102;200;1;70;\n0;0;103;200;1;70;\n", plainMap)
	if err != nil {
		t.Fatal(err)
	}
	rows := f.Log.Rows
	if len(rows) != 2 || rows[0].Time != 100 || !rows[0].On() || rows[1].On() || !math.IsNaN(rows[1].Rate) || !math.IsNaN(rows[1].Width) {
		t.Fatalf("rows %+v", rows)
	}
	// 200 lb/ac = 224.17 kg/ha = 22.417 g/m² [NIST SP 811]; 70 ft = 21.336 m.
	if math.Abs(rows[0].Rate-22.4170231) > 1e-6 || math.Abs(rows[0].Width-21.336) > 1e-12 || f.Log.Amount != track.Mass {
		t.Errorf("rate %v g/m², width %v m", rows[0].Rate, rows[0].Width)
	}
	if len(f.Log.Dropped) != 1 || f.Log.Dropped[0].Count != 2 || f.Log.Dropped[0].Why != "no-place" {
		t.Errorf("dropped %+v", f.Log.Dropped)
	}
	if len(f.Source.Files) != 1 || len(f.Source.Files[0].SHA256) != 64 {
		t.Errorf("source %+v", f.Source)
	}
}

// The same log in other forms: units, times, a shapefile's system, GeoJSON.
func TestLogForms(t *testing.T) {
	const head = "columns: {lon: X, lat: Y, time: T, rate: R}\nwidth: 21.336 m\n"
	for name, c := range map[string]struct{ text, more string }{
		"liters":    {"X,Y,T,R\n-93,42,2026-05-04T10:00:00Z,2\n-93,42.1,2026-05-04T12:00:01.5+02:00,3\n", "time-form: iso\nrate-unit: L/ha\n"},
		"ms":        {"X\tY\tT\tR\n-93\t42\t1777888800000\t2\n-93\t42.1\t1777888801500\t3\n", "time-form: epoch-ms\nrate-unit: L/ha\n"},
		"utm":       {"X,Y,T,R\n500000,4649776.22482,10:00:00,2\n500000,4660884.5,10:00:01.5,3\n", "time-form: clock\nrate-unit: L/ha\ncrs: EPSG:32615\n"},
		"midnight":  {"X,Y,T,R\n-93,42,23:59:59,2\n-93,42.1,00:00:00.5,3\n", "time-form: clock\nrate-unit: L/ha\n"},
		"no zone":   {"X,Y,T,R\n-93,42,2026-05-04 10:00:00,2\n-93,42.1,2026-05-04 10:00:01.5,3\n", "time-form: iso\nrate-unit: L/ha\n"},
		"mL a acre": {"X,Y,T,R\n-93,42,0,2000\n-93,42.1,1.5,3000\n", "time-form: epoch-s\nrate-unit: mL/ha\n"},
	} {
		f, err := readLogText(t, "log.csv", c.text, head+c.more)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		a, b := f.Log.Rows[0], f.Log.Rows[1]
		if math.Abs(b.Time-a.Time-1.5) > 1e-6 || math.Abs(a.Rate-0.2) > 1e-12 || math.Abs(a.At[0]+93) > 1e-9 || math.Abs(a.At[1]-42) > 1e-7 {
			t.Errorf("%s: %+v %+v", name, a, b)
		}
	}
}

func TestGeoJSONLogs(t *testing.T) {
	const m = "columns: {rate: R}\nwidth: 70 ft\nrate-unit: lb/ac\n"
	points := `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"R":100},"geometry":{"type":"Point","coordinates":[-93,42]}},
{"type":"Feature","properties":{"R":null},"geometry":{"type":"Point","coordinates":[-93,42.001,300]}},
{"type":"Feature","properties":{"R":1},"geometry":null}]}`
	f, err := readLogText(t, "log.geojson", points, m)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Log.Rows) != 2 || f.Swaths != nil || !math.IsNaN(f.Log.Rows[1].Rate) || f.Log.Dropped[0].Count != 1 {
		t.Errorf("%+v", f.Log)
	}
	swaths := strings.ReplaceAll(strings.ReplaceAll(points, `"Point","coordinates":[-93,42]`, `"Polygon","coordinates":[[[-93,42],[-92.99,42],[-92.99,42.01],[-93,42]]]`), `"Point","coordinates":[-93,42.001,300]`, `"Polygon","coordinates":[[[-93,43],[-92.99,42],[-92.99,42.01],[-93,43]]]`)
	if f, err = readLogText(t, "log.geojson", swaths, m); err != nil {
		t.Fatal(err)
	}
	if len(f.Log.Rows) != 2 || f.Swaths == nil || f.Swaths.Len() != 2 {
		t.Errorf("%d rows, swaths %+v", len(f.Log.Rows), f.Swaths)
	}
	mixed := strings.Replace(points, `"Point","coordinates":[-93,42.001,300]`, `"Polygon","coordinates":[[[-93,43],[-92.99,42],[-92.99,42.01],[-93,43]]]`, 1)
	if _, err = readLogText(t, "log.geojson", mixed, m); err == nil || !strings.Contains(err.Error(), "is not a point") {
		t.Errorf("points and polygons: %v", err)
	}
	mixed = strings.Replace(points, `"Point","coordinates":[-93,42]`, `"Polygon","coordinates":[[[-93,42],[-92.99,42],[-92.99,42.01],[-93,42]]]`, 1)
	if _, err = readLogText(t, "log.geojson", mixed, m); err == nil || !strings.Contains(err.Error(), "is not a polygon") {
		t.Errorf("polygons and points: %v", err)
	}
}

func TestSections(t *testing.T) {
	f, err := readLogText(t, "log.csv", "LON,LAT,R,ON\n-93,42,5,110\n-93,42,5,1\n-93,42,5,000\n", "columns: {lon: LON, lat: LAT, rate: R, on: ON}\nrate-unit: gal/ac\nsections: [10 ft, 10 ft, 10 ft]\n")
	if err != nil {
		t.Fatal(err)
	}
	if r := f.Log.Rows; r[0].Open != 3 || r[1].Open != 7 || r[2].On() || len(f.Log.Sections) != 3 {
		t.Errorf("%+v", f.Log)
	}
}

// What can't be read is said with its record and its column; all of it at once.
func TestBadLogs(t *testing.T) {
	const head = "LON,LAT,T,RATE,ON,W\n"
	for name, c := range map[string]struct{ text, mapText, want string }{
		"comma":       {head + "-93,42,1,\"12,5\",1,70\n-93,42,2,x,maybe,70\n", plainMap, `record 1: field RATE: "12,5" is not a number: write decimals with a point`},
		"all":         {head + "-93,42,1,\"12,5\",1,70\n-93,42,2,x,maybe,70\n", plainMap, `record 2: field ON: "maybe" says neither on nor off`},
		"negative":    {head + "-93,42,1,-5,1,70\n", plainMap, `field RATE: "-5" is negative`},
		"hexadecimal": {head + "-93,42,1,0x1p4,1,70\n", plainMap, `record 1: field RATE: "0x1p4" is not a number`},
		"underscore":  {head + "-93,42,1,3_1,1,70\n", plainMap, `record 1: field RATE: "3_1" is not a number`},
		"too large":   {head + "-93,42,1,1e300,1,70\n", plainMap, `record 1: field RATE: "1e300" is more than any machine logs`},
		"late":        {head + "-93,42,1,5,1,70\n", plainMap + "delay: 1e9 s\n", `delay: is more than 10 min`},
		"time":        {head + "-93,42,noon,5,1,70\n", plainMap, `field T: "noon" is not a number`},
		"no column":   {"A,B\n1,2\n", plainMap, `has no column "LON", which the map names for lon`},
		"two":         {"lon,Lon,LAT,T,RATE,ON,W\n", plainMap, `has two columns "LON"`},
		"cells":       {head + "-93,42\n", plainMap, "line 2: wrong number of fields"},
		"empty":       {"", plainMap, "has no line of column names"},
		"no rows":     {head, plainMap, "has no record"},
		"nowhere":     {head + "42,-93,1,5,1,70\n", plainMap, "has no record with a place on the ground"},
		"utf-16":      {"\xff\xfeL\x00O\x00", plainMap, "is no CSV in UTF-8"},
		"places":      {head + "-93,9x,1,5,1,70\n", plainMap, `field LAT: "9x" is not a number`},
		"no lon":      {head, "columns: {rate: R}\nwidth: 70 ft\nrate-unit: lb/ac\n", "the map names no columns for its places"},
		"map":         {head, "columns: {lon: LON, lat: LAT, rate: R}\nrate-unit: lb\n", `"lb" is no rate`},
		"width":       {head, "columns: {lon: LON, lat: LAT, rate: R}\nrate-unit: lb/ac\n", "no width is known"},
		"unit":        {head, "columns: {lon: LON, lat: LAT, rate: R, width: W}\nrate-unit: lb/ac\n", "its unit is not said"},
		"form":        {head, "columns: {lon: LON, lat: LAT, rate: R, time: T}\nwidth: 70 ft\nrate-unit: lb/ac\n", "its form is not said"},
		"mix":         {head, "columns: {lon: LON, lat: LAT, rate: R}\nwidth: 70 ft\nrate-unit: lb/ac\nof: mix\n", "does not go with the unit"},
		"key":         {head, "colums: {rate: R}\n", "is not a key that is known here"},
		"flow":        {head, "columns: {lon: LON, lat: LAT, rate: R, flow: F}\nwidth: 70 ft\nrate-unit: lb/ac\n", "units of flow and total"},
	} {
		if _, err := readLogText(t, "log.csv", c.text, c.mapText); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", name, err, c.want)
		}
	}
}

// The map that is written for a log can be filled in and read, and takes a column only where
// one alone is meant.
func TestNewLogMap(t *testing.T) {
	text := newLogMap("log.csv", []string{"Longitude", "Latitude", "Time", "Rate", "Applied", "ON", "Swath_Wdth", "a b"}, true)
	for _, want := range []string{"  lon: Longitude ", "  # rate: # what was applied; needed; Rate or Applied: which of them?", "  on: 'ON' ", "  width: Swath_Wdth "} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	for old, new := range map[string]string{"  # rate:": "  rate: Rate", "\nrate-unit:": "\nrate-unit: lb/ac", "# width-unit: m": "width-unit: ft", "# time-form: iso": "time-form: iso"} {
		text = strings.Replace(text, old, new, 1)
	}
	m, err := ParseLogMap("map.yaml", []byte(text))
	if err != nil || m.Columns.On != "ON" || m.Columns.Lon != "Longitude" {
		t.Errorf("%v: %+v\n%s", err, m, text)
	}
}

// The map of a layer of points asks for no columns of places, as its points are those.
func TestNewLogMapOfPoints(t *testing.T) {
	path := filepath.Join(t.TempDir(), "log.geojson")
	if err := os.WriteFile(path, []byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"RATE":100,"LON":1,"LAT":2},"geometry":{"type":"Point","coordinates":[-93,42]}}]}`), 0o666); err != nil {
		t.Fatal(err)
	}
	text, err := NewLogMapOf(path, FileOptions{})
	if err != nil || !strings.Contains(text, "\n#   RATE, LON, LAT\n") || !strings.Contains(text, "\n  rate: RATE ") || strings.Contains(text, "lon:") || strings.Contains(text, "lat:") {
		t.Errorf("%v:\n%s", err, text)
	}
	for _, alone := range []string{`{"type":"Feature","properties":{"RATE":100},"geometry":{"type":"Point","coordinates":[-93,42]}}`, `{"type":"Point","coordinates":[-93,42]}`} {
		if err := os.WriteFile(path, []byte(alone), 0o666); err != nil {
			t.Fatal(err)
		}
		if text, err := NewLogMapOf(path, FileOptions{}); err != nil || strings.Contains(alone, "RATE") != strings.Contains(text, "\n  rate: RATE ") {
			t.Errorf("%s: %v:\n%s", alone, err, text)
		}
	}
	_, err = readLogText(t, "log.pdf", "hello", plainMap)
	if err == nil || !strings.Contains(err.Error(), "log.pdf: is no log that can be read") {
		t.Errorf("what is no log: %v", err)
	}
}

// Whatever a log and its map hold, there is an answer, and rows that can be laid.
func FuzzLog(f *testing.F) {
	f.Add("LON,LAT,T,RATE,ON,W\n-93,42,100,200,1,70\n", plainMap, byte(0))
	f.Add("LON;LAT;T;RATE;ON;W\n-93;42;10:00:00;2e5;0110;70\n", "columns: {lon: LON, lat: LAT, rate: RATE, on: ON, time: T}\nrate-unit: L/ha\ntime-form: clock\nsections: [1 m, 1 m, 1 m, 1 m]\n", byte(0))
	f.Add(`{"type":"Feature","properties":{"R":100},"geometry":{"type":"Point","coordinates":[-93,42]}}`, "columns: {rate: R}\nwidth: 70 ft\nrate-unit: lb/ac\n", byte(1))
	f.Add(`{"type":"Feature","properties":{"R":1},"geometry":{"type":"Polygon","coordinates":[[[0,1],[1,1],[1,2],[0,1]]]}}`, "columns: {rate: R}\nwidth: 70 ft\nrate-unit: lb/ac\n", byte(1))
	f.Fuzz(func(t *testing.T, text, mapText string, kind byte) {
		name := "log.csv"
		if kind%2 == 1 {
			name = "log.geojson"
		}
		file, err := readLogText(t, name, text, mapText)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		for i, r := range file.Log.Rows {
			if !(math.Abs(r.At[0]) <= 180 && math.Abs(r.At[1]) <= 90) || r.Rate < 0 || math.IsInf(r.Rate, 0) || r.Width < 0 {
				t.Errorf("row %d: %+v", i, r)
			}
		}
		if file.Swaths != nil && file.Swaths.Len() != len(file.Log.Rows) {
			t.Errorf("%d swaths of %d rows", file.Swaths.Len(), len(file.Log.Rows))
		}
		_ = fmt.Sprint(file.Source)
	})
}

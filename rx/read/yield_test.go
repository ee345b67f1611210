package read

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/rx"
)

func yieldMap(t *testing.T, text string) *YieldMap {
	t.Helper()
	m, err := ParseYieldMap("map.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func fileOf(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// A map says all that its columns need, and nothing that can't be: each of these lacks one thing,
// and is told of that by its key.
func TestYieldMapsRefused(t *testing.T) {
	const whole = "columns: {yield: Y, distance: D, width: W, moisture: M, time: T}\nyield-unit: bu/ac\nyield-is: wet\ndistance-unit: in\nwidth-unit: in\ntime-form: iso\n"
	const flow = "columns: {flow: F, moisture: M, distance: D}\nheader: 30 ft\nflow-unit: lb/s\nyield-unit: bu/ac\nbushel: 56 lb\ndistance-unit: in\n"
	for _, c := range []struct{ base, from, to, key, why string }{
		{whole, "distance-unit: in\n", "", "columns.distance", "its unit is not said"},
		{whole, "width-unit: in\n", "", "columns.width", "its unit is not said"},
		{whole, "yield-is: wet\n", "", "columns.moisture", "nothing says whether yields are dry"},
		{whole, "moisture: M, ", "", "yield-is", "wet yields can't be compared"},
		{whole, "time-form: iso\n", "", "columns.time", "its form is not said"},
		{whole, "time-form: iso", "time-form: clock", "time-form", "a clock tells no year"},
		{whole, "time-form: iso", "time-form: now", "time-form", "is not one of epoch-s, epoch-ms, iso, clock"},
		{whole, "yield-unit: bu/ac\n", "", "columns.yield", "its unit is not said"},
		{whole, "yield-is: wet", "yield-is: damp", "yield-is", "is not one of dry, wet"},
		{whole, "distance-unit: in", "distance-unit: ac", "distance-unit", "is no unit that is known here"},
		{whole, "width-unit: in", "width-unit: lb", "width-unit", "is no unit that is known here"},
		{whole, "yield-is: wet\n", "yield-is: wet\nstalks: {value: V}\n", "stalks.value", "nothing says what the laboratory reports"},
		{whole, "yield-is: wet\n", "yield-is: wet\nstalks: {reported-as: N}\n", "stalks.reported-as", "is not one of nitrate-N, nitrate"},
		{whole, "yield-is: wet\n", "yield-is: wet\nlevel: 49.9 %\n", "level", "from 50 to under 100"},
		{whole, "yield-is: wet\n", "yield-is: wet\nlevel: 100 %\n", "level", "from 50 to under 100"},
		{whole, "yield-is: wet\n", "yield-is: wet\nlevel: -1\n", "level", "is no number from 0 on"},
		{whole, "yield-is: wet\n", "yield-is: wet\nclean: {low: 2, high: 2}\n", "clean", "low must be under high"},
		{whole, "yield-is: wet\n", "yield-is: wet\ninside: strip\n", "inside", "is not one of header, point"},
		{whole, "yield-is: wet\n", "yield-is: wet\nprice: 4 $/bu\n", "price", "price and cost go together"},
		{whole, "yield-is: wet\n", "yield-is: wet\ncost: 4 $/ac\n", "price", "price and cost go together"},
		{whole, "yield-is: wet\n", "yield-is: wet\nprice: 4 $/t\ncost: 9 $/ac\n", "price", "is for one t, and the yield-unit wants it for one bu"},
		{whole, "yield-is: wet\n", "yield-is: wet\nprice: 4 $/bu\ncost: 9 $/ha\n", "cost", "is for one ha, and the yield-unit wants it for one ac"},
		{whole, "yield-is: wet\n", "yield-is: wet\nprice: 4 $/bu\ncost: 9 EUR/ac\n", "cost", "is not in the money of the price"},
		{whole, "yield-is: wet\n", "yield-is: wet\nprice: NaN $/bu\ncost: 9 $/ac\n", "price", "is no amount of money"},
		{whole, "yield-is: wet\n", "yield-is: wet\nprice: 1e308 $/bu\ncost: 9 $/ac\n", "price", "is no amount of money"},
		{whole, "yield-is: wet\n", "yield-is: wet\nprice: 4 $/bu\ncost: -0 $/ac\n", "cost", "is no amount of money"},
		{whole, "yield-is: wet\n", "yield-is: wet\nstalks: {value: V, reported-as: nitrate-N, detection-limit: -0}\n", "stalks.detection-limit", "is no number from 0 on"},
		{whole, "yield-is: wet\n", "yield-is: wet\nprice: 0 $/bu\ncost: 9 $/ac\n", "price", "is 0: nothing could pay"},
		{whole, "yield-is: wet\n", "yield-is: wet\nprice: 4 $\ncost: 9 $/ac\n", "price", "is no amount of money for one bu"},
		{whole, "yield-is: wet\n", "yield-is: wet\nprice: -4 $/bu\ncost: 9 $/ac\n", "price", "is no amount of money for one bu"},
		{flow, "flow-unit: lb/s\n", "", "columns.flow", "its unit is not said"},
		{flow, "moisture: M, ", "", "columns.flow", "is of wet grain"},
		{flow, "moisture: M, distance: D", "moisture: M", "columns.flow", "gives no yield without the ground: give columns: distance"},
		{flow, "header: 30 ft\n", "", "columns.flow", "gives no yield without the ground: give header"},
		{flow, "yield-unit: bu/ac\n", "", "yield-unit", "is not said"},
		{flow, "bushel: 56 lb\n", "", "bushel", "nothing says what one weighs"},
		{flow, "bushel: 56 lb", "bushel: 0 lb", "bushel", "want a weight"},
		{flow, "flow-unit: lb/s", "flow-unit: lb/min", "flow-unit", "want a weight for each second"},
		{flow, "yield-unit: bu/ac", "yield-unit: gal/ac", "yield-unit", "is no unit that is known here"},
		{flow, "yield-unit: bu/ac", "yield-unit: bu/lb", "yield-unit", "is no unit that is known here"},
	} {
		yieldMap(t, c.base)
		text := strings.Replace(c.base, c.from, c.to, 1)
		if text == c.base {
			t.Fatalf("%q is not in the map", c.from)
		}
		if _, err := ParseYieldMap("map.yaml", []byte(text)); err == nil || !strings.Contains(err.Error(), c.key+": ") || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%s\nis told as %v, want %s: %s", text, err, c.key, c.why)
		}
	}
	for _, level := range []string{"50 %", "99.9 %"} {
		yieldMap(t, whole+"level: "+level+"\n")
	}
}

// What a map leaves open is what the trade takes: intervals of 95 %, 0.2 to 2 times the median, the
// whole header in its strip, the classes of stalks of Iowa State University Extension's Pm-1584.
func TestYieldMapsByDefault(t *testing.T) {
	m := yieldMap(t, "columns: {yield: Y}\nyield-unit: bu/ac\n")
	got := fmt.Sprint(m.LevelOr(), m.Cleaning(), m.HeaderOf(), m.Limits(), m.Earns())
	if want := "0.95 {0.2 2} {0 true} {250 700 2000} <nil>"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	m = yieldMap(t, "columns: {yield: Y}\nyield-unit: bu/ac\nlevel: 90\nclean: {low: 0.5, high: 1.5}\nheader: 10 m\ninside: point\nprice: 4.25 $/bu\ncost: 9.50 $/ac\nstalks: {marginal-from: 1, optimal-from: 2, excess-over: 3}\n")
	got = fmt.Sprint(m.LevelOr(), m.Cleaning(), m.HeaderOf(), m.Limits(), *m.Earns())
	if want := "0.9 {0.5 1.5} {10 false} {1 2 3} {4.25 9.5 $/bu $/ac}"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// Yields as cut are brought to the market's moisture by the dry matter: 200 bu/ac at 20 % are
// 200·80/84.5 = 189.349 bu/ac at 15.5 %. From the flow: 12 lb/s for 2 s at 20 % from 60 in by
// 30 ft (150 ft², 0.00344353 ac) are 24/56·(80/84.5)/0.00344353 = 117.83 bu/ac. Worked by hand.
func TestYieldsOfACombine(t *testing.T) {
	const head, row = "lon,lat,Y,D,W,M,F,S\n", "-93,42,200,60,360,20,12,2\n"
	for name, c := range map[string]struct {
		text        string
		value, area float64
	}{
		"dry":            {"columns: {lon: lon, lat: lat, yield: Y}\nyield-unit: bu/ac\n", 200, math.NaN()},
		"wet":            {"columns: {lon: lon, lat: lat, yield: Y, moisture: M}\nyield-unit: bu/ac\nyield-is: wet\n", 200 * 80 / 84.5, math.NaN()},
		"to 13 %":        {"columns: {lon: lon, lat: lat, yield: Y, moisture: M}\nyield-unit: bu/ac\nyield-is: wet\nmarket-moisture: 13 %\n", 200. * 80 / 87, math.NaN()},
		"with its width": {"columns: {lon: lon, lat: lat, yield: Y, distance: D, width: W}\nyield-unit: bu/ac\ndistance-unit: in\nwidth-unit: in\n", 200, 60 * 360 * 0.0254 * 0.0254},
		"by the header":  {"columns: {lon: lon, lat: lat, yield: Y, distance: D}\nyield-unit: bu/ac\ndistance-unit: in\nheader: 30 ft\n", 200, 60 * 360 * 0.0254 * 0.0254},
		"by distance":    {"columns: {lon: lon, lat: lat, yield: Y, distance: D}\nyield-unit: bu/ac\ndistance-unit: m\n", 200, 60},
		"from flow":      {"columns: {lon: lon, lat: lat, flow: F, seconds: S, moisture: M, distance: D, width: W}\nflow-unit: lb/s\nyield-unit: bu/ac\nbushel: 56 lb\ndistance-unit: in\nwidth-unit: in\n", 24. / 56 * 80 / 84.5 / (150. / 43560), 60 * 360 * 0.0254 * 0.0254},
		"in a second":    {"columns: {lon: lon, lat: lat, flow: F, moisture: M, distance: D, width: W}\nflow-unit: lb/s\nyield-unit: bu/ac\nbushel: 56 lb\ndistance-unit: in\nwidth-unit: in\n", 12. / 56 * 80 / 84.5 / (150. / 43560), 60 * 360 * 0.0254 * 0.0254},
		"in tonnes":      {"columns: {lon: lon, lat: lat, flow: F, seconds: S, moisture: M, distance: D, width: W}\nflow-unit: kg/s\nyield-unit: t/ha\ndistance-unit: m\nwidth-unit: m\n", 24. / 1000 * 80 / 84.5 / (60. * 360 / 10000), 60 * 360},
	} {
		f, err := Yield(fileOf(t, "yield.csv", head+row), yieldMap(t, c.text), FileOptions{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		p := f.Points[0]
		same := func(got, want float64) bool {
			return math.IsNaN(got) && math.IsNaN(want) || math.Abs(got-want) <= 1e-9*math.Abs(want)
		}
		if len(f.Points) != 1 || !same(p.Value, c.value) || !same(p.Area, c.area) || p.Place[0] != -93 || p.Place[1] != 42 || p.Record != 0 || f.Weigh == math.IsNaN(c.area) || f.NoPlace != 0 {
			t.Errorf("%s: %+v, want %v on %v m²", name, *f, c.value, c.area)
		}
	}
}

// What can't be read is told; records without a place are counted, and a distance that runs back
// is no ground.
func TestOddYields(t *testing.T) {
	const text = "columns: {lon: lon, lat: lat, yield: Y, distance: D, moisture: M, time: T}\nyield-unit: bu/ac\nyield-is: dry\ndistance-unit: m\ntime-form: epoch-s\n"
	read := func(rows string) (*yieldFile, error) {
		return Yield(fileOf(t, "yield.csv", "lon,lat,Y,D,M,T\n"+rows), yieldMap(t, text), FileOptions{})
	}
	f, err := read("-93,42,200,-3,15,1777802400\n,,200,3,15,\n0,0,200,3,15,\n-93,42.1,-5,3,99.9,\n180,-90,7,3,15,\n")
	if err != nil || len(f.Points) != 3 || f.NoPlace != 2 || f.Points[0].Area != 0 || f.Points[1].Value != -5 || f.Points[1].Record != 3 || f.Points[2].Value != 7 || f.Source.Records != 3 {
		t.Errorf("%+v, %v", f, err)
	}
	const half = 183 * 86400
	for rows, want := range map[string]string{
		"-93,42,200,3,100,\n": "is no moisture in percent",
		"-93,42,many,3,15,\n": "is not a number",
		"-93,x,200,3,15,\n":   "is not a number",
		",,200,3,15,\n":       "has no record with a place",
		fmt.Sprintf("-93,42,200,3,15,1777802400\n-93,42,200,3,15,%d\n", 1777802400+half+1): "holds points from 2026-05-03 to 2026-11-02: two years are two answers",
	} {
		if _, err := read(rows); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s%v, want %s", rows, err, want)
		}
	}
	if _, err := read(fmt.Sprintf("-93,42,200,3,15,1777802400\n-93,42,200,3,15,%d\n", 1777802400+half)); err != nil {
		t.Error(err)
	}
	for m, want := range map[string]string{
		"columns: {lon: lon, lat: lat}\n":                              "the map names no column for its yields",
		"columns: {yield: Y}\nyield-unit: bu/ac\n":                     "the map names no columns for its places",
		"columns: {lon: lon, lat: lat, yield: Z}\nyield-unit: bu/ac\n": "Z",
	} {
		if _, err := Yield(fileOf(t, "yield.csv", "lon,lat,Y\n-93,42,200\n"), yieldMap(t, m), FileOptions{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s%v, want %s", m, err, want)
		}
	}
}

// Yields that follow the flow of wet grain, whatever its moisture, are wet though the map says that
// they are dry; from 30 points on, and where moisture differs.
func TestYieldsThatLookWet(t *testing.T) {
	const text = "columns: {lon: lon, lat: lat, yield: Y, distance: D, moisture: M, flow: F}\nyield-unit: bu/ac\nyield-is: dry\ndistance-unit: m\n"
	read := func(n int, wet, same bool) bool {
		rows := "lon,lat,Y,D,M,F\n"
		for i := range n {
			moist := 15 + float64(i%7)*2
			if same {
				moist = 20
			}
			flow, yield := 10+float64(i%5), 10*(10+float64(i%5))
			if !wet {
				yield *= (100 - moist) / 84.5
			}
			rows += fmt.Sprintf("-93,42.%03d,%.6f,3,%v,%v\n", i, yield, moist, flow)
		}
		f, err := Yield(fileOf(t, "yield.csv", rows), yieldMap(t, text), FileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		return f.Wet
	}
	if !read(30, true, false) || read(29, true, false) || read(60, false, false) || read(60, true, true) {
		t.Errorf("wet %v, few %v, dry %v, all at one moisture %v", read(30, true, false), read(29, true, false), read(60, false, false), read(60, true, true))
	}
}

// Points of a layer and of an index: places are the layer's own, an index may be negative.
func TestIndexOfALayer(t *testing.T) {
	const layer = `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[-93,42]},"properties":{"ndvi":-0.25}},` +
		`{"type":"Feature","geometry":null,"properties":{"ndvi":0.5}},{"type":"Feature","geometry":{"type":"Point","coordinates":[-93.5,42.5]},"properties":{"ndvi":0.75}}]}`
	f, err := Index(fileOf(t, "index.geojson", layer), yieldMap(t, "index: {value: ndvi, lon: elsewhere, lat: elsewhere}\n"), FileOptions{})
	if err != nil || len(f.Points) != 2 || f.NoPlace != 1 || f.Points[0].Value != -0.25 || f.Points[1].Value != 0.75 || f.Points[1].Place[0] != -93.5 || f.Points[1].Record != 2 || f.Source.Records != 2 || !math.IsNaN(f.Points[0].Area) {
		t.Errorf("%+v, %v", f, err)
	}
	f, err = Index(fileOf(t, "index.csv", "x,y,ndvi\n-93,42,-0.25\n"), yieldMap(t, "index: {value: ndvi, lon: x, lat: y}\n"), FileOptions{})
	if err != nil || len(f.Points) != 1 || f.Points[0].Value != -0.25 {
		t.Errorf("%+v, %v", f, err)
	}
	for m, want := range map[string]string{"columns: {yield: Y}\nyield-unit: bu/ac\n": "names no column for the index", "index: {value: other}\n": "other"} {
		if _, err := Index(fileOf(t, "index.geojson", layer), yieldMap(t, m), FileOptions{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s%v", m, err)
		}
	}
}

// A sample under the limit of detection is half of the limit where it is a 0, and as reported
// where the laboratory says so; nitrate is 4.4268 times its nitrogen (62.0049/14.0067, by the
// standard atomic weights). An empty cell is no sample.
func TestStalkSamples(t *testing.T) {
	const text = "stalks: {rep: rep, treated: treated, value: ppm, reported-as: nitrate-N, detection-limit: 20}\n"
	const rows = "rep,treated,ppm\n1,0,500\n1,1,0\n2,1,<15\n2,0,\n"
	for m, want := range map[string]string{
		text: "[{1 false 500 false 0} {1 true 10 true 1} {2 true 15 true 2}]",
		strings.Replace(text, "nitrate-N", "nitrate", 1): fmt.Sprintf("[{1 false %v false 0} {1 true %v true 1} {2 true %v true 2}]", 500/4.4268, 10/4.4268, 15/4.4268),
	} {
		got, source, err := Stalks(fileOf(t, "stalks.csv", rows), yieldMap(t, m), FileOptions{})
		if err != nil || fmt.Sprint(got) != want || source.Records != 3 {
			t.Errorf("%v %v %v, want %s", got, source, err, want)
		}
	}
	for _, c := range []struct{ name, text, rows, want string }{
		{"stalks.csv", text, "rep,treated,ppm\n1.5,0,500\n", `rep: "1.5" is no whole number`},
		{"stalks.csv", text, "rep,treated,ppm\n1,2,500\n", `treated: "2" is neither 0 nor 1`},
		{"stalks.csv", text, "rep,treated,ppm\n1,1,much\n", "is not a number"},
		{"stalks.csv", strings.Replace(text, ", detection-limit: 20", "", 1), "rep,treated,ppm\n1,1,0\n", "has no logarithm"},
		{"stalks.csv", text, "rep,treated,ppm\n1,1,\n", "holds no sample"},
		{"stalks.csv", text, "rep,side,ppm\n1,1,5\n", "treated"},
		{"stalks.json", text, "{}", "is no CSV"},
		{"stalks.csv", "stalks: {rep: rep, value: ppm, reported-as: nitrate}\n", "rep,ppm\n1,2\n", "does not name the columns"},
	} {
		if _, _, err := Stalks(fileOf(t, c.name, c.rows), yieldMap(t, c.text), FileOptions{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s%v, want %s", c.rows, err, c.want)
		}
	}
}

// Strips that somebody drew: a replicate is one untreated strip and the two treated ones beside it.
func TestDrawnStrips(t *testing.T) {
	layer := func(rows ...string) string {
		text := ""
		for i, r := range rows {
			x := -93 + 0.0005*float64(i)
			ground := fmt.Sprintf(`{"type":"Polygon","coordinates":[[[%v,42],[%v,42],[%v,42.003],[%v,42.003],[%v,42]]]}`, x, x+0.0004, x+0.0004, x, x)
			if strings.HasPrefix(r, "null ") {
				ground, r = "null", r[5:]
			}
			text += `,{"type":"Feature","geometry":` + ground + `,"properties":{` + r + `}}`
		}
		return `{"type":"FeatureCollection","features":[` + strings.TrimPrefix(text, ",") + `]}`
	}
	read := func(name string, rows ...string) (string, rx.Source, error) {
		reps, source, err := Strips(fileOf(t, name, layer(rows...)), FileOptions{})
		return fmt.Sprint(len(reps)), source, err
	}
	good := []string{`"Rep":1,"TREATED":1`, `"Rep":1,"TREATED":0`, `"Rep":1,"TREATED":"1"`, `"Rep":2,"TREATED":1`, `"Rep":2,"TREATED":0`, `"Rep":2,"TREATED":1`}
	if got, source, err := read("strips.geojson", good...); err != nil || got != "2" || source.Name != "strips.geojson" {
		t.Errorf("%s %v", got, err)
	}
	for want, rows := range map[string][]string{
		`record 2: field rep: "1.5" is no whole number`:   {good[0], `"Rep":1.5,"TREATED":0`, good[2]},
		`record 1: field treated: "2" is neither 0 nor 1`: {`"Rep":1,"TREATED":2`, good[1], good[2]},
		`record 3: has no polygon`:                        {good[0], good[1], "null " + good[2]},
		`has no field "rep"`:                              {`"number":1,"treated":1`},
		`has no field "treated"`:                          {`"rep":1,"side":1`},
		`has two fields "rep", which differ in capital`:   {`"Rep":1,"REP":1,"treated":1`},
		`replicate 1`: {good[0], good[1]},
	} {
		if got, _, err := read("strips.geojson", rows...); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s %v, want %s", got, err, want)
		}
	}
	if _, _, err := Strips(fileOf(t, "strips.txt", "none"), FileOptions{}); err == nil || !strings.Contains(err.Error(), "is no layer of strips") {
		t.Error(err)
	}
}

// A log's map says all that its columns need, each of these but for one thing.
func TestLogMapsRefused(t *testing.T) {
	const base = "columns: {lon: X, lat: Y, time: T, rate: R, width: W}\ntime-form: iso\nrate-unit: lb/ac\nwidth-unit: ft\n"
	sections := func(n int, width string) string {
		return "width-unit: ft\nsections: [" + strings.TrimSuffix(strings.Repeat(width+", ", n), ", ") + "]\n"
	}
	for _, c := range []struct{ from, to, key, why string }{
		{", width: W", "", "columns", "no width is known"},
		{"width-unit: ft\n", "", "columns.width", "its unit is not said"},
		{"time-form: iso\n", "", "columns.time", "its form is not said"},
		{"time-form: iso", "time-form: now", "time-form", `"now" is not one of epoch-s, epoch-ms, iso, clock`},
		{"lat: Y, ", "", "columns", "lon and lat go together"},
		{"lon: X, ", "", "columns", "lon and lat go together"},
		{"rate: R, ", "", "columns.rate", "is missing"},
		{"rate-unit: lb/ac", "rate-unit: lb", "rate-unit", "is no rate"},
		{"width-unit: ft", "width-unit: ac", "width-unit", "is no unit that is known here"},
		{"width-unit: ft\n", "width-unit: ft\nof: mix\n", "of", "does not go with the unit of the rates, lb/ac"},
		{"rate-unit: lb/ac\n", "rate-unit: gal/ac\nof: dry\n", "of", "does not go with the unit of the rates, gal/ac"},
		{"width-unit: ft\n", "width-unit: ft\nof: water\n", "of", "is not one of product, mix, dry"},
		{"width-unit: ft\n", "width-unit: ft\nrecord: between\n", "record", "is not one of trailing, leading"},
		{"width: W", "width: W, flow: F", "columns", "the units of flow and total are not said"},
		{"width: W", "width: W, total: F", "columns", "the units of flow and total are not said"},
		{"width-unit: ft\n", "width-unit: ft\nflow-unit: gal/min\n", "flow-unit", "is no unit that is known here: want one such as lb/min"},
		{"width-unit: ft\n", "width-unit: ft\ntotal-unit: gal\n", "total-unit", "is no unit that is known here: want one such as lb"},
		{"rate-unit: lb/ac\n", "rate-unit: gal/ac\nflow-unit: lb/min\n", "flow-unit", "is no unit that is known here: want one such as gal/min"},
		{"rate-unit: lb/ac\n", "rate-unit: gal/ac\ntotal-unit: lb\n", "total-unit", "is no unit that is known here: want one such as gal"},
		{"width-unit: ft\n", "width-unit: ft\nweighed: 12 gal\n", "weighed", "gal"},
		{"width-unit: ft\n", sections(3, "0 ft"), "sections", "a section has no width"},
		{"width-unit: ft\n", sections(65, "1 ft"), "sections", "has more than 64"},
	} {
		text := strings.Replace(base, c.from, c.to, 1)
		if text == base {
			t.Fatalf("%q is not in the map", c.from)
		}
		if _, err := ParseLogMap("map.yaml", []byte(text)); err == nil || !strings.Contains(err.Error(), c.key+": ") || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%s\nis told as %v, want %s: %s", text, err, c.key, c.why)
		}
	}
	for _, good := range []string{"", sections(64, "1 ft"), "of: dry\nrecord: leading\n", "weighed: 12 ton\n"} {
		if _, err := ParseLogMap("map.yaml", []byte(strings.Replace(base, "width-unit: ft\n", cmp.Or(good, "width-unit: ft\n"), 1)+map[bool]string{true: "width-unit: ft\n"}[good != "" && !strings.Contains(good, "width-unit")])); err != nil {
			t.Errorf("%s: %v", good, err)
		}
	}
}

// What a log counts is grams or milliliters: 1 lb is 453.59237 g and 1 gal 3785.411784 mL, by
// definition.
func TestUnitsOfALog(t *testing.T) {
	for text, want := range map[string][4]float64{
		"rate-unit: lb/ac\nflow-unit: lb/min\ntotal-unit: lb\nweighed: 2 lb\n":     {453.59237 / 4046.8564224, 453.59237 / 60, 453.59237, 2 * 453.59237},
		"rate-unit: gal/ac\nflow-unit: gal/min\ntotal-unit: gal\nweighed: 2 gal\n": {3785.411784 / 4046.8564224, 3785.411784 / 60, 3785.411784, 2 * 3785.411784},
	} {
		m, err := ParseLogMap("map.yaml", []byte("columns: {rate: R, flow: F, total: A}\nwidth: 3 ft\n"+text))
		if err != nil {
			t.Fatal(err)
		}
		weighed, ok := m.WeighedAmount()
		for i, got := range []float64{m.rate, m.flow, m.total, weighed} {
			if math.Abs(got/want[i]-1) > 1e-9 || !ok || m.IsDry() != strings.Contains(text, "lb") || m.IsMix() {
				t.Errorf("%s: member %d is %v, want %v", text, i, got, want[i])
			}
		}
	}
}

package app_test

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/geo/crs"
	"rxsplit/rx/ground"
)

// A field of 160 by 200 m, driven north and south in eight passes of 20 m at 4 m/s: what lands
// on it has a closed form, and so has what each odd log makes of it. Lengths are meters.
const (
	oddWide, oddLong = 160.0, 200.0
	oddSwath         = 20.0
	oddStep          = 4.0
	oddStart         = 1_777_878_000.0
)

var oddPlane = crs.Local(orb.Point{-93, 42})

func lonLat(t *testing.T, x, y float64) orb.Point {
	at := []orb.Point{{x, y}}
	if err := oddPlane.ToLonLat(at, at); err != nil {
		t.Fatal(err)
	}
	return at[0]
}

// oddRow is a row of such a log; amounts are fl oz/ac, flow is gal/min.
type oddRow struct {
	x, y, at          float64
	rate, target      string
	width, flow       string
	on, machine, time string
}

// pass drives north, or south, along x.
func pass(x, from, to, at, speed, hertz float64) (rows []oddRow) {
	n := int(math.Round(math.Abs(to-from) * hertz / speed))
	for k := range n + 1 {
		r := oddRow{x: x, y: from + (to-from)*float64(k)/float64(n), at: at + float64(k)/hertz, rate: "30", target: "30", on: "1", width: "20"}
		if k == 0 {
			r.on = "0" // a row is of the way that leads to it
		}
		rows = append(rows, r)
	}
	return rows
}

func cleanLog() (rows []oddRow) {
	at := oddStart
	for i := range 8 {
		y := -oddLong / 2
		if i%2 == 1 {
			y = -y
		}
		rows = append(rows, pass(-oddWide/2+oddSwath*(float64(i)+0.5), y, -y, at, oddStep, 1)...)
		at += 100
	}
	return rows
}

// oddPlan is the plan of that field: 30 fl oz/ac by the boom, of a label of 20 to 40.
func oddPlan(t *testing.T) string {
	t.Helper()
	var ring orb.Ring
	for _, c := range [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}, {-1, -1}} {
		ring = append(ring, lonLat(t, c[0]*oddWide/2, c[1]*oddLong/2))
	}
	text, _ := json.Marshal(ring)
	field, dir := filepath.Join(t.TempDir(), "field.geojson"), filepath.Join(t.TempDir(), "plan")
	os.WriteFile(field, []byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"DRY_LBAC":200},"geometry":{"type":"Polygon","coordinates":[`+string(text)+`]}}]}`), 0o666)
	_, q := demo(t, app.Values{"way": {"wet-boom"}})
	if _, _, err := (app.Run{}).Split(t.Context(), field, q, app.Target{Dir: dir}); err != nil {
		t.Fatal(err)
	}
	return dir
}

// writeOdd writes rows as a CSV, in lon/lat or in another system.
func writeOdd(t *testing.T, rows []oddRow, code string) string {
	t.Helper()
	system, err := crs.Parse(cmp.Or(code, "EPSG:4326"))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString("LON,LAT,TIME,RATE,TGT,W,ON,FLOW,M\n")
	for _, r := range rows {
		p := lonLat(t, r.x, r.y)
		if at := []orb.Point{p}; code != "" {
			if err := system.FromLonLat(at, at); err != nil {
				t.Fatal(err)
			}
			p = at[0]
		}
		if r.time == "" {
			r.time = fmt.Sprintf("%.2f", r.at)
		}
		fmt.Fprintf(&b, "%.10f,%.10f,%s\n", p[0], p[1], strings.Join([]string{r.time, r.rate, r.target, r.width, r.on, r.flow, r.machine}, ","))
	}
	path := filepath.Join(t.TempDir(), "log.csv")
	os.WriteFile(path, []byte(b.String()), 0o666)
	return path
}

// swaths writes polygons of 4 m, one for each row that is on, as GeoJSON; so many times as long.
func swaths(t *testing.T, rows []oddRow, long float64) string {
	t.Helper()
	var list []string
	for i, r := range rows {
		if r.on == "0" {
			continue
		}
		back := rows[max(i-1, 0)].y - r.y
		if back == 0 {
			back = oddStep // of one that stands for another
		}
		var ring orb.Ring
		for _, c := range [][2]float64{{-10, 0}, {10, 0}, {10, long * back}, {-10, long * back}, {-10, 0}} {
			ring = append(ring, lonLat(t, r.x+c[0], r.y+c[1]))
		}
		text, _ := json.Marshal(ring)
		list = append(list, fmt.Sprintf(`{"type":"Feature","properties":{"RATE":%s,"ON":%s},"geometry":{"type":"Polygon","coordinates":[%s]}}`, cmp.Or(r.rate, "null"), r.on, text))
	}
	path := filepath.Join(t.TempDir(), "log.geojson")
	os.WriteFile(path, []byte(`{"type":"FeatureCollection","features":[`+strings.Join(list, ",")+"]}"), 0o666)
	return path
}

// set changes rows in the middle of the second pass: ways of 4 m, 20 m wide.
func set(ways int, change func(r *oddRow)) func([]oddRow) []oddRow {
	return func(rows []oddRow) []oddRow {
		for i := range ways {
			change(&rows[51+20+i])
		}
		return rows
	}
}

// oddCase is one odd log. Ground is in square meters, beside that of the clean log; amounts are
// rates of 30 fl oz/ac on so many square meters.
type oddCase struct {
	name string
	rows func([]oddRow) []oddRow
	maps string // lines of the map besides those of the columns; columns: takes its place
	odd  string // findings, apart from those that tell of the ground

	bare, twice, outside, below, above, far float64
	laid, standing, gaps                    float64 // laid is beside the clean log's
	off                                     float64 // of the field, how far ground may be off

	crs     string
	parts   int     // files that the log is in, the last one first; 0 for one
	swaths  float64 // as polygons, so many times as long as their way; 0 for points
	dropped float64
}

const oddColumns = "columns: {lon: LON, lat: LAT, time: TIME, rate: RATE, target: TGT, on: ON, width: W}\ntime-form: epoch-s\nrate-unit: fl oz/ac\nwidth-unit: m\n"

const swathColumns = "columns: {rate: RATE}\nrate-unit: fl oz/ac\nwidth: 20 m\n"

func withColumn(key string) string { return strings.Replace(oddColumns, "}", ", "+key+"}", 1) }

// oddCases are the logs that break plain tools.
func oddCases() []oddCase {
	const way = oddStep * oddSwath
	return []oddCase{
		{name: "clean", rows: func(rows []oddRow) []oddRow { return rows }},
		{name: "shuffled", rows: func(rows []oddRow) []oddRow {
			rand.New(rand.NewPCG(15, 2)).Shuffle(len(rows), func(i, k int) { rows[i], rows[k] = rows[k], rows[i] })
			return rows
		}, odd: "log-order"},
		{name: "in two files", rows: func(rows []oddRow) []oddRow { return rows }, parts: 2},
		{name: "doubled", rows: func(rows []oddRow) []oddRow { return append(rows, rows...) }, odd: "log-order log-twice"},
		{name: "each row twice", rows: func(rows []oddRow) (twice []oddRow) {
			for _, r := range rows {
				twice = append(twice, r, r)
			}
			return twice
		}, odd: "log-twice"},
		{name: "in feet", rows: func(rows []oddRow) []oddRow {
			for i := range rows {
				rows[i].width = "65.6167979003" // NIST SP 811: a foot is 0.3048 m
			}
			return rows
		}, maps: strings.Replace(oddColumns, "width-unit: m", "width-unit: ft", 1)},
		{name: "in UTM", rows: func(rows []oddRow) []oddRow { return rows }, crs: "EPSG:26915"},
		{name: "in feet of a state", rows: func(rows []oddRow) []oddRow { return rows }, crs: "EPSG:2287"},
		{name: "swaths", rows: func(rows []oddRow) []oddRow { return rows }, maps: swathColumns, swaths: 1},
		{name: "swaths that repeat the last one", rows: func(rows []oddRow) []oddRow {
			return slices.Insert(rows, 51+20, rows[51+19], rows[51+19])
		}, maps: swathColumns, odd: "log-twice", swaths: 1, dropped: 2 * way},
		{name: "swaths a record too long", rows: func(rows []oddRow) []oddRow { return rows }, maps: swathColumns, odd: "log-overlap",
			swaths: 2, outside: 8 * way, twice: 8 * 49 * way, above: 8 * 49 * way, laid: 8 * 50 * way},
		{name: "bow ties of a tight circle", rows: func([]oddRow) (rows []oddRow) {
			for k := range 31 {
				a := 2 * math.Pi * float64(k) / 30
				rows = append(rows, oddRow{x: 6 * math.Cos(a), y: 6 * math.Sin(a), at: oddStart + float64(k), rate: "30", width: "20", on: "1"})
			}
			return rows
		}, bare: oddWide*oddLong - math.Pi*16*16, twice: math.Pi * 4 * 4, above: math.Pi * 4.5 * 4.5, below: math.Pi * (16*16 - 9*9),
			laid: 2*math.Pi*6*oddSwath - oddWide*oddLong, off: 5e-4},
		{name: "creeping at 10 Hz", rows: func([]oddRow) (rows []oddRow) {
			random := rand.New(rand.NewPCG(15, 1))
			for i := range 2 {
				rows = append(rows, pass(-70+20*float64(i), -100, 100, oddStart+1000*float64(i), 0.3, 10)...)
			}
			for i := range rows {
				rows[i].x += 0.02 * random.NormFloat64()
				rows[i].y += 0.02 * random.NormFloat64()
			}
			return rows
		}, odd: "log-creep", bare: 6 * 4000, laid: -6 * 4000, off: 3e-4},
		{name: "standing with a flow", rows: stood, maps: withColumn("flow: FLOW") + "flow-unit: gal/min\n", odd: "log-stand", standing: 20 * way},
		{name: "standing without one", rows: stood, odd: "log-stand"},
		{name: "a receiver that jumps", rows: set(1, func(r *oddRow) { r.x += 400 }), odd: "log-jump log-alone log-gaps", bare: 2 * way, laid: -2 * way},
		{name: "machines in turn", rows: twoMachines, maps: withColumn("machine: M")},
		{name: "machines in turn, not told apart", rows: twoMachines, odd: "log-mixed log-jump log-alone log-gaps log-nothing", bare: oddWide * oddLong, laid: -oddWide * oddLong},
		{name: "midnight", rows: func(rows []oddRow) []oddRow {
			for i := range rows {
				rows[i].time = time.Unix(int64(rows[i].at-oddStart)+86400-125, 0).UTC().Format("15:04:05")
			}
			return rows
		}, maps: strings.Replace(oddColumns, "epoch-s", "clock", 1)},
		{name: "a clock that is set back", rows: func(rows []oddRow) []oddRow {
			for i := 51 + 20; i < len(rows); i++ {
				rows[i].at -= 600
			}
			return rows
		}, odd: "log-clock"},
		{name: "a time zone that is lost", rows: func(rows []oddRow) []oddRow {
			for i := range rows {
				if rows[i].time = time.Unix(int64(rows[i].at), 0).UTC().Format("2006-01-02T15:04:05"); i >= 51+20 {
					rows[i].time += "+05:00" // of a terminal that is told where it is
				}
			}
			return rows
		}, maps: strings.Replace(oddColumns, "epoch-s", "iso", 1), odd: "log-clock"},
		{name: "whole seconds at 5 Hz", rows: func([]oddRow) (rows []oddRow) {
			for i := range 8 {
				rows = append(rows, pass(-70+20*float64(i), -100, 100, oddStart+100*float64(i), oddStep, 5)...)
			}
			for i := range rows {
				rows[i].time = fmt.Sprint(int(rows[i].at))
			}
			return rows
		}, odd: "log-seconds"},
		{name: "width 0", rows: set(10, func(r *oddRow) { r.width = "0" }), odd: "log-no-width", bare: 10 * way, laid: -10 * way},
		{name: "sections", rows: set(10, func(r *oddRow) { r.on = "11100" }), maps: oddColumns + "sections: [4 m, 4 m, 4 m, 4 m, 4 m]\n", bare: 10 * 4 * 8, laid: -10 * 4 * 8},
		{name: "on at a rate of 0", rows: set(10, func(r *oddRow) { r.rate = "0" }), odd: "log-zero", bare: 10 * way, laid: -10 * way},
		{name: "no rate, which is not 0", rows: set(10, func(r *oddRow) { r.rate = "" }), odd: "log-no-rate", bare: 10 * way, laid: -10 * way},
		{name: "swaths at a rate of 0", rows: set(10, func(r *oddRow) { r.rate = "0" }), maps: swathColumns, swaths: 1, odd: "log-zero", bare: 10 * way, laid: -10 * way},
		{name: "swaths without a rate", rows: set(10, func(r *oddRow) { r.rate = "" }), maps: swathColumns, swaths: 1, odd: "log-no-rate", bare: 10 * way, laid: -10 * way},
		{name: "swaths of a boom that is off", rows: set(10, func(r *oddRow) { r.on = "false" }), maps: strings.Replace(swathColumns, "}", ", on: ON}", 1), swaths: 1, bare: 10 * way, laid: -10 * way},
		{name: "mix", rows: rated("1280"), maps: oddColumns + "of: mix\n"},
		{name: "mix taken for product", rows: rated("1280"), odd: "log-of", above: oddWide * oddLong, laid: oddWide * oddLong * (1280/30. - 1)},
		{name: "product taken for mix", rows: rated("30"), maps: oddColumns + "of: mix\n", odd: "log-of", below: oddWide * oddLong, laid: oddWide * oddLong * (30/1280. - 1)},
		{name: "liters a hectare taken for fluid ounces an acre", rows: rated("2.192"), odd: "log-rates", below: oddWide * oddLong, laid: oddWide * oddLong * (2.192/30 - 1)},
		{name: "fluid ounces an acre taken for liters a hectare", rows: rated("30"), maps: strings.Replace(oddColumns, "fl oz/ac", "L/ha", 1), odd: "log-rates", above: oddWide * oddLong, laid: oddWide * oddLong * (1/0.0730778 - 1)},
		{name: "half of the rate, on purpose", rows: rated("15"), below: oddWide * oddLong, laid: -oddWide * oddLong / 2},
		{name: "a target that lags", rows: func(rows []oddRow) []oddRow {
			rate := func(i int) string { return []string{"24", "36"}[max(i, 0)/20%2] }
			for i := range rows {
				rows[i].rate, rows[i].target = rate(i), rate(i-3)
			}
			return rows
		}, odd: "log-delay", laid: laggedLaid() - oddWide*oddLong},
		{name: "two fields", rows: func(rows []oddRow) []oddRow {
			return append(append(rows, pass(400, -100, 100, oddStart+2000, oddStep, 1)...), pass(420, 100, -100, oddStart+2100, oddStep, 1)...)
		}, odd: "log-far", outside: 8000, far: 8000, laid: 8000},
		{name: "two fields in swaths", rows: func(rows []oddRow) []oddRow {
			return append(append(rows, pass(400, -100, 100, oddStart+2000, oddStep, 1)...), pass(420, 100, -100, oddStart+2100, oddStep, 1)...)
		}, maps: swathColumns, swaths: 1, odd: "log-far", outside: 8000, far: 8000, laid: 8000},
		{name: "one section beside the field", rows: func(rows []oddRow) []oddRow {
			beside := pass(100, -100, 100, oddStart+2000, oddStep, 1)
			for i := range rows {
				rows[i].on = strings.Repeat(rows[i].on, 5)
			}
			for i := range beside {
				beside[i].on = beside[i].on + "0000"
			}
			return append(rows, beside...)
		}, maps: oddColumns + "sections: [4 m, 4 m, 4 m, 4 m, 4 m]\n", outside: 800, laid: 800},
		{name: "a width in feet as meters", rows: func(rows []oddRow) []oddRow {
			for i := range rows {
				rows[i].width = "6.096"
			}
			return rows
		}, odd: "log-width", bare: oddLong * (oddWide - 8*6.096), laid: -oddLong * (oddWide - 8*6.096)},
		{name: "run-outs", rows: runOut(false)},
		{name: "run-outs, leading", rows: runOut(true), maps: oddColumns + "record: leading\n"},
		{name: "leading taken for trailing", rows: runOut(true), odd: "log-shift", bare: 8 * way, outside: 8 * way},
		{name: "trailing taken for leading", rows: runOut(false), maps: oddColumns + "record: leading\n", odd: "log-shift", bare: 8 * way, outside: 8 * way},
		{name: "passes of one point", rows: func(rows []oddRow) []oddRow {
			for i := range 4 {
				rows = append(rows, oddRow{x: float64(15 * i), y: 50, at: oddStart + 2000 + 100*float64(i), rate: "30", width: "20", on: "1"})
			}
			return rows
		}, odd: "log-alone log-gaps"},
		{name: "a way to the tender with the boom reported on", rows: func(rows []oddRow) []oddRow {
			out, back := pass(70, -104, -300, oddStart+751, oddStep, 1), pass(70, -300, -100, oddStart+860, oddStep, 1)
			out[0].on, back[0].on = "1", "1"
			still := slices.Repeat(out[len(out)-1:], 60)
			for i := range still {
				still[i].at += float64(i)
			}
			return slices.Concat(rows, out, still[1:], back)
		}, odd: "log-stand log-far", outside: 4000, twice: 4000, far: 2 * (200 - 28) * oddSwath, laid: 8000},
		{name: "passes on different days", rows: func(rows []oddRow) []oddRow {
			for _, r := range slices.Clone(rows[:4*51]) {
				r.at += 20 * 86400
				rows = append(rows, r)
			}
			return rows
		}, odd: "log-days", twice: 4 * 4000, above: 4 * 4000, laid: 4 * 4000},
		{name: "rows by section", rows: bySection, maps: withColumn("machine: M")},
		{name: "rows by section, not told apart", rows: bySection, odd: "log-mixed log-order log-seconds log-jump log-alone log-gaps log-nothing", bare: oddWide * oddLong, laid: -oddWide * oddLong},
	}
}

// runOut drives the clean passes 12 m farther at both ends with the boom shut there. Rows tell of the
// ground behind them where leading.
func runOut(leading bool) func([]oddRow) []oddRow {
	return func(clean []oddRow) (rows []oddRow) {
		for i := range 8 {
			first := clean[51*i]
			far := oddLong/2 + 3*oddStep
			if first.y < 0 {
				far = -far
			}
			for k, r := range pass(first.x, far, -far, first.at, oddStep, 1) {
				r.on = "1"
				if k < 4 || k > 53 { // rows 3 and 53 are at the edges
					r.on = "0"
				}
				if leading && (k == 3 || k == 53) {
					r.on = map[int]string{3: "1", 53: "0"}[k]
				}
				rows = append(rows, r)
			}
		}
		return rows
	}
}

// stood has the machine stand for 20 s; its flow is that of 30 fl oz/ac at its speed.
func stood(rows []oddRow) []oddRow {
	const flow = 30.0 / 128 / 4046.8564224 * oddSwath * oddStep * 60 // gal/min
	for i := range rows {
		rows[i].flow = fmt.Sprintf("%.9f", flow)
	}
	k := 51 + 20
	for i := k; i < len(rows); i++ {
		rows[i].at += 20
	}
	still := slices.Repeat(rows[k-1:k], 20)
	for i := range still {
		still[i].at += float64(i + 1)
	}
	return slices.Insert(rows, k, still...)
}

// twoMachines has the second half of the field driven by another machine at the same time.
func twoMachines(rows []oddRow) (both []oddRow) {
	half := len(rows) / 2
	for i := range half {
		a, b := rows[i], rows[half+i]
		a.machine, b.machine, b.at = "A", "B", a.at+0.5
		both = append(both, a, b)
	}
	return both
}

func rated(rate string) func([]oddRow) []oddRow {
	return func(rows []oddRow) []oddRow {
		for i := range rows {
			rows[i].rate = rate
		}
		return rows
	}
}

// laggedLaid is what rates of 24 and 36 lay, 20 rows each, in ground at 30: the first row of a
// pass lays nothing.
func laggedLaid() (sum float64) {
	for i := range 8 * 51 {
		if i%51 > 0 {
			sum += oddStep * oddSwath * []float64{24, 36}[i/20%2] / 30
		}
	}
	return sum
}

// bySection gives each of five sections its own rows, one section after the other.
func bySection(rows []oddRow) (all []oddRow) {
	for s := range 5 {
		for _, r := range rows {
			r.x += 4 * (float64(s) - 2)
			r.width, r.machine = "4", fmt.Sprint(s)
			all = append(all, r)
		}
	}
	return all
}

// Each odd log is named by a finding, and its tables hold against a closed form.
func TestOddLogsAreNamedAndRight(t *testing.T) {
	dir := oddPlan(t)
	mapped := filepath.Join(t.TempDir(), "map.yaml")
	for _, c := range oddCases() {
		if c.maps == "" {
			c.maps = oddColumns
		}
		os.WriteFile(mapped, []byte(c.maps), 0o666)
		rows := c.rows(cleanLog())
		logs := app.Logs{Maps: []string{mapped}, CRS: c.crs}
		switch {
		case c.swaths > 0:
			logs.Paths = []string{swaths(t, rows, c.swaths)}
		case c.parts == 2:
			middle := len(rows)/2 + 20 // of a pass
			logs.Paths = []string{writeOdd(t, rows[middle:], c.crs), writeOdd(t, rows[:middle], c.crs)}
		default:
			logs.Paths = []string{writeOdd(t, rows, c.crs)}
		}
		g, err := (app.Run{}).Applied(t.Context(), dir, app.InputsAt{}, logs)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		var odd []string
		far := 0.0
		for _, f := range g.Findings {
			if rule := f.Rule(); strings.HasPrefix(rule, "log-") {
				odd = append(odd, rule)
				if rule == "log-far" {
					far = float64(f.Area) * 4046.8564224
				}
			}
		}
		if want := strings.Fields(c.odd); !sameSet(odd, want) {
			t.Errorf("%s: found %q, want %q", c.name, odd, want)
		}
		var said bytes.Buffer
		if err := text.Ground(&said, g); err != nil {
			t.Error(err)
		}
		flat := strings.Join(strings.Fields(said.String()), " ")
		if doubted := slices.ContainsFunc(g.Findings, ground.Doubts); doubted && strings.Contains(flat, "figure is good to") || !doubted && strings.Contains(flat, "as good as the log") {
			t.Errorf("%s: an accuracy is told of a log in doubt, or none of another: %s", c.name, flat)
		}
		for line := range strings.Lines(said.String()) {
			if len([]rune(line)) > 81 {
				t.Errorf("%s: wider than 80: %s", c.name, line)
			}
		}
		if testing.Verbose() {
			t.Logf("%s\n%s", c.name, said.String())
		}
		p, classes := g.Products[0], g.Liquids[0].Classes
		const whole = oddWide * oddLong
		if c.off == 0 {
			c.off = 1e-4
		}
		within := whole - c.bare - c.below - c.above
		for _, v := range []struct {
			what      string
			got, want float64
		}{
			{"bare", float64(p.Skip.Area), c.bare}, {"twice", float64(p.Twice.Area), c.twice}, {"outside", float64(p.Outside.Area), c.outside},
			{"covered", float64(p.Covered.Area), whole - c.bare + c.outside},
			{"none", float64(classes[ground.None].Area), c.bare}, {"below", float64(classes[ground.Below].Area), c.below},
			{"within", float64(classes[ground.Within].Area), within}, {"above", float64(classes[ground.Above].Area), c.above},
			{"over season", float64(classes[ground.OverSeason].Area), 0},
		} {
			if got := v.got * 4046.8564224; math.Abs(got-v.want) > c.off*whole {
				t.Errorf("%s: %s is %.2f m², want %.2f", c.name, v.what, got, v.want)
			}
		}
		for _, v := range []struct {
			what      string
			got, want float64
		}{{"laid", p.Laid, whole + c.laid}, {"standing", p.Standing, c.standing}, {"in gaps", p.Gaps, c.gaps}, {"dropped", p.Dropped, c.dropped}, {"far", far * 30 / 4046.8564224, c.far}} {
			if got := v.got * 4046.8564224 / 30; math.Abs(got-v.want) > c.off*whole {
				t.Errorf("%s: %s is of %.2f m², want %.2f", c.name, v.what, got, v.want)
			}
		}
	}
}

// A record of logs that are in doubt says so, and a weight that no meter is off by is not told to mend the
// meter by.
func TestRecordOfALogInDoubt(t *testing.T) {
	dir, mapped := oddPlan(t), filepath.Join(t.TempDir(), "map.yaml")
	os.WriteFile(mapped, []byte(oddColumns+"weighed: 200 gal\n"), 0o666)
	rows := append(cleanLog(), pass(400, -100, 100, oddStart+2000, oddStep, 1)...)
	g, err := (app.Run{}).Applied(t.Context(), dir, app.InputsAt{}, app.Logs{Maps: []string{mapped}, Paths: []string{writeOdd(t, rows, "")}})
	if err != nil {
		t.Fatal(err)
	}
	var said bytes.Buffer
	if err := text.Ground(&said, g); err != nil || !strings.Contains(said.String(), "no meter is that far off") || strings.Contains(said.String(), "meter's factor") {
		t.Errorf("%v: %s", err, said.String())
	}
	out := filepath.Join(t.TempDir(), "out")
	if err := (app.Run{}).WriteGround(t.Context(), out, g); err != nil {
		t.Fatal(err)
	}
	r, err := (app.Run{}).Record(t.Context(), dir, app.InputsAt{}, app.RecordFrom{Applied: out})
	if err != nil {
		t.Fatal(err)
	}
	doubts, off := "", ""
	for _, row := range r.Rows {
		switch row.What {
		case "In doubt, of the logs":
			doubts = row.Value
		case "Off the label's range, as logged":
			off = row.Value
		}
	}
	if !strings.Contains(doubts, "more than a swath away from the field") || off != "0.00 ac" {
		t.Errorf("in doubt: %q, off: %q", doubts, off)
	}
}

func sameSet(a, b []string) bool {
	return len(a) == len(b) && !slices.ContainsFunc(a, func(s string) bool { return !slices.Contains(b, s) })
}

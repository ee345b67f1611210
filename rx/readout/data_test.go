package readout

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
)

// table reads a CSV into columns by name.
func table(t testing.TB, path string) map[string][]string {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	columns := map[string][]string{}
	for k, name := range rows[0] {
		for _, row := range rows[1:] {
			columns[name] = append(columns[name], row[k])
		}
	}
	return columns
}

func number(t testing.TB, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// yieldMap reads the yield monitor's points and the strips drawn on them.
func yieldMap(t testing.TB) ([]Replicate, []Point) {
	t.Helper()
	rows := table(t, "testdata/yieldmap/yieldmap_yield.csv")
	var points []Point
	for i := range rows["lon"] {
		points = append(points, Point{
			Place: orb.Point{number(t, rows["lon"][i]), number(t, rows["lat"][i])},
			Value: number(t, rows["yield_buac"][i]), Area: number(t, rows["dist_in"][i]) * 360 / 6272640, Width: math.NaN(), Record: i,
		})
	}
	text, err := os.ReadFile("testdata/yieldmap/yieldmap_strips.geojson")
	if err != nil {
		t.Fatal(err)
	}
	var layer struct {
		Features []struct {
			Properties struct{ Rep, Treated int }
			Geometry   struct{ Coordinates orb.Polygon }
		}
	}
	if err := json.Unmarshal(text, &layer); err != nil {
		t.Fatal(err)
	}
	var strips []Strip
	for i, f := range layer.Features {
		strips = append(strips, Strip{Rep: f.Properties.Rep, Treated: f.Properties.Treated == 1, Ground: orb.MultiPolygon{f.Geometry.Coordinates}, Record: i})
	}
	reps, bad := Replicates(strips)
	if bad != nil || len(reps) != 6 {
		t.Fatal(bad)
	}
	return reps, points
}

// A public corn yield map on which nothing was tried, with six invented replicates: the true
// difference is 0. The figures were worked out apart from this program, and by R's t.test.
func TestYieldMapReadOut(t *testing.T) {
	reps, points := yieldMap(t)
	field, antenna := Lay(reps), Header{Meters: 9.144}
	kept := DefaultClean.apply(points, 0, true)
	if kept.All != 4949 || len(kept.Points) != 4903 {
		t.Fatalf("kept %d of %d", len(kept.Points), kept.All)
	}
	near(t, "median", kept.Median, 136.6398, 1e-9)
	readings := field.read(kept.Points, antenna, true)
	for i, want := range []float64{-2.456315, -1.852941, 1.357112, 2.380921, 0.038607, -0.943875} {
		near(t, fmt.Sprint("d", i+1), readings[i].Difference, want, 1e-5)
	}
	stripsAsExpected(t, readings)

	e := Of(Differences(readings), 0.95)
	for i, got := range []float64{e.Mean, e.SD, e.SE, e.Interval.Low, e.Interval.High, e.P} {
		near(t, fmt.Sprint("cleaned ", i), got, []float64{-0.246082, 1.871174, 0.763904, -2.209759, 1.717595, 0.760382}[i], 1e-5)
	}
	ninety := Of(e.Differences, 0.9)
	near(t, "90 % low", ninety.Interval.Low, -1.785385, 1e-5)
	near(t, "90 % high", ninety.Interval.High, 1.293221, 1e-5)

	all := Of(Differences(field.read(points, antenna, true)), 0.95)
	near(t, "d5 of all points", all.Differences[4], 5.892295, 1e-5)
	for i, got := range []float64{all.Mean, all.SD, all.SE, all.Interval.Low, all.Interval.High, all.P} {
		near(t, fmt.Sprint("all ", i), got, []float64{0.729533, 3.143060, 1.283149, -2.568907, 4.027973, 0.594246}[i], 1e-5)
	}
}

// stripsAsExpected holds each strip's points, acres and yield against the table.
func stripsAsExpected(t *testing.T, readings []Reading) {
	t.Helper()
	want := table(t, "testdata/yieldmap/yieldmap_strips_expected.csv")
	for i := range want["rep"] {
		rep := readings[i/3]
		m := rep.Means()[map[string]int{"U": 0, "W": 1, "E": 2}[want["strip"][i]]]
		if m.Points != int(number(t, want["n"][i])) {
			t.Errorf("%s %s: %d points", want["rep"][i], want["strip"][i], m.Points)
		}
		near(t, "acres", m.Area, number(t, want["area_ac"][i]), 1e-5)
		near(t, "yield", m.Value, number(t, want["yield_w"][i]), 1e-5)
	}
}

// Six bushels are added to every treated strip: the interval moves with it, and pays.
func TestYieldMapProfit(t *testing.T) {
	reps, points := yieldMap(t)
	field := Lay(reps)
	var d []float64
	for _, r := range field.read(DefaultClean.apply(points, 0, true).Points, Header{}, true) {
		d = append(d, r.Difference+6)
	}
	e := Of(d, 0.95)
	near(t, "mean", e.Mean, 5.753918, 1e-5)
	near(t, "sd", e.SD, 1.871174, 1e-5)
	p := e.Profit(4.25, 9.50)
	near(t, "profit", p.Mean, 14.9542, 1e-4)
	near(t, "low", p.Interval.Low, 6.6085, 1e-4)
	near(t, "high", p.Interval.High, 23.2998, 1e-4)
	near(t, "break-even", p.BreakEven, 2.235294, 1e-6)
	near(t, "one-sided p", 1-p.Chance, 0.002904, 1e-6)
	if p.Verdict != More {
		t.Errorf("verdict %v", p.Verdict)
	}
}

// The whole header must lie in the strip, and half of it and a meter to both sides: a strip
// of two passes keeps fewer points, and one narrower than the header none.
func TestWholeHeader(t *testing.T) {
	reps, points := yieldMap(t)
	field := Lay(reps)
	alone := field.read(points, Header{Meters: 9.144}, true)
	whole := field.read(points, Header{Meters: 6, Whole: true}, true)
	for i := range alone {
		for k, m := range whole[i].Means() {
			a := alone[i].Means()[k]
			if m.Points+m.Over != a.Points || m.Points == 0 {
				t.Errorf("replicate %d: %d in it, %d over the side, %d by antenna", i+1, m.Points, m.Over, a.Points)
			}
		}
	}
	wide := Header{Meters: 9.144, Whole: true}
	narrow := field.Narrow(wide)
	if len(narrow) != 12 {
		t.Errorf("%d strips are too narrow for 30 ft, want the 12 treated ones", len(narrow))
	}
	for _, s := range narrow {
		if near(t, "width", s.Meters, 9.14, 0.5); !s.Treated {
			t.Errorf("the untreated strip of %d is narrow", s.Rep)
		}
	}
	if _, missing := parted(field.read(points, wide, true)); len(missing) != 6 {
		t.Errorf("%v can't be told, want all six", missing)
	}
}

// A published corn N trial (Anselin, Bongiovanni and Lowenberg-DeBoer 2004, American Journal
// of Agricultural Economics 86:675), strip means paired by replicate, in q/ha. One
// randomization served all replicates: this checks arithmetic, not agronomy.
func TestPublishedTrial(t *testing.T) {
	rows := table(t, "testdata/corn_n_trial_strips.csv")
	mean := map[string]float64{}
	for i, year := range rows["year"] {
		mean[year+rows["rep"][i]+rows["nf"][i]] = number(t, rows["yield_q_ha"][i])
	}
	for _, c := range []struct {
		year, level             string
		mean, se, low, high, p  float64
		paysMean, paysLow, pays float64
	}{
		{"1999", "N1", 3.7208591065, 1.5302849847, -2.8634257598, 10.3051439730, 0.1355795998, 0, 0, 0},
		{"1999", "N3", 5.6450171821, 0.8645940694, 1.9249691495, 9.3650652148, 0.0226637338, 9.971568, -15.510761, 35.453897},
		{"1999", "N5", 9.2742611684, 1.6398069903, 2.2187411453, 16.3297811915, 0.0298691181, 0, 0, 0},
		{"2001", "N1", 3.4769548397, 0.2337621852, 2.4711573354, 4.4827523439, 0.0044897065, 0, 0, 0},
		{"2001", "N5", 6.3670551803, 0.8996602757, 2.4961294391, 10.2379809215, 0.0193867796, 0, 0, 0},
	} {
		var d []float64
		for _, rep := range []string{"R1", "R2", "R3"} {
			d = append(d, mean[c.year+rep+c.level]-mean[c.year+rep+"N0"])
		}
		e := Of(d, 0.95)
		what := c.year + " " + c.level
		near(t, what+" mean", e.Mean, c.mean, 1e-8)
		near(t, what+" se", e.SE, c.se, 1e-8)
		near(t, what+" low", e.Interval.Low, c.low, 1e-8)
		near(t, what+" high", e.Interval.High, c.high, 1e-8)
		near(t, what+" p", e.P, c.p, 1e-8)
		if c.pays == 0 {
			continue
		}
		p := e.Profit(6.85, 0.4348*66)
		near(t, "break-even", p.BreakEven, 4.18931387, 1e-8)
		near(t, "profit", p.Mean, c.paysMean, 1e-6)
		near(t, "profit low", p.Interval.Low, c.paysLow, 1e-6)
		near(t, "profit high", p.Interval.High, c.pays, 1e-6)
		if p.Verdict != Untold || e.Verdict(0) != More {
			t.Errorf("%s: yield %v, profit %v", what, e.Verdict(0), p.Verdict)
		}
	}
}

// yieldLanes is the yield map in lanes of 30 ft, cut into 53 bins of 10 m.
func yieldLanes(t testing.TB) (lanes Lanes) {
	t.Helper()
	rows := table(t, "testdata/yieldmap/yieldmap_lanes_clean.csv")
	byLane := map[int][]Bin{}
	for i := range rows["lane"] {
		lane, bin := int(number(t, rows["lane"][i])), int(math.Floor((number(t, rows["y"][i])+320)/10))
		if byLane[lane] == nil {
			byLane[lane] = make([]Bin, 53)
		}
		byLane[lane][bin].add(Bin{1, number(t, rows["bu"][i]), number(t, rows["ac"][i])})
	}
	for _, lane := range slices.Sorted(maps.Keys(byLane)) {
		if lane != len(lanes) {
			t.Fatalf("lane %d has no point", len(lanes))
		}
		lanes = append(lanes, byLane[lane])
	}
	return lanes
}

// The noise of the yield map.
func TestPlanningNoise(t *testing.T) {
	lanes := yieldLanes(t)
	for _, c := range []struct {
		name   string
		p      Pattern
		bins   int
		places int
		rms    float64
	}{
		{"TUT", TUT, 10, 1770, 5.626034}, {"TUT", TUT, 20, 1362, 4.459365}, {"TUT", TUT, 30, 954, 4.035211},
		{"TUUT", TUUT, 10, 1700, 3.664602}, {"TUUT", TUUT, 20, 1306, 3.272715}, {"TUUT", TUUT, 30, 912, 3.061551},
		{"TU", TU, 20, 1418, 5.569591},
	} {
		rms, places := lanes.Noise(c.bins, c.p)
		if places != c.places {
			t.Errorf("%s of %d bins: %d places, want %d", c.name, c.bins, places, c.places)
		}
		near(t, fmt.Sprint(c.name, c.bins), rms, c.rms, 1e-5)
	}
}

// The noise that is planned by, where nobody has a map, is not less than the map's at any length:
// neither with strips of one pass of 30 ft, where it is near to it, nor with wider ones.
func TestUsualNoise(t *testing.T) {
	lanes := yieldLanes(t)
	const mean = 136.4 // bu/ac
	for _, bins := range []int{3, 5, 10, 18, 30} {
		usual := mean * UsualNoise(float64(10*bins))
		narrow, _ := lanes.Noise(bins, TUT)
		wide, _ := lanes.Noise(bins, TUUT)
		t.Logf("%d m: %.2f, of one pass %.2f, of two %.2f", 10*bins, usual, narrow, wide)
		if usual < 0.97*narrow || usual > 1.15*narrow || usual < wide {
			t.Errorf("strips of %d m: %.3f, on the map %.3f in one pass and %.3f in two", 10*bins, usual, narrow, wide)
		}
	}
	near(t, "600 ft", UsualNoise(182.88), 0.033, 1e-15)
}

// uniformity is a maize uniformity trial of 1930: nobody treated anything. Lanes are 8 rows
// wide and 4 plots long.
func uniformity(t testing.TB) (Lanes, []float64) {
	t.Helper()
	rows := table(t, "testdata/maize_uniformity.csv")
	var lanes Lanes
	var yields []float64
	for i := range rows["row"] {
		if rows["year"][i] != "1930" {
			continue
		}
		if rows["yield"][i] == "" {
			continue
		}
		y := number(t, rows["yield"][i])
		row, col := int(number(t, rows["row"][i])), int(number(t, rows["col"][i]))
		if col < 2 || col > 5 {
			continue
		}
		yields = append(yields, y)
		lane := (row - 1) / 8
		for len(lanes) <= lane {
			lanes = append(lanes, []Bin{{}})
		}
		lanes[lane][0].add(Bin{1, y, 1})
	}
	return lanes, yields
}

func TestUniformityNoise(t *testing.T) {
	lanes, yields := uniformity(t)
	e := Of(yields, 0.95)
	if len(yields) != 1196 {
		t.Fatalf("%d plots", len(yields))
	}
	near(t, "mean", e.Mean, 11.54658, 1e-5)
	near(t, "sd", e.SD, 1.80116, 1e-5)
	for _, c := range []struct {
		p      Pattern
		places int
		rms    float64
	}{{TUT, 35, 0.381784}, {TU, 36, 0.513272}} {
		rms, places := lanes.Noise(1, c.p)
		if near(t, "rms", rms, c.rms, 1e-5); places != c.places {
			t.Errorf("%d places, want %d", places, c.places)
		}
	}
}

// A replicate that gives no difference is named, whatever the reason, and the others are told.
func TestMissingIsNamed(t *testing.T) {
	reps, points := yieldMap(t)
	field := Lay(reps)
	o := Options{Clean: DefaultClean, Level: 0.95}
	first := field.places[0][0].bound
	var without []Point
	for _, p := range points {
		if at := meters(p.Place, field.origin, field.scale); !first.Contains(at) {
			without = append(without, p)
		}
	}
	huge := slices.Clone(points)
	for i, p := range huge {
		if at := meters(p.Place, field.origin, field.scale); first.Contains(at) {
			huge[i].Value = math.MaxFloat64
		}
	}
	r, err := field.Yields(without, o)
	if err != nil || len(r.Readings) != 5 || len(r.Missing) != 1 {
		t.Errorf("without points: %d told, missing %q, %v", len(r.Readings), r.Missing, err)
	}
	r, err = field.Indexes(huge, o)
	if err != nil || len(r.Readings) != 5 || len(r.Missing) != 1 {
		t.Errorf("beyond numbers: %d told, missing %q, %v", len(r.Readings), r.Missing, err)
	}
	if _, err := field.Yields(points[:1], o); err == nil {
		t.Error("nothing at all is no error")
	}
}

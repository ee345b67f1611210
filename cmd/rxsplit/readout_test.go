package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/rx/write"
)

// yieldMapDir holds a public yield map on which nothing was tried, and invented strips.
const yieldMapDir = "../../rx/readout/testdata/yieldmap/"

const yieldColumns = `columns: {lon: lon, lat: lat, yield: yield_buac, distance: dist_in, moisture: moist, flow: flow_lb_s, seconds: seconds}
yield-unit: bu/ac
distance-unit: in
header: 360 in
price: 4.25 $/bu
cost: 9.50 $/ac
`

// readoutRun runs a command and returns its status, output and messages.
func readoutRun(t *testing.T, args ...string) (status int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	status = run(args, strings.NewReader(""), &o, &e)
	return status, o.String(), e.String()
}

func writeText(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "map.yaml")
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

type saidJSON struct {
	Schema, What, Verdict string
	Mean, SD, SE, P       float64
	Interval              [2]float64
	Replicates            []struct{ Difference float64 }
	All                   struct{ Mean float64 } `json:"all_points"`
	Profit                struct {
		Mean, PPays, BreakEven float64
		Verdict                string
	} `json:"profit"`
	Cleaning struct{ Points, Kept int } `json:"cleaning"`
	Others   []struct {
		What, Verdict string
		Ratio         struct{ Mean float64 }
	} `json:"others"`
	Pooled struct {
		Mean, Tau2 float64
		Interval   [2]float64
		Verdict    string
	} `json:"pooled"`
	Remarks []string
}

func said(t *testing.T, out string) (doc saidJSON) {
	t.Helper()
	if err := json.Unmarshal([]byte(out), &doc); err != nil {
		t.Fatalf("%v in %q", err, out)
	}
	return doc
}

// The whole read-out of the yield map, from files to JSON: figures worked out apart from this
// program, and by R's t.test. The true difference is 0.
func TestReadoutOfYieldMap(t *testing.T) {
	m := writeText(t, yieldColumns+"yield-is: dry\ninside: point\n")
	status, out, errs := readoutRun(t, "readout", "--strips", yieldMapDir+"yieldmap_strips.geojson", "--yield", yieldMapDir+"yieldmap_yield.csv", "--map", m, "--json")
	if status != exitFlagged {
		t.Fatalf("status %d: %s", status, errs)
	}
	doc := said(t, out)
	for what, pair := range map[string][2]float64{
		"mean": {doc.Mean, -0.246082}, "sd": {doc.SD, 1.871174}, "se": {doc.SE, 0.763904}, "p": {doc.P, 0.760382}, "low": {doc.Interval[0], -2.209759}, "high": {doc.Interval[1], 1.717595},
		"all points": {doc.All.Mean, 0.729533}, "first": {doc.Replicates[0].Difference, -2.456315},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-5 {
			t.Errorf("%s: %v, want %v", what, pair[0], pair[1])
		}
	}
	if doc.Verdict != "cannot be told" || doc.Cleaning.Points != 4949 || doc.Cleaning.Kept != 4903 || doc.What != "yield" || doc.Schema != "rxsplit.readout/1" {
		t.Errorf("%+v", doc)
	}
	if doc.Profit.Verdict != "less" { // 9.50 $/ac were spent for nothing
		t.Errorf("profit %+v", doc.Profit)
	}
	if len(doc.Remarks) != 1 || !strings.Contains(doc.Remarks[0], "Cleaning changes the verdict") {
		t.Errorf("remarks %q", doc.Remarks)
	}
}

// The system that is named counts, whatever the file says of its places: degrees are no meters, and
// the same map of meters is read where its zone is named.
func TestReadoutMindsTheSystem(t *testing.T) {
	m := writeText(t, yieldColumns+"yield-is: dry\ninside: point\n")
	args := []string{"readout", "--strips", yieldMapDir + "yieldmap_strips.geojson", "--yield", yieldMapDir + "yieldmap_yield.csv", "--map", m, "--json"}
	_, plain, _ := readoutRun(t, args...)
	if status, out, errs := readoutRun(t, append(args, "--crs", "EPSG:4326")...); status != exitFlagged || said(t, out).Mean != said(t, plain).Mean {
		t.Errorf("the system that it is in: status %d: %s", status, errs)
	}
	if status, _, errs := readoutRun(t, append(args, "--crs", "EPSG:32615")...); status != exitFailed || errs == "" {
		t.Errorf("degrees as meters: status %d: %s", status, errs)
	}
}

// A folder is written whole and proved; the same again gives the same bytes; a changed one is
// named.
func TestReadoutFolder(t *testing.T) {
	m := writeText(t, yieldColumns+"yield-is: dry\ninside: point\n")
	dir := filepath.Join(t.TempDir(), "said")
	args := []string{"readout", "--strips", yieldMapDir + "yieldmap_strips.geojson", "--yield", yieldMapDir + "yieldmap_yield.csv", "--map", m, "--out", dir}
	if status, _, errs := readoutRun(t, args...); status == exitFailed {
		t.Fatal(errs)
	}
	if status, _, errs := readoutRun(t, "verify", dir); status != exitClean {
		t.Fatal(errs)
	}
	if status, _, errs := readoutRun(t, args...); status != exitFailed || !strings.Contains(errs, dir) {
		t.Errorf("a folder is written over: %s", errs)
	}
	path := filepath.Join(dir, "readout.json")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, bytes.Replace(text, []byte(`"verdict":"cannot be told"`), []byte(`"verdict":"more"`), 1), 0o666); err != nil {
		t.Fatal(err)
	}
	if status, _, errs := readoutRun(t, "verify", dir); status != exitFailed || !strings.Contains(errs, "readout.json") {
		t.Errorf("a forged verdict is not named: %s", errs)
	}
}

// Bad data is refused or told, each by its own name.
func TestReadoutNamesBadData(t *testing.T) {
	strips, yields := yieldMapDir+"yieldmap_strips.geojson", yieldMapDir+"yieldmap_yield.csv"
	text, err := os.ReadFile(yields)
	if err != nil {
		t.Fatal(err)
	}
	dry := yieldColumns + "inside: point\n"
	for _, c := range []struct {
		name, columns string
		change        func(head bool, cells []string) []string // of the yields
		status        int
		want          string
	}{
		{"header wider than strips", yieldColumns + "yield-is: dry\n", nil, exitFailed, "does not fit into"},
		{"header that lies wholly in none", strings.Replace(yieldColumns, "360 in", "270 in", 1) + "yield-is: dry\n", func(head bool, cells []string) []string {
			if !head { // a third of a strip to the side
				var lon, lat float64
				fmt.Sscan(cells[0], &lon)
				fmt.Sscan(cells[1], &lat)
				cells[0], cells[1] = fmt.Sprint(lon+4e-5), fmt.Sprint(lat+3e-5)
			}
			return cells
		}, exitFailed, "say inside: point there"},
		{"moisture without its meaning", dry, nil, exitFailed, "yield-is"},
		{"unknown column", strings.Replace(dry, "yield_buac", "yield", 1) + "yield-is: dry\n", nil, exitFailed, `no column "yield"`},
		{"price of another unit", strings.Replace(dry, "$/bu", "$/t", 1) + "yield-is: dry\n", nil, exitFailed, "yield-unit wants it for one bu"},
		{"wet yield", dry + "yield-is: dry\n", func(head bool, cells []string) []string {
			if !head {
				var y, moist float64
				fmt.Sscan(cells[7], &y)
				fmt.Sscan(cells[5], &moist)
				cells[7] = fmt.Sprint(y * 84.5 / (100 - moist))
			}
			return cells
		}, exitFlagged, "flow of wet grain"},
		{"two years", strings.Replace(dry, "seconds: seconds", "seconds: seconds, time: when", 1) + "yield-is: dry\ntime-form: iso\n", func(head bool, cells []string) []string {
			if head {
				return append(cells, "when")
			}
			return append(cells, map[bool]string{true: "2010-11-05T10:00:00", false: "2011-11-05T10:00:00"}[cells[7] < "140"])
		}, exitFailed, "two years are two answers"},
		{"strips driven over", dry + "yield-is: dry\n", func(head bool, cells []string) []string {
			if !head { // the same ground, cut from west to east: records follow one another along a parallel
				cells[0], cells[1] = across(cells)
			}
			return cells
		}, exitFlagged, "Driven over, not along: replicate 1:"},
		{"no map", "- a\n", nil, exitFailed, "rxsplit readout new"},
		{"no number", dry + "yield-is: dry\n", func(head bool, cells []string) []string {
			if cells[2] == "3" {
				cells[7] = "12,5 bu"
			}
			return cells
		}, exitFailed, "12,5 bu"},
		{"another field", dry + "yield-is: dry\n", func(head bool, cells []string) []string {
			if !head {
				cells[0] = "-90.1"
			}
			return cells
		}, exitFailed, "of the same field"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := yields
			if c.change != nil {
				var b strings.Builder
				for i, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
					for k, cell := range c.change(i == 0, strings.Split(line, ",")) {
						if k > 0 {
							b.WriteByte(',')
						}
						if strings.Contains(cell, ",") {
							cell = `"` + cell + `"`
						}
						b.WriteString(cell)
					}
					b.WriteByte('\n')
				}
				path = filepath.Join(t.TempDir(), "yield.csv")
				if err := os.WriteFile(path, []byte(b.String()), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			status, out, errs := readoutRun(t, "readout", "--strips", strips, "--yield", path, "--map", writeText(t, c.columns))
			flat := strings.Join(strings.Fields(out+errs), " ")
			if status != c.status || !strings.Contains(flat, c.want) {
				t.Errorf("status %d, want %d; %q not in:\n%s", status, c.status, c.want, flat)
			}
		})
	}
}

// across gives the records of a yield map places on courses that lead across its strips.
func across(cells []string) (lon, lat string) {
	var t int
	fmt.Sscan(cells[2], &t)
	row, along := (t/3)/60, (t/3)%60
	return fmt.Sprintf("%.7f", -93.9796+float64(along)*0.00008), fmt.Sprintf("%.7f", 43.9214+float64(row)*0.00008)
}

// An index is read beside the yield, every point of the same weight, and never priced.
func TestReadoutOfIndex(t *testing.T) {
	m := writeText(t, yieldColumns+"yield-is: dry\ninside: point\nindex: {lon: lon, lat: lat, value: moist}\n")
	yields := yieldMapDir + "yieldmap_yield.csv"
	_, out, errs := readoutRun(t, "readout", "--strips", yieldMapDir+"yieldmap_strips.geojson", "--yield", yields, "--index", yields, "--map", m, "--json")
	doc := said(t, out)
	if len(doc.Others) != 1 || doc.Others[0].What != "index" || doc.Others[0].Verdict == "" {
		t.Errorf("%s %+v", errs, doc.Others)
	}
}

// Points of a layer say the same as those of a CSV: the map's lon and lat are for CSV alone.
func TestReadoutOfLayer(t *testing.T) {
	text, err := os.ReadFile(yieldMapDir + "yieldmap_yield.csv")
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","features":[`)
	for i, line := range strings.Split(strings.TrimSpace(string(text)), "\n")[1:] {
		c := strings.Split(strings.TrimSpace(line), ",")
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, `{"type":"Feature","geometry":{"type":"Point","coordinates":[%s,%s]},"properties":{"dist_in":%s,"yield_buac":%s}}`, c[0], c[1], c[4], c[7])
	}
	b.WriteString("]}")
	path := filepath.Join(t.TempDir(), "yield.geojson")
	if err := os.WriteFile(path, []byte(b.String()), 0o666); err != nil {
		t.Fatal(err)
	}
	columns := strings.Replace(yieldColumns, ", moisture: moist, flow: flow_lb_s, seconds: seconds", "", 1)
	_, out, errs := readoutRun(t, "readout", "--strips", yieldMapDir+"yieldmap_strips.geojson", "--yield", path, "--map", writeText(t, columns+"inside: point\n"), "--json")
	if doc := said(t, out); math.Abs(doc.Mean+0.246082) > 1e-5 || math.Abs(doc.All.Mean-0.729533) > 1e-5 {
		t.Errorf("%s %+v", errs, doc)
	}
}

// Stalk samples: nitrate for nitrate-N must be said, and looks odd where it is not; a value
// under the limit of detection is flagged.
func TestReadoutOfStalks(t *testing.T) {
	var b strings.Builder
	b.WriteString("strip,side,ppm\n")
	for rep := 1; rep <= 5; rep++ {
		u := 200*rep + 10*rep*rep
		fmt.Fprintf(&b, "%d,0,%d\n%d,1,%d\n%d,1,%d\n", rep, u, rep, 2*u+5*rep, rep, 2*u-3*rep)
	}
	table := filepath.Join(t.TempDir(), "stalks.csv")
	write := func(text string) {
		if err := os.WriteFile(table, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write(b.String())
	columns := "stalks: {rep: strip, treated: side, value: ppm"
	status, _, errs := readoutRun(t, "readout", "--stalks", table, "--map", writeText(t, columns+"}\n"))
	if status != exitFailed || !strings.Contains(errs, "reported-as") {
		t.Errorf("%d %s", status, errs)
	}
	status, out, errs := readoutRun(t, "readout", "--stalks", table, "--map", writeText(t, columns+", reported-as: nitrate-N}\n"), "--json")
	doc := said(t, out)
	if status != exitClean || doc.What != "stalk" || doc.Verdict != "more" || math.Abs(math.Exp(doc.Mean)-2) > 0.02 {
		t.Errorf("%d %s %+v", status, errs, doc)
	}
	write(b.String() + "6,0,<20\n6,1,60000\n6,1,50000\n")
	status, out, _ = readoutRun(t, "readout", "--stalks", table, "--map", writeText(t, columns+", reported-as: nitrate-N}\n"))
	flat := strings.Join(strings.Fields(out), " ")
	if status != exitFlagged || !strings.Contains(flat, "1 sample is under the limit of detection") || !strings.Contains(flat, "is it nitrate, not nitrate-N?") {
		t.Errorf("%d %s", status, flat)
	}
	write(b.String() + "6,0,0\n")
	if status, _, errs := readoutRun(t, "readout", "--stalks", table, "--map", writeText(t, columns+", reported-as: nitrate-N}\n")); status != exitFailed || !strings.Contains(errs, "detection-limit") {
		t.Errorf("%d %s", status, errs)
	}
}

// Three fields are joined; a field without an interval, or the same one twice, is refused.
func TestReadoutTogether(t *testing.T) {
	root := t.TempDir()
	var dirs []string
	for i, add := range []float64{0, 6, 9} {
		dir := filepath.Join(root, fmt.Sprint("field", i))
		if err := os.Mkdir(dir, 0o777); err != nil {
			t.Fatal(err)
		}
		text := `{"schema":"rxsplit.readout/1","what":"yield","unit":"bu/ac","level":0.95,"replicates":[`
		for k, d := range []float64{-2, 1, 3, 0.5, 1.5, -1} {
			text += fmt.Sprintf(`{"rep":%d,"difference":%v},`, k+1, d+add)
		}
		zeros := strings.Repeat("0", 64)
		text = strings.TrimSuffix(text, ",") + `],"profit":{"break_even":2},"self":"` + zeros + `"}`
		text = strings.Replace(text, zeros, write.Digest([]byte(text)), 1)
		if err := os.WriteFile(filepath.Join(dir, "readout.json"), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		dirs = append(dirs, dir)
	}
	status, out, errs := readoutRun(t, append([]string{"readout", "--json", "--together"}, dirs...)...)
	doc := said(t, out)
	if status != exitClean || math.Abs(doc.Pooled.Mean-5.5) > 1e-9 || doc.Pooled.Verdict != "cannot be told" || doc.Pooled.Tau2 <= 0 {
		t.Errorf("%d %s %+v", status, errs, doc.Pooled)
	}
	for _, bad := range [][]string{{dirs[0]}, {dirs[0], dirs[0]}, {dirs[0], root}} {
		if status, _, errs := readoutRun(t, append([]string{"readout", "--together"}, bad...)...); status != exitFailed || !strings.Contains(errs, "\n  ") {
			t.Errorf("%v: %d %s", bad, status, errs)
		}
	}
}

// The map to fill in is one that can be read once it is filled in.
func TestReadoutNew(t *testing.T) {
	_, text, _ := readoutRun(t, "readout", "new")
	m := writeText(t, strings.Replace(text, "  yield:  ", "  yield: yield_buac ", 1))
	status, _, errs := readoutRun(t, "readout", "--strips", yieldMapDir+"yieldmap_strips.geojson", "--yield", yieldMapDir+"yieldmap_yield.csv", "--map", m)
	if status != exitFailed || !strings.Contains(errs, "does not fit into") {
		t.Errorf("%d %s", status, errs)
	}
}

// Yields worked out from flow, moisture and distance are those that the public yield map has
// itself: at 56 lb a bushel and 15.5 % it comes to the same differences.
func TestYieldsFromFlow(t *testing.T) {
	columns := strings.Replace(yieldColumns, "yield: yield_buac, ", "", 1) + "inside: point\nflow-unit: lb/s\nbushel: 56 lb\n"
	args := []string{"readout", "--strips", yieldMapDir + "yieldmap_strips.geojson", "--yield", yieldMapDir + "yieldmap_yield.csv", "--json", "--map"}
	status, out, errs := readoutRun(t, append(args, writeText(t, columns))...)
	if status == exitFailed {
		t.Fatal(errs)
	}
	doc := said(t, out)
	for what, pair := range map[string][2]float64{"mean": {doc.Mean, -0.246082}, "sd": {doc.SD, 1.871174}, "p": {doc.P, 0.760382}, "first": {doc.Replicates[0].Difference, -2.456315}} {
		if math.Abs(pair[0]-pair[1]) > 2e-5 { // the map rounds its yields to four decimals
			t.Errorf("%s: %v, want %v", what, pair[0], pair[1])
		}
	}
	if doc.Cleaning.Kept != 4903 {
		t.Errorf("%d points kept", doc.Cleaning.Kept)
	}
	for _, c := range []struct{ from, to, want string }{
		{"bushel: 56 lb\n", "", "what one weighs"},
		{"flow-unit: lb/s\n", "", "give flow-unit"},
		{"flow-unit: lb/s", "flow-unit: lb/h", "weight for each second"},
		{"moisture: moist, ", "", "without columns: moisture"},
		{"distance: dist_in, ", "", "without the ground"},
		{"bushel: 56 lb", "bushel: heavy", "want a weight"},
	} {
		status, _, errs := readoutRun(t, append(args, writeText(t, strings.Replace(columns, c.from, c.to, 1)))...)
		if status != exitFailed || !strings.Contains(errs, c.want) {
			t.Errorf("%s: %d, %s", c.want, status, errs)
		}
	}
}

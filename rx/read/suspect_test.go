package read

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/geo/invent"
	"rxsplit/geo/shapefile"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// columns returns properties with several fields, a row a record.
func columns(names []string, rows ...[]any) []string {
	var list []string
	for _, row := range rows {
		var cells []string
		for i, v := range row {
			cells = append(cells, fmt.Sprintf("%q:%v", names[i], v))
		}
		list = append(list, strings.Join(cells, ","))
	}
	return list
}

// five are zones with two columns.
func five(rate, other string, values ...any) string {
	var rows [][]any
	for i := 0; i < len(values); i += 2 {
		rows = append(rows, values[i:i+2])
	}
	return field(columns([]string{rate, other}, rows...)...)
}

// ofN says that a field counts N, of urea.
func ofN(field string) Options {
	return Options{RateFields: []string{field}, RateOf: "N", Analysis: []string{"46-0-0"}}
}

// ha are the hectares of a square of [field].
const ha = squareAcres / 2.471053815

// Columns that say that the rate is none, or of another kind.
func TestSuspectColumns(t *testing.T) {
	times := func(factor float64, values ...float64) (list []any) {
		for _, v := range values {
			list = append(list, v, fmt.Sprintf("%.4f", v*factor))
		}
		return list
	}
	mixed := []float64{150, 210, 180, 120, 240}
	small := []float64{69, 97, 83, 55, 110}
	for _, c := range []struct {
		name, text string
		opt        Options
		want       string // rules
		says       string
	}{
		{"row numbers", five("R", "X", 101, 0, 102, 0, 103, 0, 104, 0, 105, 0), Options{}, "rate-is-id warning", "field R holds whole numbers that grow from row to row"},
		{"row numbers with gaps", five("R", "X", 101, 0, 103, 0, 104, 0, 107, 0, 108, 0), Options{}, "rate-is-id warning", ""},
		{"sorted rates", five("R", "X", 100, 0, 120, 0, 140, 0, 160, 0, 180, 0), Options{}, "", ""},
		{"four rates that grow by one", five("R", "X", 101, 0, 102, 0, 103, 0, 104, 0), Options{}, "", ""},
		{"rates that fall by one", five("R", "X", 105, 0, 104, 0, 103, 0, 102, 0, 101, 0), Options{}, "", ""},

		{"amounts by the hectare", five("R", "KG", times(ha, mixed...)...), Options{}, "rate-per-area warning", "field KG is each zone's R times its hectares: the rates count per hectare, but were taken per acre"},
		{"tons by the hectare", five("R", "T", times(ha/1000, mixed...)...), Options{}, "rate-per-area warning", ""},
		{"amounts by the acre", five("R", "LB", times(squareAcres, mixed...)...), Options{}, "", ""},
		{"amounts by the acre, taken by the hectare", five("R", "LB", times(squareAcres, mixed...)...), Options{RateUnit: "kg/ha"}, "rate-per-area warning", "taken per hectare"},
		{"amounts by the hectare, taken so", five("R", "KG", times(ha, mixed...)...), Options{RateUnit: "kg/ha"}, "", ""},

		{"N beside its product", five("R", "UREA", 69, 150, 97, 211, 83, 180, 55, 120, 110, 239), Options{}, "rate-of-n warning", "field R is 0.46 times field UREA in each zone"},
		{"N beside its product, said to be product", five("R", "UREA", 69, 150, 97, 211, 83, 180, 55, 120, 110, 239), Options{RateOf: "product"}, "rate-named-n warning", "it was taken as product, as was said"},
		{"N for a name, said to be product", five("N_RATE", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"N_RATE"}, RateOf: "product"}, "rate-named-n warning", "as was said, though its name speaks of N"},
		{"product beside its N", five("R", "N_LBAC", times(0.46, mixed...)...), Options{}, "", ""},
		{"the same rate everywhere", five("R", "UREA", 92, 200, 92, 200, 92, 200), Options{}, "", ""},
		{"a blend in proportion", five("R", "POTASH", 200, 56, 300, 84, 250, 70), Options{RateFields: []string{"R", "POTASH"}}, "", ""},
		{"a product added to its N", five("R", "N_LB", 200, 92, 300, 138, 250, 115), Options{RateFields: []string{"R", "N_LB"}}, "rate-of-n warning", "field N_LB is 0.46 times field R"},
		{"half of another field", five("R", "X", times(2, small...)...), Options{}, "", ""},
		{"N for a name", five("N_RATE", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"N_RATE"}}, "rate-of-n warning", "its name speaks of N"},
		{"nitrogen for a name", five("TotNitrogen", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"TotNitrogen"}}, "rate-of-n warning", ""},
		{"nitro for a name", five("NITRO", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"NITRO"}}, "rate-of-n warning", "its name speaks of N"},
		{"nitro before a word", five("NITRO_RATE", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"NITRO_RATE"}}, "rate-of-n warning", ""},
		{"ammonia", five("NH3", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"NH3"}}, "rate-of-n warning", ""},
		{"n behind a word", five("TARGETN", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"TARGETN"}}, "rate-of-n warning", ""},
		{"units of n", five("NUNITS", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"NUNITS"}}, "rate-of-n warning", ""},
		{"pounds of n", five("NLBA", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"NLBA"}}, "rate-of-n warning", ""},
		{"words that begin and end with n", five("NorthAcres_Plan_Urean", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"NorthAcres_Plan_Urean"}}, "", ""},
		{"urea, said to be N", five("UREA", "X", 150, 0, 210, 0, 180, 0), ofN("UREA"), "rate-named-product warning", "field UREA was taken as N, as was said, though its name speaks of urea"},
		{"urea in a word, said to be N", five("UREALBS", "X", 150, 0, 210, 0, 180, 0), ofN("UREALBS"), "rate-named-product warning", "urea"},
		{"two words, said to be N", five("Ammonium_Sulfate", "X", 150, 0, 210, 0, 180, 0), ofN("Ammonium_Sulfate"), "rate-named-product warning", "ammonium sulfate"},
		{"N of urea", five("UREA_N", "X", 150, 0, 210, 0, 180, 0), ofN("UREA_N"), "", ""},
		{"N", five("R", "X", 150, 0, 210, 0, 180, 0), ofN("R"), "", ""},
		{"product beside its N, said to be N", five("R", "X", times(0.46, mixed...)...), ofN("R"), "rate-named-product warning", "field X is 0.46 times field R in each zone"},
		{"no rate above 0", five("R", "X", 0, 1, 0, 2, 0, 3), Options{}, "rate-zero warning", "every rate of field R is 0"},

		{"kg/ha in a name", five("RATEKGHA", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"RATEKGHA"}}, "rate-unit warning", "field RATEKGHA was taken as lb/ac of product, but its name speaks of another unit"},
		{"kg/ha behind a product", five("UREA_KGHA", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"UREA_KGHA"}}, "rate-unit warning", ""},
		{"kg per ha", five("KGPERHA", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"KGPERHA"}}, "rate-unit warning", ""},
		{"kg/ha, taken so", five("DOSEKGHA", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"DOSEKGHA"}, RateUnit: "kg/ha"}, "", ""},
		{"lb/ac, taken as kg/ha", five("RATE_LBAC", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"RATE_LBAC"}, RateUnit: "kg/ha"}, "rate-unit warning", ""},
		{"lb/ac in three words, taken as kg/ha", five("LbsPerAcre", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"LbsPerAcre"}, RateUnit: "kg/ha"}, "rate-unit warning", "field LbsPerAcre was taken as kg/ha of product"},
		{"lb/ac in three words", five("lbs_per_acre", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"lbs_per_acre"}}, "", ""},
		{"kg/ha in three words", five("KilogramsPerHectare", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"KilogramsPerHectare"}}, "rate-unit warning", ""},
		{"L/ha in three words", five("L_per_ha", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"L_per_ha"}, RateUnit: "kg/ha"}, "rate-unit warning", ""},
		{"pints in three words", five("pt_per_ac", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"pt_per_ac"}}, "rate-unit warning", ""},
		{"an n in a name", five("ZONE_RATE_IN", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"ZONE_RATE_IN"}}, "", ""},

		{"acres that are too many", five("R", "ACRES", times(1, mixed...)...), Options{}, "area-differs warning", "field ACRES adds up to 900 ac, the polygons measure 259.7 ac"},
		{"hectares that are called acres", five("R", "ACRES", 150, ha, 210, ha, 180, ha*1.001), Options{}, "area-differs warning", "as if hectares were called acres"},
		{"acres", five("R", "ACRES", 150, squareAcres, 210, squareAcres, 180, squareAcres*1.01), Options{}, "", ""},
		{"acres of the whole field", five("R", "ACRES", 150, 160, 210, 160, 180, 160), Options{}, "", ""},
		{"pounds an acre", five("R", "LB_AC", 150, 2, 210, 3, 180, 4), Options{}, "", ""},
	} {
		if c.opt.RateUnit == "" {
			c.opt.RateUnit = "lb/ac"
		}
		if c.opt.RateFields == nil {
			c.opt.RateFields = []string{"R"}
		}
		p := prescription(t, c.text, c.opt)
		if got := rules(p.Findings); got != c.want {
			t.Errorf("%s: findings %q, want %q", c.name, got, c.want)
			continue
		}
		if c.want == "" {
			continue
		}
		f := p.Findings[0]
		if !strings.Contains(said(f).Text, c.says) || said(f).Hint == "" || said(f).Got == "" || said(f).Want == "" && f.Rule() != "rate-unit" || f.Field == "" || f.Doubt() == slices.Contains([]string{"rate-named-n", "rate-named-product", "rate-zero"}, f.Rule()) {
			t.Errorf("%s: %+v, want text with %q, got, want, field and hint", c.name, f, c.says)
		}
	}
}

// A table with as many rows in another order shows if it holds areas, and only then.
func TestRowsInAnotherOrder(t *testing.T) {
	widths := []float64{0.002, 0.004, 0.006, 0.008, 0.010, 0.012}
	layer := func(order []int, name string) string {
		var features []string
		west := -90.4
		for i, w := range widths {
			ring := fmt.Sprintf("[[%f,47.3],[%f,47.3],[%f,47.305],[%f,47.305],[%f,47.3]]", west, west+w, west+w, west, west)
			acres := squareAcres * widths[order[i]] / 0.005
			features = append(features, fmt.Sprintf(`{"type":"Feature","properties":{"R":%d,%q:%.2f},"geometry":{"type":"Polygon","coordinates":[%s]}}`, 100+10*order[i], name, acres, ring))
			west += w
		}
		return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
	}
	turned := []int{5, 4, 3, 2, 1, 0}
	for _, c := range []struct {
		name  string
		order []int
		field string
		want  string
	}{
		{"in order", []int{0, 1, 2, 3, 4, 5}, "ACRES", ""},
		{"turned round", turned, "ACRES", "row-order error"},
		{"turned round, under another name", turned, "X", ""},
		{"of another file", []int{2, 3, 2, 4, 4, 1}, "ACRES", "area-differs warning"},
	} {
		p := prescription(t, layer(c.order, c.field), Options{RateFields: []string{"R"}, RateUnit: "lb/ac"})
		if got := rules(p.Findings); got != c.want {
			t.Errorf("%s: findings %q, want %q", c.name, got, c.want)
		}
	}
}

// withRates reads the four zones with a rate column of the given cells.
func withRates(t *testing.T, cells [4]string, width, decimals int) *rx.Prescription {
	t.Helper()
	l := invent.FourZones()
	f := openFile(t, partsWith(t, &l.Shapes, geo.Column{
		Name: "R", Width: width, Decimals: decimals,
		Text: func(dst []byte, row int) []byte { return append(dst, cells[row]...) },
	}, 4326, ""), FileOptions{})
	p, err := Prescription(f, Options{RateFields: []string{"R"}, RateUnit: "lb/ac"})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Decimals in a field that declares none are cut off by other readers: GDAL 3.6
// reads 150.75 as 150.
func TestCutDecimals(t *testing.T) {
	p := withRates(t, [4]string{"150.75", "180", "200.0", "1.5e2"}, 9, 0)
	f := finding(t, p.Findings, "rate-decimals")
	if f.Severity != rx.Warning || fmt.Sprint(f.Zones) != "[1]" || said(f).Got != "150.75" || said(f).Hint == "" {
		t.Errorf("%+v", f)
	}
	for _, decimals := range []int{2, 0} {
		cells := [4]string{"150.75", "180.00", "200.50", "150.00"}
		if decimals == 0 {
			cells = [4]string{"150", "180", "200", "150"}
		}
		if got := rules(withRates(t, cells, 9, decimals).Findings); got != "" {
			t.Errorf("%d decimals: findings %q, want none", decimals, got)
		}
	}
}

// Latitude and longitude that are swapped are refused where no field could be.
func TestSwappedAxes(t *testing.T) {
	at := func(x, y float64) string {
		const d = 0.005
		return fmt.Sprintf(`{"type":"Feature","properties":{"R":200},"geometry":{"type":"Polygon","coordinates":[[[%g,%g],[%g,%g],[%g,%g],[%g,%g],[%g,%g]]]}}`,
			x, y, x+d, y, x+d, y+d, x, y+d, x, y)
	}
	for _, c := range []struct {
		x, y float64
		what string // of the refusal
	}{
		{42, -93, "are not degrees"},
		{41, -88, "lie beyond 70° of latitude"},
		{36, 75, "lie beyond 70° of latitude"},
		{52, 137, "are not degrees"},
	} {
		_, err := Open("-", FileOptions{Stdin: strings.NewReader(at(c.x, c.y))})
		var e *Error
		if !errors.As(err, &e) || !strings.Contains(e.What, c.what) || e.Hint != hintSwapped {
			t.Errorf("%g, %g: %+v, want %q and the hint", c.x, c.y, err, c.what)
		}
	}
	for _, c := range []struct {
		x, y float64
		want string
	}{
		{45, -69, "no-land warning"}, // Maine the wrong way round
		{-100, -60, "no-land warning"},
		{-93, 42, ""},
		{25, 60, ""},
		{-70, -54, ""},
		{10, 45, ""}, // and 45, 10 is land as well: nothing can be seen
		{45, 10, ""},
		{0.2, 0.1, "no-land warning"},
		{3, 2, "no-land warning"},  // 480 km off Lagos
		{3, 4.5, ""},               // nearer a coast than the degrees of the table tell
		{52, 5, "no-land warning"}, // and swapped in the Netherlands
		{5, 52, ""},
		{0.2, 51, ""},
	} {
		p := prescription(t, at(c.x, c.y), Options{RateUnit: "lb/ac"})
		if got := rules(p.Findings); got != c.want {
			t.Errorf("%g, %g: findings %q, want %q", c.x, c.y, got, c.want)
			continue
		}
		if c.want != "" && (p.Findings[0].Place == nil || said(p.Findings[0]).Got == "" || (said(p.Findings[0]).Hint == hintSwapped) != (c.x == 45 || c.x == 52)) {
			t.Errorf("%g, %g: %+v", c.x, c.y, p.Findings[0])
		}
	}
}

// A plane of plots is no swapped field.
func TestPlotsAreNotSwapped(t *testing.T) {
	var plots geo.Shapes
	plots.Append(orb.MultiPolygon{{{{10, 10}, {80, 10}, {80, 120}, {10, 120}, {10, 10}}}})
	_, err := Open(partsWith(t, &plots, invent.FourZones().Columns()[0], 0, ""), FileOptions{})
	var e *Error
	if !errors.As(err, &e) || !strings.Contains(e.Hint, "--crs EPSG:n") {
		t.Errorf("%+v, want a hint at --crs", err)
	}
}

// A field of areas is no rate, even if it is named.
func TestRateIsArea(t *testing.T) {
	strip := func(field string, widths ...float64) string {
		var features []string
		west := -90.4
		for _, w := range widths {
			ring := fmt.Sprintf("[[%f,47.3],[%f,47.3],[%f,47.305],[%f,47.305],[%f,47.3]]", west, west+w, west+w, west, west)
			features = append(features, fmt.Sprintf(`{"type":"Feature","properties":{%q:%.2f},"geometry":{"type":"Polygon","coordinates":[%s]}}`, field, squareAcres*w/0.005, ring))
			west += w
		}
		return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
	}
	for _, c := range []struct{ name, text, want string }{
		{"areas", strip("R", 0.005, 0.01, 0.008), "rate-is-area warning"},
		{"cells of one size, by chance", strip("R", 0.005, 0.005, 0.005), ""},
		{"rates", strings.Replace(strip("R", 0.005, 0.01, 0.008), `"R":`, `"R":1`, 1), ""},
	} {
		p := prescription(t, c.text, Options{RateFields: []string{"R"}, RateUnit: "lb/ac"})
		if got := rules(p.Findings); got != c.want {
			t.Errorf("%s: findings %q, want %q", c.name, got, c.want)
		}
	}
}

// A grid of square cells shows swapped axes where the place does not.
func TestSwappedCells(t *testing.T) {
	grid := func(lon, lat, width, height float64, swap bool) string {
		var features []string
		dy := height / metersPerDegree
		dx := width / metersPerDegree / math.Cos(lat*math.Pi/180)
		for i := range 100 {
			x, y := lon+float64(i%10)*dx, lat+float64(i/10)*dy
			var corners []string
			for _, p := range []orb.Point{{x, y}, {x + dx, y}, {x + dx, y + dy}, {x, y + dy}, {x, y}} {
				if swap {
					p[0], p[1] = p[1], p[0]
				}
				corners = append(corners, fmt.Sprintf("[%.9f,%.9f]", p[0], p[1]))
			}
			features = append(features, fmt.Sprintf(`{"type":"Feature","properties":{"R":%d},"geometry":{"type":"Polygon","coordinates":[[%s]]}}`, 120+i%3, strings.Join(corners, ",")))
		}
		return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
	}
	degree := 30 / metersPerDegree * math.Cos(48*math.Pi/180)
	for _, c := range []struct {
		name, text, want string
	}{
		{"squares of 30 m", grid(20, 48, 30, 30, false), ""},
		{"the same, swapped", grid(20, 48, 30, 30, true), "axes-swapped warning"},
		{"oblong cells", grid(20, 48, 30, 20, false), ""},
		{"oblong cells, swapped", grid(20, 48, 30, 20, true), ""},
		{"cells that would be square at 60 south", grid(-60, -35, 30*math.Cos(35*math.Pi/180), 60, false), ""},
		{"cells square in degrees near Greenwich", grid(2, 48, degree*metersPerDegree, degree*metersPerDegree/math.Cos(48*math.Pi/180), false), ""},
	} {
		p := prescription(t, c.text, Options{RateUnit: "lb/ac"})
		if got := rules(significant(p.Findings)); got != c.want {
			t.Errorf("%s: findings %q, want %q", c.name, got, c.want)
		}
	}
}

// in returns the four zones in a system, and what a file makes of them that names
// another one.
func in(t *testing.T, drawn, named int, change func(orb.Point) orb.Point) (*rx.Prescription, error) {
	t.Helper()
	l, err := invent.Grid(invent.GridOptions{Seed: 1, EPSG: drawn, Cells: 400, CellSize: 30, Center: center(drawn)})
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range l.Shapes.Points {
		if change != nil {
			l.Shapes.Points[i] = change(p)
		}
	}
	rate := l.Columns()[0]
	f, err := Open(partsWith(t, &l.Shapes, rate, named, ""), FileOptions{})
	if err != nil {
		return nil, err
	}
	return Prescription(f, Options{RateFields: []string{rate.Name}, RateUnit: "lb/ac"})
}

// center is a place in each system's own ground.
func center(epsg int) orb.Point {
	switch epsg {
	case 26915, 5070:
		return orb.Point{-93.6, 42}
	case 32119, 2264: // North Carolina, meters and survey feet
		return orb.Point{-79, 35.6}
	case 3435, 26971: // Illinois East, survey feet and meters
		return orb.Point{-88.3, 40}
	}
	return orb.Point{}
}

// A system that contradicts the coordinates: the wrong zone by far, feet for
// meters, axes swapped, none at all.
func TestSystemContradicts(t *testing.T) {
	feet := func(p orb.Point) orb.Point { return orb.Point{p[0] * 3937 / 1200, p[1] * 3937 / 1200} }
	meters := func(p orb.Point) orb.Point { return orb.Point{p[0] * 1200 / 3937, p[1] * 1200 / 3937} }
	swap := func(p orb.Point) orb.Point { return orb.Point{p[1], p[0]} }
	for _, c := range []struct {
		name         string
		drawn, named int
		change       func(orb.Point) orb.Point
		want         string // rules, or "refused"
	}{
		{"UTM", 26915, 26915, nil, ""},
		{"Albers", 5070, 5070, nil, ""},
		{"State Plane in feet", 2264, 2264, nil, ""},
		{"the neighbor zone of UTM: can't be seen", 26915, 26914, nil, ""},
		{"UTM named State Plane", 26915, 3435, nil, "off-zone warning"},
		{"UTM named Albers", 26915, 5070, nil, "off-zone warning"},
		{"UTM in feet", 26915, 26915, feet, "refused"},
		{"State Plane in feet, named meters", 2264, 32119, nil, "off-zone warning"},
		{"a wide zone in meters, named feet: can't be seen", 32119, 2264, nil, ""},
		{"Illinois in meters, named feet", 26971, 3435, nil, "off-zone warning"},
		{"Illinois in feet, named meters", 3435, 26971, nil, "off-zone warning"},
		{"UTM, then divided by feet", 26915, 26915, meters, "off-zone warning"},
		{"easting and northing swapped", 26915, 26915, swap, "refused"},
		{"State Plane swapped", 2264, 2264, swap, "off-zone warning"},
		{"UTM without .prj", 26915, 0, nil, "refused"},
	} {
		p, err := in(t, c.drawn, c.named, c.change)
		got := "refused"
		if err == nil {
			got = rules(significant(p.Findings))
		}
		if c.want == "refused" {
			var e *Error
			if !errors.As(err, &e) || !strings.Contains(e.Hint, "--crs EPSG:n") {
				t.Errorf("%s: %q %v, want it refused with a hint at --crs", c.name, got, err)
			}
			continue
		}
		want := strings.Split(c.want, ", ")
		for _, rule := range want {
			if err != nil || rule == "" && got != "" || !strings.Contains(got, rule) {
				t.Errorf("%s: %q %v, want %q", c.name, got, err, c.want)
			}
		}
		if c.want == "off-zone warning" {
			f := finding(t, p.Findings, "off-zone")
			if f.Place == nil || said(f).Got == "" || said(f).Want == "" || !strings.Contains(said(f).Hint, "--crs") {
				t.Errorf("%s: %+v", c.name, f)
			}
		}
	}
}

// How far off a field may lie: a quarter of a system's ground, half a degree at
// least and 1.5 at most, on all sides, also across the antimeridian.
func TestWithinAreaOfUse(t *testing.T) {
	bound := func(west, south, east, north float64) orb.Bound {
		return orb.Bound{Min: orb.Point{west, south}, Max: orb.Point{east, north}}
	}
	utm, albers, county, alaska := bound(-96, 25, -90, 84), bound(-124.8, 24.4, -66.9, 49.4), bound(-88, 40, -87.5, 41), bound(172.4, 51.3, -130, 71.4)
	for _, c := range []struct {
		box  orb.Bound
		at   orb.Point
		want bool
	}{
		{utm, orb.Point{-93, 42}, true}, {utm, orb.Point{-97.4, 42}, true}, {utm, orb.Point{-97.6, 42}, false}, {utm, orb.Point{-88.6, 42}, true}, {utm, orb.Point{-88.4, 42}, false},
		{utm, orb.Point{-93, 23.6}, true}, {utm, orb.Point{-93, 23.4}, false}, {utm, orb.Point{93, 42}, false},
		{albers, orb.Point{-96, 50.8}, true}, {albers, orb.Point{-96, 51}, false}, {albers, orb.Point{-65, 40}, false},
		{county, orb.Point{-88.4, 40.5}, true}, {county, orb.Point{-88.6, 40.5}, false},
		{alaska, orb.Point{179, 52}, true}, {alaska, orb.Point{-150, 62}, true}, {alaska, orb.Point{171, 52}, true}, {alaska, orb.Point{170, 52}, false}, {alaska, orb.Point{-128, 60}, false},
	} {
		if got := within(c.at, c.box, offZoneBy(c.box)); got != c.want {
			t.Errorf("%v in %v: %v, want %v", c.at, c.box, got, c.want)
		}
	}
}

// significant are the findings that are more than notes.
func significant(findings []rx.Finding) (out []rx.Finding) {
	for _, f := range findings {
		if f.Severity > rx.Note {
			out = append(out, f)
		}
	}
	return out
}

// The sizes at which a field becomes a note and a warning.
func TestFieldSize(t *testing.T) {
	ring := func(acres float64) string {
		side := 0.005 * math.Sqrt(acres/squareAcres)
		return fmt.Sprintf(`{"type":"Feature","properties":{"R":200},"geometry":{"type":"Polygon","coordinates":[[[-90.4,47.3],[%.9f,47.3],[%.9f,%.9f],[-90.4,%.9f],[-90.4,47.3]]]}}`,
			-90.4+side, -90.4+side, 47.3+side, 47.3+side)
	}
	for _, c := range []struct {
		acres float64
		want  string
	}{
		{0.09, "field-small warning"}, {0.12, "field-small note"}, {0.48, "field-small note"}, {0.53, ""},
		{160, ""}, {4900, ""}, {5200, "field-large note"}, {24710, "field-large note"}, {49000, "field-large note"}, {52000, "field-large warning"},
	} {
		p := prescription(t, ring(c.acres), Options{RateUnit: "lb/ac"})
		if got := rules(p.Findings); got != c.want {
			t.Errorf("%g ac: findings %q, want %q", c.acres, got, c.want)
		}
	}
}

// Numbers with a decimal comma are refused: record, field, value, and what to do.
func TestDecimalComma(t *testing.T) {
	_, err := Prescription(open(t, field(rates("R", `"150,5"`, `"160"`, `"1.250,75"`)...)), Options{RateFields: []string{"R"}, RateUnit: "lb/ac"})
	var bad *geo.BadFileError
	if !errors.As(err, &bad) || len(bad.Bad) != 2 || bad.Hint == "" {
		t.Fatalf("%v, want two bad records and a hint", err)
	}
	for i, want := range []geo.BadRecord{
		{Record: 0, Field: "R", Value: "150,5", Why: "is not a number: write the decimals with a point"},
		{Record: 2, Field: "R", Value: "1.250,75", Why: "is not a number: write the decimals with a point"},
	} {
		if bad.Bad[i] != want {
			t.Errorf("%+v, want %+v", bad.Bad[i], want)
		}
	}
}

// A table with another count of rows is refused with both counts.
func TestTableOfAnotherFile(t *testing.T) {
	l := invent.FourZones()
	dbf := partsWith(t, &l.Shapes, l.Columns()[0], 4326, "")
	other := geo.Shapes{}
	for i := range 3 {
		other.Append(l.Shapes.Shape(i))
	}
	_, err := Open(partsWith(t, &other, l.Columns()[0], 4326, strings.TrimSuffix(dbf, ".shp")+".dbf"), FileOptions{})
	if err == nil || !strings.Contains(err.Error(), "has 3 records, but field.dbf has 4 rows") {
		t.Errorf("%v, want both counts", err)
	}
}

// What nobody can see is said where one looks.
func TestInspectSaysHowRowsArePaired(t *testing.T) {
	l := invent.FourZones()
	c, err := Inspect(openFile(t, partsWith(t, &l.Shapes, l.Columns()[0], 4326, ""), FileOptions{}))
	if err != nil {
		t.Fatal(err)
	}
	if f := finding(t, c.Findings, "paired-by-place"); f.Severity != rx.Note {
		t.Errorf("%+v, want a note", f)
	}
	if c, err = Inspect(open(t, field(rates("R", "200")...))); err != nil || rules(c.Findings) != "" {
		t.Errorf("GeoJSON: %q %v, want nothing", rules(c.Findings), err)
	}
}

// No false alarms: what is invented here, in several systems, has nothing to warn of.
func TestNoFalseAlarms(t *testing.T) {
	layers, grids := map[string]*invent.Layer{"four": invent.FourZones()}, []int{20000, 900, 150}
	if testing.Short() {
		grids = grids[1:]
	}
	for _, epsg := range []int{4326, 32615, 5070, 3857} {
		l, err := invent.Demo(epsg)
		if err != nil {
			t.Fatal(err)
		}
		layers[fmt.Sprintf("demo in %d", epsg)] = l
		for i, cells := range grids {
			l, err := invent.Grid(invent.GridOptions{Seed: uint64(i), EPSG: epsg, Cells: cells, Angle: 12})
			if err != nil {
				t.Fatal(err)
			}
			layers[fmt.Sprintf("%d cells in %d", cells, epsg)] = l
		}
	}
	for name, l := range layers {
		f := openFile(t, parts(t, l), FileOptions{})
		p, err := Prescription(f, Options{RateFields: []string{invent.RateField}, RateUnit: "lb/ac"})
		if err != nil {
			t.Fatal(err)
		}
		if got := rules(significant(p.Findings)); got != "" {
			t.Errorf("%s: findings %q, want none", name, got)
		}
	}
}

// The largest grid of the benchmarks, 1 000 000 cells of 10 m, has 24 700 acres: a
// farm, so that it is worth a note and no warning.
func TestMillionCellsAreAFarm(t *testing.T) {
	p := &rx.Prescription{Zones: []rx.Zone{{Area: 24710, Dry: 200}}, LonLat: &geo.Shapes{}}
	if got := rules(findOddSize(&suspect{Prescription: p})); got != "field-large note" {
		t.Errorf("%q, want a note", got)
	}
}

// partsWith writes a shapefile of one column; it has no .prj if epsg is 0, and the
// .dbf of another file if that is named.
func partsWith(t *testing.T, shapes *geo.Shapes, column geo.Column, epsg int, dbf string) string {
	t.Helper()
	prj := ""
	if epsg != 0 {
		system, err := crs.Parse(fmt.Sprintf("EPSG:%d", epsg))
		if err != nil {
			t.Fatal(err)
		}
		prj = system.WKT()
	}
	var shp, shx, table bytes.Buffer
	if err := shapefile.Write(&shp, &shx, &table, shapes, []geo.Column{column}); err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{".shp": shp.Bytes(), ".shx": shx.Bytes(), ".dbf": table.Bytes()}
	if prj != "" {
		files[".prj"] = []byte(prj)
	}
	if dbf != "" {
		data, err := os.ReadFile(dbf)
		if err != nil {
			t.Fatal(err)
		}
		files[".dbf"] = data
	}
	stem := filepath.Join(t.TempDir(), "field")
	for ending, data := range files {
		if err := os.WriteFile(stem+ending, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return stem + ".shp"
}

// A job that says by latitude and longitude where its field lies is held against the file: in the
// neighbor zone of UTM the field would lie 6° of longitude off, which at 47.3° are some 453 km.
func TestPlaceOfTheJob(t *testing.T) {
	for place, away := range map[string]string{
		"47.3, -90.4": "", "section 12, near 47.6 -90.2": "", "section 00, township 00": "", "T12.5, 300.25": "",
		"47.3, -96.4": "453 km from ", "47.30 -84.40": "452 km from ", "-47.3, -90.4": "10,519 km from ",
	} {
		p := prescription(t, five("R", "X", 150, 0, 210, 0, 180, 0), Options{RateFields: []string{"R"}, RateUnit: "lb/ac", Place: place})
		want := ""
		if away != "" {
			want = "place-differs warning"
		}
		if got := rules(p.Findings); got != want {
			t.Errorf("%q: findings %q, want %q", place, got, want)
			continue
		}
		if away != "" {
			if f := p.Findings[0]; !f.Doubt() || f.Place == nil || !strings.Contains(tell.Text(f, unit.Metric), away) {
				t.Errorf("%q: %s", place, tell.Text(f, unit.Metric))
			}
		}
	}
}

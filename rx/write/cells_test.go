package write_test

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rxsplit/geo"
	"rxsplit/geo/geojson"
	"rxsplit/geo/shapefile"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/read"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
	"rxsplit/rx/write"
)

// square is a GeoJSON polygon of a side in degrees, east of the one before.
func square(i int, side float64) string {
	west, east, north := -90+float64(i)*0.02, -90+float64(i)*0.02+side, 40+side
	return fmt.Sprintf(`{"type":"Polygon","coordinates":[[[%v,40],[%v,40],[%v,%v],[%v,%v],[%v,40]]]}`, west, east, east, north, west, north, west)
}

// source writes GeoJSON features of geometries and properties, and reads them.
func source(t *testing.T, opt read.Options, features ...[2]string) *rx.Prescription {
	t.Helper()
	var list []string
	for _, f := range features {
		list = append(list, fmt.Sprintf(`{"type":"Feature","geometry":%s,"properties":{%s}}`, f[0], f[1]))
	}
	path := filepath.Join(t.TempDir(), "field.geojson")
	if err := os.WriteFile(path, []byte(`{"type":"FeatureCollection","features":[`+strings.Join(list, ",\n")+`]}`), 0o666); err != nil {
		t.Fatal(err)
	}
	return rxtest.Open(t, path, opt)
}

// writeWay plans one way and writes it.
func writeWay(t *testing.T, p *rx.Prescription, terms rx.Terms, way rx.WayName) string {
	t.Helper()
	return written(t, jobOf(t, p, terms, way))
}

// jobOf plans one way and returns the job of writing it.
func jobOf(t *testing.T, p *rx.Prescription, terms rx.Terms, way rx.WayName) write.Job {
	t.Helper()
	plan, err := split.For(p, rxtest.Grade(t, p, terms), nil).Plan(way)
	if err != nil {
		t.Fatal(err)
	}
	none := json.RawMessage(`{}`)
	return write.Job{
		Prescription: p, Plan: plan, Units: terms.Units,
		Manifest: write.Manifest{Way: string(way), Units: none, Parameters: none, Summary: none, Findings: json.RawMessage(`[]`)},
	}
}

// bothFormats decodes a layer's shapefile and its GeoJSON.
func bothFormats(t *testing.T, dir, layer string) map[string]*geo.Layer {
	t.Helper()
	data := files(t, dir)
	shp, err := shapefile.Decode(shapefile.Files{
		Name: layer, Shp: data[layer+".shp"], Shx: data[layer+".shx"], Dbf: data[layer+".dbf"], Prj: data[layer+".prj"], Cpg: data[layer+".cpg"],
	})
	if err != nil {
		t.Fatal(err)
	}
	js, err := geojson.Decode(strings.NewReader(string(data[layer+".geojson"])), layer)
	if err != nil {
		t.Fatal(err)
	}
	return map[string]*geo.Layer{"shapefile": shp, "GeoJSON": js}
}

// holds fails unless a column of a layer holds the values, NaN for an empty cell.
func holds(t *testing.T, dir, layer, column string, relative float64, want ...float64) {
	t.Helper()
	for format, l := range bothFormats(t, dir, layer) {
		if got := l.Shapes.Len(); got != len(want) {
			t.Errorf("%s of %s: %d records, want %d", format, layer, got, len(want))
			return
		}
		index := -1
		for i, f := range l.Attributes.Fields() {
			if f.Name == column {
				index = i
			}
		}
		if index < 0 {
			t.Errorf("%s of %s: no column %s", format, layer, column)
			return
		}
		for row, w := range want {
			cell := l.Attributes.Cell(row, index)
			if math.IsNaN(w) != (cell.Kind == geo.Null) {
				t.Errorf("%s of %s: %s in row %d is %q, want %v", format, layer, column, row, cell.Text, w)
				continue
			}
			got, err := strconv.ParseFloat(string(cell.Text), 64)
			if !math.IsNaN(w) && (err != nil || math.Abs(got-w) > relative*math.Abs(w)) {
				t.Errorf("%s of %s: %s in row %d is %q, want %v", format, layer, column, row, cell.Text, w)
			}
		}
	}
}

// Records without a polygon are no zones: those that come after them keep their own
// polygons, rates and numbers. Cells of several lengths stand as they are.
func TestRecordsWithoutPolygon(t *testing.T) {
	p := source(t, read.Options{RateFields: []string{"RATE"}, RateUnit: "lb/ac"},
		[2]string{square(0, 0.004), `"RATE":150.125`},
		[2]string{"null", `"RATE":170`},
		[2]string{square(2, 0.005), `"RATE":180`},
		[2]string{"null", `"RATE":190`},
		[2]string{square(4, 0.006), `"RATE":200.5`},
		[2]string{square(5, 0.004), `"RATE":null`})
	terms := rxtest.Terms(rxtest.Label(t, ""))
	none := math.NaN()
	dir := writeWay(t, p, terms, rx.WetBoom)
	holds(t, dir, "dry", "RATE", 0, 150.125, 180, 200.5, none)
	holds(t, dir, "dry", "ZONE", 0, 1, 3, 5, 6)
	for format, l := range bothFormats(t, dir, "dry") {
		for row, west := range []float64{-90, -89.96, -89.92, -89.9} {
			if got := l.Shapes.Shape(row).Bound().Min[0]; math.Abs(got-west) > 1e-9 {
				t.Errorf("%s: the polygon in row %d begins at %v, want %v", format, row, got, west)
			}
		}
	}
	dir = writeWay(t, p, terms, rx.Base)
	holds(t, dir, "dry-base", "RATE", 1e-12, 150.125, 150.125, 150.125, none)
	holds(t, dir, "dry-base", "RX_RATE", 1e-12, 150.125, 180, 200.5, none)
	holds(t, dir, "dry-topup", "RATE", 1e-12, 0, 29.875, 50.375, none)
}

// Rates are written in the unit of the file, each field in its own column, and what is
// prescribed in all beside them. By hand: 80 % and 20 % of 200, 240 and 500 kg/ha; one
// loading takes 2 to 1, for which 40 more and 20 less, 240 to 480, is the least change.
func TestRatesInTheUnitOfTheFile(t *testing.T) {
	p := source(t, read.Options{RateFields: []string{"A", "B"}, RateUnit: "kg/ha"},
		[2]string{square(0, 0.004), `"A":160,"B":40`},
		[2]string{square(1, 0.004), `"A":192,"B":48`},
		[2]string{square(2, 0.004), `"A":400,"B":100`})
	for _, units := range []unit.System{unit.US, unit.Metric} {
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Units = units
		dir := writeWay(t, p, terms, rx.Refit)
		holds(t, dir, "dry", "DRY_RATE", 1e-11, 240, 240, 480) // what the bin of the blend loads
		holds(t, dir, "dry", "A", 1e-11, 192, 192, 384)
		holds(t, dir, "dry", "B", 1e-11, 48, 48, 96)
		holds(t, dir, "dry", "RX_RATE", 1e-11, 200, 240, 500)
	}
}

// The column to load comes first in both files, also where nothing is impregnated.
func TestColumnToLoadComesFirst(t *testing.T) {
	p := source(t, read.Options{RateFields: []string{"A", "B"}, RateUnit: "kg/ha"},
		[2]string{square(0, 0.004), `"A":160,"B":40`}, [2]string{square(1, 0.004), `"A":192,"B":48`})
	dir := writeWay(t, p, rxtest.Terms(rxtest.Label(t, "")), rx.WetBoom)
	holds(t, dir, "dry", "DRY_RATE", 1e-11, 200, 240)
	for format, l := range bothFormats(t, dir, "dry") {
		if first := l.Attributes.Fields()[0].Name; first != "DRY_RATE" {
			t.Errorf("%s: %s comes first", format, first)
		}
	}
}

// Rates that count nutrient are written as product: 92 lb/ac of N are 200 of 46-0-0. A
// column that is called after N would not hold it.
func TestRatesOfNAreWrittenAsProduct(t *testing.T) {
	p := source(t, read.Options{RateFields: []string{"N"}, RateUnit: "lb/ac", RateOf: "N", Analysis: []string{"46-0-0"}},
		[2]string{square(0, 0.004), `"N":92`}, [2]string{square(1, 0.004), `"N":69`})
	dir := writeWay(t, p, rxtest.Terms(rxtest.Label(t, "")), rx.WetBoom)
	holds(t, dir, "dry", "PRODUCT", 1e-11, 200, 150)
	holds(t, dir, "dry", "RX_RATE", 1e-11, 92, 69)
}

// A rate that no short decimal holds is written to twelve digits: 1000/7 less 100.
func TestRatesKeepTwelveDigits(t *testing.T) {
	p := source(t, read.Options{RateFields: []string{"RATE"}, RateUnit: "lb/ac"},
		[2]string{square(0, 0.004), `"RATE":142.857142857143`}, [2]string{square(1, 0.004), `"RATE":100`})
	dir := writeWay(t, p, rxtest.Terms(rxtest.Label(t, "")), rx.Base)
	holds(t, dir, "dry-topup", "RATE", 1e-10, 42.857142857143, 0)
}

// A rate of the source is written as the source writes it, but for one that no cell
// of a table holds.
func TestRatesAsTheSourceWritesThem(t *testing.T) {
	for text, want := range map[string]string{"150.50": "150.50", "1.505e2": "150.5"} {
		p := source(t, read.Options{RateFields: []string{"RATE"}, RateUnit: "lb/ac"}, [2]string{square(0, 0.004), `"RATE":` + text})
		dir := writeWay(t, p, rxtest.Terms(rxtest.Label(t, "")), rx.WetBoom)
		table, err := os.ReadFile(filepath.Join(dir, "dry.dbf"))
		if err != nil {
			t.Fatal(err)
		}
		row := table[len(table)-1-int(table[10])-int(table[11])<<8:] // the last record, before the end mark
		if !strings.Contains(" "+string(row), " "+want) || strings.Contains(string(row), want+"0") {
			t.Errorf("%s is written as %q, want %s", text, row, want)
		}
	}
}

// Rates of a shapefile with exponents, as many programs write them, are copied as they stand into a
// shapefile, and are numbers in GeoJSON. A record without a rate stays one.
func TestRatesWithExponents(t *testing.T) {
	texts := []string{"1.50500000000e+002", "+1.6E2", "", "170.00"}
	layer := rxtest.Strip(slices.Repeat([]rxtest.Ground{{Acres: 20}}, len(texts))...)
	path := rxtest.Shapefile(t, layer, "EPSG:4326")
	var parts [3]*os.File
	for i, ext := range []string{".shp", ".shx", ".dbf"} {
		parts[i], _ = os.Create(strings.TrimSuffix(path, ".shp") + ext)
		defer parts[i].Close()
	}
	column := geo.Column{Name: "RATE", Width: 20, Decimals: 11, Text: func(dst []byte, row int) []byte { return append(dst, texts[row]...) }}
	column.Number = func(row int) float64 { v, _ := strconv.ParseFloat(cmp.Or(texts[row], "NaN"), 64); return v }
	if err := shapefile.Write(parts[0], parts[1], parts[2], &layer.Shapes, []geo.Column{column}); err != nil {
		t.Fatal(err)
	}
	p := rxtest.Open(t, path, read.Options{RateFields: []string{"RATE"}, RateUnit: "lb/ac"})
	holds(t, writeWay(t, p, rxtest.Terms(rxtest.Label(t, "")), rx.WetBoom), "dry", "RATE", 0, 150.5, 160, math.NaN(), 170)
}

// The acres of a plot of 1 m beside a field keep seven digits.
func TestAcresOfPlotsAndFields(t *testing.T) {
	p := source(t, read.Options{RateFields: []string{"RATE"}, RateUnit: "lb/ac"},
		[2]string{square(0, 0.01), `"RATE":150`}, [2]string{square(1, 0.00001), `"RATE":200`})
	terms := rxtest.Terms(rxtest.Label(t, ""))
	dir := writeWay(t, p, terms, rx.WetBoom)
	acres := []float64{float64(p.Zones[0].Area), float64(p.Zones[1].Area)}
	holds(t, dir, "dry", "ACRES", 2e-7, acres...)
	terms.Units = unit.Metric
	dir = writeWay(t, p, terms, rx.WetBoom)
	holds(t, dir, "dry", "HA", 2e-7, acres[0]*0.40468564224, acres[1]*0.40468564224)
}

// What a boom puts down is written in the user's units, by hand: 30 fl oz/ac are
// 2192.334 mL/ha, 15 gal/ac are 140.309 L/ha.
func TestLiquidRates(t *testing.T) {
	p := source(t, read.Options{RateFields: []string{"RATE"}, RateUnit: "lb/ac"}, [2]string{square(0, 0.004), `"RATE":150`})
	for _, c := range []struct {
		units     unit.System
		stab, mix float64
	}{
		{unit.US, 30, 15},
		{unit.Metric, 2192.33349, 140.309343},
	} {
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Units, terms.Job = c.units, &equip.Job{Boom: &equip.Boom{Volume: 15 * unit.GallonPerAcre}}
		dir := writeWay(t, p, terms, rx.WetBoom)
		holds(t, dir, "liquid", "STAB_RATE", 1e-8, c.stab)
		holds(t, dir, "liquid", "MIX_RATE", 1e-8, c.mix)
	}
	dir := writeWay(t, p, rxtest.Terms(rxtest.Label(t, "")), rx.WetBoom)
	holds(t, dir, "liquid", "MIX_RATE", 0, math.NaN()) // nobody knows
}

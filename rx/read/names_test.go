package read

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"rxsplit/geo"
)

// Ids, years and heights are never taken for rates unasked; whoever names them is heard.
func TestNamesOfOtherThings(t *testing.T) {
	for _, name := range []string{"OBJECTID", "Year", "ELEVATION", "elev_ft", "LAT"} {
		text := field(columns([]string{"DRY", name}, []any{150, 120}, []any{210, 310}, []any{180, 250})...)
		if p := prescription(t, text, Options{}); p.Fields[0].Name != "DRY" {
			t.Errorf("%s: took %s", name, p.Fields[0].Name)
		}
		alone := field(rates(name, "120", "310", "250")...)
		if _, err := Prescription(open(t, alone), Options{}); err == nil || !strings.Contains(err.(*Error).Hint, "by its name") {
			t.Errorf("%s alone: %v", name, err)
		}
		if _, err := Prescription(open(t, alone), Options{RateFields: []string{name}}); err != nil {
			t.Errorf("%s, named: %v", name, err)
		}
	}
}

// A field of text, of dates or of lists is one mistake, however many rows it has.
func TestFieldsThatHoldNoRates(t *testing.T) {
	for _, c := range []struct{ cells, want string }{
		{`"high","low","high"`, `field R holds text and no rates, such as "high"`},
		{`true,false,true`, "field R holds yes or no and no rates"},
		{`[1],[2],[3]`, "field R holds memos or lists and no rates"},
	} {
		_, err := Prescription(open(t, field(rates("R", strings.Split(c.cells, ",")...)...)), Options{RateFields: []string{"R"}})
		var one *Error
		if !errors.As(err, &one) || !strings.Contains(one.What, c.want) || strings.Contains(one.What, "\n") {
			t.Errorf("%s: %v", c.cells, err)
		}
	}
	var bad *geo.BadFileError
	if _, err := Prescription(open(t, field(rates("R", `"200"`, `"high"`)...)), Options{RateFields: []string{"R"}}); !errors.As(err, &bad) || len(bad.Bad) != 1 {
		t.Errorf("numbers as text: %v", err)
	}
}

// Asterisks in a cell are a number that was wider than its column: not a rate left out.
func TestRatesThatOverflow(t *testing.T) {
	drawn := open(t, field(rates("R", "120", "310", "250", "180")...))
	column := geo.Column{Name: "R", Width: 3, Text: func(dst []byte, row int) []byte {
		return append(dst, []string{"120", "***", "250", ""}[row]...)
	}}
	f, err := Open(partsWith(t, &drawn.Layer.Shapes, column, 4326, ""), FileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	p, err := Prescription(f, Options{RateFields: []string{"R"}, RateUnit: "lb/ac"})
	if err != nil {
		t.Fatal(err)
	}
	if f := finding(t, p.Findings, "rate-overflow"); !slices.Equal(f.Zones, []int{2}) || f.Field != "R" || !strings.Contains(said(f).Text, "left empty, or was wider than its column") {
		t.Errorf("got %+v", f)
	}
}

// The same eastings and northings in four zones of UTM. Where cs2cs puts them: Iowa, the Atlantic
// 210 km off Nova Scotia, California, the Pacific 850 km off Oregon. On land nothing can be seen.
func TestWrongZonePutsTheFieldToSea(t *testing.T) {
	for _, c := range []struct {
		code     int
		lat, lon float64 // by cs2cs
		want     string
	}{
		{26915, 41.553646, -92.997002, ""}, {26920, 41.553646, -62.997002, "no-land warning"},
		{26910, 41.553646, -122.997002, ""}, {32608, 41.553646, -134.997002, "no-land warning"},
	} {
		drawn := strings.Replace(field(`"R":200`), square(0), "[[500000,4600000],[500500,4600000],[500500,4600440],[500000,4600440],[500000,4600000]]", 1)
		f := open(t, drawn[:len(drawn)-1]+fmt.Sprintf(`,"crs":{"type":"name","properties":{"name":"EPSG:%d"}}}`, c.code))
		p, err := Prescription(f, Options{RateUnit: "lb/ac"})
		if err != nil {
			t.Fatal(err)
		}
		place := f.LonLat.Extent().Center()
		if math.Abs(place[0]-c.lon) > 2e-5 || math.Abs(place[1]-c.lat) > 2e-5 {
			t.Errorf("EPSG:%d: %v, cs2cs has %v, %v", c.code, place, c.lon, c.lat)
		}
		if got := rules(significant(p.Findings)); got != c.want {
			t.Errorf("EPSG:%d: findings %q, want %q", c.code, got, c.want)
		}
	}
}

// A scale factor that no system has makes other acres of the same coordinates. Under the name
// of a system that has another it is refused.
func TestOddScaleFactor(t *testing.T) {
	const utm = `PROJCS["Ours",GEOGCS["GCS_North_American_1983",DATUM["D_North_American_1983",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-93.0],PARAMETER["Scale_Factor",K0],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]`
	drawn := field(`"R":200`)
	drawn = strings.Replace(drawn, square(0), "[[500000,4600000],[500500,4600000],[500500,4600440],[500000,4600440],[500000,4600000]]", 1)
	for k0, want := range map[string]bool{"0.9996": false, "1.28": true, "0.78": true} {
		f := open(t, drawn[:len(drawn)-1]+`,"crs":{"type":"name","properties":{"name":"EPSG:26915"}}}`)
		f.Layer.System = strings.Replace(utm, "K0", k0, 1)
		if err := f.locate(""); err != nil {
			t.Fatalf("%s: %v", k0, err)
		}
		p, err := Prescription(f, Options{RateUnit: "lb/ac"})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(rules(p.Findings), "crs-scale warning"); got != want {
			t.Errorf("%s: findings %q, want the scale in doubt: %v", k0, rules(p.Findings), want)
		}
		f.Layer.System = strings.Replace(f.Layer.System, "Ours", "NAD_1983_UTM_Zone_15N", 1)
		err = f.locate("")
		var e *Error
		if refused := errors.As(err, &e); refused != want || refused && !strings.Contains(e.What, "a scale factor of "+k0+", and not 0.9996") {
			t.Errorf("%s: %v under the name of a zone", k0, err)
		}
		if err := f.locate("EPSG:26915"); err != nil {
			t.Errorf("%s: %v with the system that the user gives", k0, err)
		}
	}
}

package geojson

import (
	"fmt"
	"strings"
	"testing"

	"rxsplit/geo"
)

func TestProperties(t *testing.T) {
	l := read(t, collection(
		`{"type":"Feature","geometry":null,"properties":{"RATE":120.50,"NAME":"Ökonom \"A\"\n\u00e9\ud83d\ude00","OK":true}}`,
		`{"properties":{"NAME":null,"X":[1, 2],"RATE":-1e3},"type":"Feature","geometry":null}`,
		`{"type":"Feature","geometry":null,"properties":null}`,
		`{"type":"Feature","geometry":null}`,
		`{"type":"Feature","geometry":null,"properties":{"RATE":"12,5","":{},"Z":null}}`,
	))
	for i, want := range []string{
		"RATE=number:120.50 NAME=text:Ökonom \"A\"\né😀 OK=bool:true",
		"RATE=number:-1e3 X=other:[1, 2]",
		"",
		"",
		"RATE=text:12,5 =other:{}",
	} {
		if got := cells(l, i); got != want {
			t.Errorf("record %d: got %s, want %s", i+1, got, want)
		}
	}
	want := "[{RATE mixed 0 0 } {NAME text 0 0 } {OK bool 0 0 } {X other 0 0 } { other 0 0 } {Z null 0 0 }]"
	if got := fmt.Sprint(l.Attributes.Fields()); got != want {
		t.Errorf("fields %s, want %s", got, want)
	}
}

func TestLongArraysAreCutShort(t *testing.T) {
	l := read(t, collection(`{"type":"Feature","geometry":null,"properties":{"A":[`+strings.Repeat("1,", 1000)+`1]}}`))
	if got := l.Attributes.Cell(0, 0); got.Kind != geo.Other || len(got.Text) != maxOther {
		t.Errorf("got %d bytes of kind %s, want %d", len(got.Text), got.Kind, maxOther)
	}
}

func TestBadFeatures(t *testing.T) {
	for _, tt := range []struct{ name, feature, field, value, why string }{
		{"null", `null`, "", "null", "is not a Feature"},
		{"number", `12`, "", "12", "is not a Feature"},
		{"array", `[[{}]]`, "", "[[{}]]", "is not a Feature"},
		{"text", `"a ] b"`, "", "a ] b", "is not a Feature"},
		{"geometry", polygonText(square), "", "Polygon", "is not a Feature"},
		{"no type", `{"geometry":null}`, "", "", `the feature has no "type"`},
		{"type twice", `{"type":"Feature","type":"Feature"}`, "", "type", "stands there twice"},
		{"geometry twice", `{"type":"Feature","geometry":null,"geometry":null}`, "", "geometry", "stands there twice"},
		{"properties twice", `{"type":"Feature","properties":{},"properties":{}}`, "", "properties", "stands there twice"},
		{"escaped twice", `{"type":"Feature","geometry":null,"g\u0065ometry":null}`, "", `g\u0065ometry`, "stands there twice"},
		{"a property twice", `{"type":"Feature","properties":{"RATE":1,"RATE":2}}`, "RATE", "2", "stands there twice"},
		{"properties no object", `{"type":"Feature","properties":[1]}`, "", "[1]", `stands where "properties" has an object`},
		{"not UTF-8", "{\"type\":\"Feature\",\"properties\":{\"N\":\"Z\xfcrich\"}}", "N", "Z\xfcrich", "is not UTF-8"},
		{"name not UTF-8", "{\"type\":\"Feature\",\"properties\":{\"N\xfc\":1}}", `"N\xfc"`, "", "the field's name is not UTF-8"},
		{"long text", `"` + strings.Repeat("a", 39) + `é and more"`, "", strings.Repeat("a", 39) + "...", "is not a Feature"},
		{"text as long as is told", `"` + strings.Repeat("a", 38) + `é"`, "", strings.Repeat("a", 38) + "é", "is not a Feature"},
		{"text one longer", `"` + strings.Repeat("a", 41) + `"`, "", strings.Repeat("a", 40) + "...", "is not a Feature"},
		{"crs", `{"type":"Feature","crs":{"a":1}}`, "", `{"a":1}`, `is a "crs" of its own; only the file's counts`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Decode(strings.NewReader(collection(feature("null"), tt.feature)), "f.geojson")
			checkBad(t, err, geo.BadRecord{Record: 1, Field: tt.field, Value: tt.value, Why: tt.why})
		})
	}
}

func TestBadRecordsAreCapped(t *testing.T) {
	for _, block := range []int{64, blockSize} {
		features := make([]string, 0, 100)
		for range 100 {
			features = append(features, "5")
		}
		_, err := decode(strings.NewReader(collection(features...)), "f.geojson", block, 2)
		bad := err.(*geo.BadFileError)
		if len(bad.Bad) != geo.MaxBadRecords || bad.More != 80 {
			t.Errorf("listed %d and %d more, want 20 and 80", len(bad.Bad), bad.More)
		}
	}
}

func TestTooManyColumns(t *testing.T) {
	var features []string
	for i := range maxColumns + 1 {
		features = append(features, fmt.Sprintf(`{"type":"Feature","properties":{"c%d":1}}`, i))
	}
	if l := read(t, collection(features[:maxColumns]...)); len(l.Attributes.Fields()) != maxColumns {
		t.Errorf("got %d fields", len(l.Attributes.Fields()))
	}
	all := strings.NewReplacer(`{"type":"Feature","properties":{`, "", "}}", "").Replace(strings.Join(features, ","))
	_, err := Decode(strings.NewReader(collection(feature("null"), `{"type":"Feature","properties":{`+all+"}}")), "f.geojson")
	checkBad(t, err, geo.BadRecord{Record: 1, Why: "more than 1000 different property names"})
	for _, block := range []int{64, 1000, blockSize} {
		_, err := decode(strings.NewReader(collection(append(features, "5")...)), "f.geojson", block, 2)
		checkBad(t, err, geo.BadRecord{Record: maxColumns, Why: "more than 1000 different property names"})
	}
	// Names of several blocks, of which none has too many: what comes first in the file is told.
	torn := collection(append(features, "{7:}")...)
	for _, block := range []int{len(torn) / 3, len(torn) / 2, len(torn) * 2 / 3} {
		_, err := decode(strings.NewReader(torn), "f.geojson", block, 2)
		checkBad(t, err, geo.BadRecord{Record: maxColumns, Why: "more than 1000 different property names"})
	}
	early := append(append([]string(nil), features[:900]...), append([]string{"5"}, features[900:]...)...)
	for _, block := range []int{len(torn) / 3, len(torn) / 2, len(torn) * 2 / 3} {
		_, err := decode(strings.NewReader(collection(early...)), "f.geojson", block, 2)
		if bad, ok := err.(*geo.BadFileError); !ok || bad.Bad[0].Record != 900 {
			t.Errorf("%v, want what is wrong with record 901 first", err)
		}
	}
}

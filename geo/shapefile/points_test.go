package shapefile

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"testing"

	"rxsplit/geo"
)

// pointFiles is a shapefile of points by the ESRI Shapefile Technical Description (July 1998):
// type 1 has x and y, 11 also z and m, 21 m; a record is as long as that. Each content stands as
// it is.
func pointFiles(t testing.TB, kind shapeType, contents ...[]byte) Files {
	f := encoded(t, "log", &geo.Shapes{ShapeEnds: make([]int32, len(contents))}, rates())
	f.Shp, f.Shx = f.Shp[:headerSize:headerSize], nil
	putLittle(f.Shp, 32, uint32(kind))
	for i, c := range contents {
		head := make([]byte, recordHeaderSize)
		putBig(head, 0, uint32(i+1))
		putBig(head, 4, uint32(len(c)/2))
		f.Shp = append(append(f.Shp, head...), c...)
	}
	putBig(f.Shp, 24, uint32(len(f.Shp)/2))
	return f
}

func pointContent(kind shapeType, values ...float64) []byte {
	c := make([]byte, 4+8*len(values))
	putLittle(c, 0, uint32(kind))
	for i, v := range values {
		putFloat(c, 4+8*i, v)
	}
	return c
}

// A point is a ring of itself alone, whatever follows its x and y; a null shape has none and a
// deleted row nothing at all. Rows stay in their order.
func TestPoints(t *testing.T) {
	for kind, more := range map[shapeType][]float64{onePoint: nil, onePointZ: {300, 7}, onePointM: {7}} {
		f := pointFiles(t, kind, pointContent(kind, append([]float64{-93.5, 42.25}, more...)...), pointContent(nullShape),
			pointContent(kind, append([]float64{-93.25, 42.5}, more...)...), pointContent(kind, append([]float64{0, -1}, more...)...))
		table, _ := readTable(f.Dbf)
		f.Dbf[int(binary.LittleEndian.Uint16(f.Dbf[8:]))+2*table.size] = rowDeleted
		f.Prj = []byte("as it stands")
		if !HoldsPoints(f.Shp) {
			t.Errorf("%d is not seen to hold points", kind)
		}
		layer, err := DecodePoints(f)
		if err != nil {
			t.Fatal(kind, err)
		}
		got := ""
		for i := range layer.Shapes.Len() {
			got += fmt.Sprint(layer.Shapes.Shape(i))
		}
		if want := "[[[[-93.5 42.25]]]][][][[[[0 -1]]]]"; got != want || layer.Name != "log" || layer.System != "as it stands" || fmt.Sprint(layer.Deleted) != "[2]" {
			t.Errorf("%d: %s, want %s: %q %q, %v deleted", kind, got, want, layer.Name, layer.System, layer.Deleted)
		}
	}
}

// A .prj that an editor saved as UTF-16 says what it said before; half a character is left as it is.
func TestSystemInUTF16(t *testing.T) {
	for prj, want := range map[string]string{
		"\xff\xfeP\x00R\x00[\x00": "PR[", "\xfe\xff\x00P\x00R": "PR", "\xff\xfe\xb0\x00": "°",
		"PROJCS": "PROJCS", "\xff\xfeP": "\xff\xfeP", "P": "P", "": "",
	} {
		if got := systemText([]byte(prj)); got != want {
			t.Errorf("%q is read as %q, want %q", prj, got, want)
		}
	}
}

// What is no point is told by its record, all in one pass.
func TestWrongPoints(t *testing.T) {
	f := pointFiles(t, onePoint, pointContent(onePoint, math.NaN(), 1), pointContent(onePoint, 1, math.Inf(1)), pointContent(onePoint, 1), pointContent(polygon, 1, 2), pointContent(onePoint, 1, 2))
	_, err := DecodePoints(f)
	if err == nil {
		t.Fatal("is read")
	}
	for _, want := range []string{"record 1: its point is not a finite number", "record 2: its point is not a finite number", "record 3: is cut short: 12 bytes", "record 4: is a polygon (type 5), not a point"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q is not told:\n%v", want, err)
		}
	}
	if strings.Contains(err.Error(), "record 5") {
		t.Error(err)
	}
	polygons := encoded(t, "field", grid(2), rates())
	if HoldsPoints(polygons.Shp) || HoldsPoints(nil) {
		t.Error("polygons are taken for points")
	}
	for what, f := range map[string]Files{"points": polygons, "log.shp": {Name: "log", Dbf: polygons.Dbf}, "log.dbf": {Name: "log", Shp: pointFiles(t, onePoint).Shp}} {
		if _, err := DecodePoints(f); err == nil || !strings.Contains(err.Error(), what) {
			t.Errorf("%s: %v", what, err)
		}
	}
	short := pointFiles(t, onePoint, pointContent(onePoint, 1, 2))
	short.Shp = short.Shp[:len(short.Shp)-2]
	if _, err := DecodePoints(short); err == nil {
		t.Error("a cut file is read")
	}
}

package write

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	shp "github.com/jonas-p/go-shp"
	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/geojson"
	"rxsplit/geo/shapefile"
)

// closed is a ring of its corners, closed.
func closed(corners ...orb.Point) orb.Ring { return append(orb.Ring(corners), corners[0]) }

// written writes a square with a hole and a record of two triangles.
func written(t testing.TB) (shapefile.Files, []byte, table) {
	t.Helper()
	shapes := &geo.Shapes{}
	shapes.Append(orb.MultiPolygon{{closed(orb.Point{1, 1}, orb.Point{5, 1}, orb.Point{5, 5}, orb.Point{1, 5}), closed(orb.Point{2, 2}, orb.Point{3, 2}, orb.Point{3, 3})}})
	shapes.Append(orb.MultiPolygon{{closed(orb.Point{6, 1}, orb.Point{7, 1}, orb.Point{6, 2})}, {closed(orb.Point{8, 1}, orb.Point{9, 1}, orb.Point{8, 2})}})
	want := table{shapes: shapes, rows: 2, id: func(row int) int64 { return int64(row) + 1 }, areaOf: func(row int) float64 { return 15.5 - 14.5*float64(row) }}
	want.cols = []geo.Column{computed("RATE", 2, func(row int) float64 { return 150.25 + float64(row) }), integers("ZONE", 2, want.id), areas("ACRES", 2, want.areaOf)}
	var main, index, rows, features bytes.Buffer
	if err := shapefile.Write(&main, &index, &rows, shapes, want.cols); err != nil {
		t.Fatal(err)
	}
	if err := geojson.Write(&features, "dry", shapes, want.id, want.cols); err != nil {
		t.Fatal(err)
	}
	return shapefile.Files{Name: "dry", Shp: main.Bytes(), Shx: index.Bytes(), Dbf: rows.Bytes()}, features.Bytes(), want
}

func TestSecondReadersAgree(t *testing.T) {
	f, features, want := written(t)
	if found := readShapefileTwice(f, want); len(found) > 0 {
		t.Error(found)
	}
	if found := readGeoJSONTwice(bytes.NewReader(features), "dry.geojson", want); len(found) > 0 {
		t.Error(found)
	}
}

// Each byte of a shapefile says something: another one there is found, but for those that
// nobody reads. A file that is cut anywhere is found, too, and nothing panics.
func TestSecondReaderOfShapefiles(t *testing.T) {
	f, _, want := written(t)
	told, kinds, digits := []string(nil), map[string]bool{}, regexp.MustCompile(`"[^"]*"|field \d+ is [^,]*, type .|RATE|ZONE|ACRES|-?[\d.]+`)
	tell := func(how string, found []Mismatch) {
		for _, m := range found {
			if kind := digits.ReplaceAllString(m.Error(), "#"); !kinds[kind] && utf8.ValidString(kind) {
				kinds[kind] = true
				told = append(told, how+": "+m.Error())
			}
		}
	}
	for _, name := range []string{".shp", ".shx", ".dbf"} {
		part := map[string]*[]byte{".shp": &f.Shp, ".shx": &f.Shx, ".dbf": &f.Dbf}[name]
		whole := *part
		for at := range whole {
			*part = whole[:at]
			short := readShapefileTwice(f, want)
			tell(fmt.Sprintf("%s of %d bytes", name, at), short)
			if len(short) == 0 {
				t.Errorf("%s of %d bytes: not found", name, at)
			}
			for _, flip := range []byte{0x01, 0x80, 0xff} {
				*part = bytes.Clone(whole)
				(*part)[at] ^= flip
				found := readShapefileTwice(f, want)
				tell(fmt.Sprintf("%s %d ^ %#x", name, at, flip), found)
				if free := nobodyReads(name, at, len(whole)); (len(found) == 0) != free {
					t.Errorf("%s: byte %d ^ %#x: found %v", name, at, flip, found)
				}
			}
		}
		*part = whole
	}
	f.Shx = append(bytes.Clone(f.Shx), make([]byte, 8)...)
	binary.BigEndian.PutUint32(f.Shx[24:], uint32(len(f.Shx)/2))
	tell("an entry more", readShapefileTwice(f, want))
	if got := strings.Join(told, "\n"); got != secondTold {
		t.Errorf("told is\n%s\nwant\n%s", got, secondTold)
	}
}

// secondTold is what is told first of each kind of difference.
const secondTold = `.shp of 0 bytes: dry.shp: read by another decoder, go-shp, has not the header of a shapefile of polygons
.shp 24 ^ 0x1: dry.shp: read by another decoder, go-shp, states a length of 16777462 words and has 492 bytes
.shp 100 ^ 0x1: dry.shp: read by another decoder, go-shp, has another record than its index in place of record 1
.shp 104 ^ 0x1: dry.shp: read by another decoder, go-shp, states 33554628 bytes of record 1
.shp 108 ^ 0x1: dry.shp: read by another decoder, go-shp, record 1 is of shape type 4, want 5, a polygon
.shp 112 ^ 0x1: dry.shp: zone 1: read by another decoder, go-shp, its box is not that of its points
.shp 144 ^ 0x1: dry.shp: read by another decoder, go-shp, record 1 has 3 parts and 9 points in 196 bytes
.shp 152 ^ 0x1: dry.shp: zone 1: read by another decoder, go-shp, ring 1 of its polygon is not the one of the plan
.shp 152 ^ 0x80: dry.shp: zone 1: read by another decoder, go-shp, part 1 of its polygon runs from point 128 to 5
.dbf of 0 bytes: dry.dbf: read by another decoder, go-shp, has 0 bytes, want 2 rows of 20 behind a header of 129
.dbf 0 ^ 0x1: dry.dbf: read by another decoder, go-shp, has another header than its rows ask for
.dbf 32 ^ 0x1: dry.dbf: read by another decoder, go-shp, field 1 is SATE, type N, 7 wide with 2 decimals; want RATE, type N, 7 wide with 2
.dbf 128 ^ 0x1: dry.shp: read by another decoder, go-shp, ends after 0 of 2 records: Field descriptor array terminator not found
.dbf 129 ^ 0x1: dry.dbf: read by another decoder, go-shp, row 1 is marked deleted
.dbf 130 ^ 0x1: dry.dbf: zone 1: read by another decoder, go-shp, RATE is "!150.25", want "150.25"
.dbf 139 ^ 0x1: dry.dbf: zone 1: read by another decoder, go-shp, its area is 5.5, want 15.5
an entry more: dry.shp: read by another decoder, go-shp, has an index of 124 bytes, want 116`

// A record without a polygon is read as one, and told where it has one.
func TestSecondReadersOfNoPolygon(t *testing.T) {
	layer := func(first orb.MultiPolygon) (shapefile.Files, []byte, table) {
		shapes := &geo.Shapes{}
		shapes.Append(first)
		shapes.Append(orb.MultiPolygon{{closed(orb.Point{6, 1}, orb.Point{7, 1}, orb.Point{6, 2})}})
		want := table{shapes: shapes, rows: 2, id: func(row int) int64 { return int64(row) + 1 }, areaOf: func(row int) float64 { return 0.5 * float64(row) }}
		want.cols = []geo.Column{integers("ZONE", 2, want.id), areas("ACRES", 2, want.areaOf)}
		var main, index, rows, features bytes.Buffer
		if err := errors.Join(shapefile.Write(&main, &index, &rows, shapes, want.cols), geojson.Write(&features, "dry", shapes, want.id, want.cols)); err != nil {
			t.Fatal(err)
		}
		return shapefile.Files{Name: "dry", Shp: main.Bytes(), Shx: index.Bytes(), Dbf: rows.Bytes()}, features.Bytes(), want
	}
	none, noFeature, want := layer(nil)
	one, oneFeature, wantOne := layer(orb.MultiPolygon{{closed(orb.Point{1, 1}, orb.Point{2, 1}, orb.Point{1, 2})}})
	for what, c := range map[string]struct {
		found []Mismatch
		want  string
	}{
		"none as a shapefile":     {readShapefileTwice(none, want), "[]"},
		"none as GeoJSON":         {readGeoJSONTwice(bytes.NewReader(noFeature), "dry.geojson", want), "[]"},
		"one more as a shapefile": {readShapefileTwice(one, want), "[dry.shp: zone 1: read by another decoder, go-shp, its polygon has 1 rings, want 0]"},
		"one more as GeoJSON":     {readGeoJSONTwice(bytes.NewReader(oneFeature), "dry.geojson", want), "[dry.geojson: zone 1: read by another decoder, jsontext, it has a geometry, want none]"},
		"none where one is":       {readShapefileTwice(none, wantOne), "[dry.shp: zone 1: read by another decoder, go-shp, its polygon has 0 rings, want 1]"},
		"null where one is":       {readGeoJSONTwice(bytes.NewReader(noFeature), "dry.geojson", wantOne), "[dry.geojson: zone 1: read by another decoder, jsontext, can't be read: null stands where { should]"},
	} {
		if got := fmt.Sprint(c.found); got != c.want {
			t.Errorf("%s: %s, want %s", what, got, c.want)
		}
	}
}

// nobodyReads tells of bytes that are unused, or that no reader needs: the boxes of the
// headers, the date of a table, what a field descriptor keeps free, the end mark.
func nobodyReads(part string, at, size int) bool {
	if part != ".dbf" {
		return at >= 4 && at < 24 || at >= 36 && at < 100
	}
	const fields = 32 + 3*32
	inField := (at - 32) % 32
	return at >= 1 && at < 4 || at >= 12 && at < 32 || at >= 32 && at < fields && (inField >= 12 && inField < 16 || inField >= 18) || at == size-1
}

// Counts for which there is no room are refused before go-shp makes room for them.
func TestGuardBeforeGoShp(t *testing.T) {
	f, _, want := written(t)
	whole := f.Shp
	rng := rand.New(rand.NewPCG(7, 8))
	for range 20_000 {
		f.Shp = bytes.Clone(whole)
		for range 1 + rng.IntN(3) {
			at := 100 + 4*rng.IntN((len(whole)-100)/4)
			binary.LittleEndian.PutUint32(f.Shp[at:], rng.Uint32()>>rng.IntN(32))
		}
		if !bytes.Equal(f.Shp, whole) && len(readShapefileTwice(f, want)) == 0 {
			t.Fatalf("not found: % x", f.Shp)
		}
	}
}

// What a GeoJSON says otherwise than the plan is found, and its record named.
func TestSecondReaderOfGeoJSON(t *testing.T) {
	_, features, want := written(t)
	var told []string
	for _, c := range []struct{ from, to, finds string }{
		{`"FeatureCollection"`, `"Feature"`, "FeatureCollection"},
		{`"name"`, `"crs":{"type":"name","properties":{}},"name"`, "FeatureCollection"},
		{`"id":1`, `"id":3`, `zone 1: read by another decoder, jsontext, its id is 3, want 1`},
		{`"RATE":150.25`, `"RATE":"150.25"`, "zone 1"},
		{`"RATE":151.25`, `"RATE":151.24`, "zone 2"},
		{`"ZONE":2,`, ``, "zone 2"},
		{`"ACRES":15.5`, `"ACRES":15.6`, "zone 1"},
		{`[6,1]`, `[1,6]`, "zone 2"},
		{`[6,1]`, `[5,0,7]`, "zone 2"},
		{`[6,1]`, `[6]`, "zone 2"},
		{`[6,1]`, `[null,null]`, "zone 2"},
		{`[6,1]`, `[[6],1]`, "zone 2"},
		{`[6,1]`, `["6",1]`, "zone 2"},
		{`[6,1]`, `[6,1,0]`, "where a position of two numbers should"},
		{`[6,1]`, `"6,1"`, "zone 2"},
		{`[6,1]`, `6`, "zone 2"},
		{`"ZONE":2,`, `"Z\u004fNE":2,"ZONE":2,`, "duplicate"},
		{`[[[1,1],[5,1],[5,5],[1,5],[1,1]]`, `[[[1,1],[1,5],[5,5],[5,1],[1,1]]`, "wrong way round"},
		{`[2,2],[3,3],[3,2],[2,2]`, `[2,2],[3,2],[3,3],[2,2]`, "wrong way round"},
		{`"Polygon"`, `"MultiLineString"`, "zone 1"},
		{`"MultiPolygon"`, `"GeometryCollection"`, "zone 2"},
		{`"type":"Feature",`, `"type":"feature",`, "its type"},
		{`"type":"Feature",`, `"type":"Feature","bbox":[1,1,5,5],`, `a member "bbox"`},
		{`"type":"Feature",`, ``, "it has 3 of the members"},
		{`"id":1`, `"id":"1"`, "zone 1: read by another decoder, jsontext, can't be read"},
		{`"id":1`, `"id":1,"id":1`, "duplicate"},
		{`"ZONE":2,`, `"ZONE":2,"zone":2,`, `a property "zone"`},
		{`"ZONE":2,`, `"ZONE":null,`, "ZONE is null, want 2"},
		{`"type":"Polygon",`, ``, "lacks its type"},
		{`"type":"Polygon",`, `"type":"Polygon","bbox":null,`, `a member "bbox"`},
		{`,[[2,2],[3,3],[3,2],[2,2]]`, ``, "1 rings, want 2"},
		{`,[[[8,1],[9,1],[8,2],[8,1]]]`, ``, "it has 1 polygons, want 2"},
		{`]],[[[8,1]`, `],[]],[[[8,1]`, "one of its polygons has 2 rings, want 1"},
		{`,[[[8,1],[9,1],[8,2],[8,1]]]`, `,[[[8,1],[9,1],[8,2],[8,1]]],[]`, "more polygons than 2"},
		{`{"type":"Polygon","coordinates":[[[1,1],[5,1],[5,5],[1,5],[1,1]],[[2,2],[3,3],[3,2],[2,2]]]}`, `null`, "zone 1"},
		{"},\n", "}{},\n", "goes on behind its end"},
		{"},\n", "}\n", "comma"},
		{"]}\n", "\n", "does not end"},
		{"]}\n", "]}\n]}\n", "does not end"},
	} {
		changed := bytes.Replace(features, []byte(c.from), []byte(c.to), 1)
		if c.from == "]}\n" {
			changed = append(bytes.TrimSuffix(bytes.Clone(features), []byte(c.from)), c.to...)
		}
		if bytes.Equal(changed, features) {
			t.Errorf("%s does not stand in %s", c.from, features)
			continue
		}
		found := (&VerifyError{Mismatches: readGeoJSONTwice(bytes.NewReader(changed), "dry.geojson", want)}).Error()
		own, _, _ := strings.Cut(found, ": jsontext: ") // the library's words may change
		told = append(told, own)
		if !strings.Contains(found, c.finds) {
			t.Errorf("%s for %s: found %q, want %q", c.to, c.from, found, c.finds)
		}
	}
	if got := strings.Join(told, "\n"); got != secondOfGeoJSON {
		t.Errorf("told is\n%s\nwant\n%s", got, secondOfGeoJSON)
	}
	for at := range features[:len(features)-1] {
		if len(readGeoJSONTwice(bytes.NewReader(features[:at]), "dry.geojson", want)) == 0 {
			t.Errorf("cut at %d: not found", at)
		}
	}
}

// secondOfGeoJSON is what is told of each change, in its order.
const secondOfGeoJSON = `dry.geojson: read by another decoder, jsontext, does not begin as a FeatureCollection
dry.geojson: read by another decoder, jsontext, does not begin as a FeatureCollection
dry.geojson: zone 1: read by another decoder, jsontext, its id is 3, want 1
dry.geojson: zone 1: read by another decoder, jsontext, RATE is "150.25", want 150.25
dry.geojson: zone 2: read by another decoder, jsontext, RATE is 151.24, want 151.25
dry.geojson: zone 2: read by another decoder, jsontext, it has 2 properties, want 3
dry.geojson: zone 1: read by another decoder, jsontext, ACRES is 15.6, want 15.5
dry.geojson: zone 2: read by another decoder, jsontext, ring 1 of its polygon is not the one of the plan
dry.geojson: zone 2: read by another decoder, jsontext, can't be read: [5,0,7] stands where a position of two numbers should
dry.geojson: zone 2: read by another decoder, jsontext, can't be read: [6] stands where a position of two numbers should
dry.geojson: zone 2: read by another decoder, jsontext, can't be read: [null,null] stands where a position of two numbers should
dry.geojson: zone 2: read by another decoder, jsontext, can't be read: [[6],1] stands where a position of two numbers should
dry.geojson: zone 2: read by another decoder, jsontext, can't be read: ["6",1] stands where a position of two numbers should
dry.geojson: zone 2: read by another decoder, jsontext, can't be read: [6,1,0] stands where a position of two numbers should
dry.geojson: zone 2: read by another decoder, jsontext, can't be read: "6,1" stands where a position of two numbers should
dry.geojson: zone 2: read by another decoder, jsontext, can't be read: 6 stands where a position of two numbers should
dry.geojson: zone 2: read by another decoder, jsontext, can't be read
dry.geojson: zone 1: read by another decoder, jsontext, ring 1 of its polygon runs the wrong way round
dry.geojson: zone 1: read by another decoder, jsontext, ring 2 of its polygon runs the wrong way round
dry.geojson: zone 1: read by another decoder, jsontext, its geometry is a MultiLineString, want a Polygon
dry.geojson: zone 2: read by another decoder, jsontext, its geometry is a GeometryCollection, want a MultiPolygon
dry.geojson: zone 1: read by another decoder, jsontext, its type is "feature"
dry.geojson: zone 1: read by another decoder, jsontext, it has a member "bbox"
dry.geojson: zone 1: read by another decoder, jsontext, it has 3 of the members type, id, properties and geometry
dry.geojson: zone 1: read by another decoder, jsontext, can't be read: string stands where number should
dry.geojson: zone 1: read by another decoder, jsontext, can't be read
dry.geojson: zone 2: read by another decoder, jsontext, it has a property "zone"
dry.geojson: zone 2: read by another decoder, jsontext, ZONE is null, want 2
dry.geojson: zone 1: read by another decoder, jsontext, its geometry lacks its type or its coordinates
dry.geojson: zone 1: read by another decoder, jsontext, its geometry has a member "bbox"
dry.geojson: zone 1: read by another decoder, jsontext, one of its polygons has 1 rings, want 2
dry.geojson: zone 2: read by another decoder, jsontext, it has 1 polygons, want 2
dry.geojson: zone 2: read by another decoder, jsontext, one of its polygons has 2 rings, want 1
dry.geojson: zone 2: read by another decoder, jsontext, it has more polygons than 2
dry.geojson: zone 1: read by another decoder, jsontext, can't be read: null stands where { should
dry.geojson: zone 1: read by another decoder, jsontext, can't be read: it goes on behind its end
dry.geojson: zone 1: read by another decoder, jsontext, does not end in a comma
dry.geojson: read by another decoder, jsontext, does not end behind its last feature
dry.geojson: read by another decoder, jsontext, does not end behind its last feature`

// A large layer is read twice as far as its records and its vertices allow, and what comes
// behind that is left to our own decoders.
func TestHowFarIsReadTwice(t *testing.T) {
	many := &geo.Shapes{}
	triangle := orb.MultiPolygon{{closed(orb.Point{0, 0}, orb.Point{1, 0}, orb.Point{0, 1})}}
	for range secondRecords + 7 {
		many.Append(triangle)
	}
	long := &geo.Shapes{}
	for _, vertices := range []int{3, secondVertices - 8, 3} {
		ring := make(orb.Ring, vertices)
		for i := range ring {
			ring[i] = orb.Point{float64(i % 2), float64(i)}
		}
		long.Append(orb.MultiPolygon{{append(ring, ring[0])}})
	}
	for _, c := range []struct {
		shapes *geo.Shapes
		read   int
	}{{many, secondRecords}, {long, 2}} {
		if got := readTwice(c.shapes); got != c.read {
			t.Errorf("%d of %d records, want %d", got, c.shapes.Len(), c.read)
		}
		if testing.Short() && c.shapes == many {
			continue
		}
		want := table{shapes: c.shapes, rows: c.shapes.Len(), id: func(int) int64 { return 1 }, areaOf: func(int) float64 { return 1 }}
		want.cols = []geo.Column{areas("ACRES", want.rows, want.areaOf)}
		var main, index, rows, features bytes.Buffer
		if err := shapefile.Write(&main, &index, &rows, c.shapes, want.cols); err != nil {
			t.Fatal(err)
		}
		if err := geojson.Write(&features, "dry", c.shapes, want.id, want.cols); err != nil {
			t.Fatal(err)
		}
		main.Bytes()[main.Len()-1] ^= 1 // in the last record
		if found := readShapefileTwice(shapefile.Files{Shp: main.Bytes(), Shx: index.Bytes(), Dbf: rows.Bytes()}, want); len(found) > 0 {
			t.Error(found)
		}
		if found := readGeoJSONTwice(bytes.NewReader(features.Bytes()[:features.Len()-9]), "dry.geojson", want); len(found) > 0 {
			t.Error(found)
		}
	}
}

// Parts that run beyond the points of a polygon, or back, are told as points by their numbers.
func TestPartsOfTheSecondReader(t *testing.T) {
	points := []shp.Point{{X: 0, Y: 0}, {X: 0, Y: 1}, {X: 1, Y: 0}, {X: 0, Y: 0}}
	for _, c := range []struct {
		parts []int32
		why   string
	}{
		{[]int32{0}, ""},
		{[]int32{0, 4}, ""},
		{[]int32{5}, "part 1 of its polygon runs from point 5 to 4"},
		{[]int32{0, 3, 2}, "part 2 of its polygon runs from point 3 to 2"},
		{[]int32{0, 9}, "part 1 of its polygon runs from point 0 to 9"},
		{[]int32{-1}, "part 1 of its polygon runs from point -1 to 4"},
	} {
		_, why := new(secondReading).ringsOf(&shp.Polygon{Box: shp.BBoxFromPoints(points), Parts: c.parts, Points: points})
		if why != c.why {
			t.Errorf("parts at %v: %q, want %q", c.parts, why, c.why)
		}
	}
}

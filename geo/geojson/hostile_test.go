package geojson

import (
	"bytes"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"rxsplit/geo"
)

// allocated returns the bytes that f allocates, whatever becomes of them.
func allocated(f func()) int {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return int(after.TotalAlloc - before.TotalAlloc)
}

// The name that is one too many ends the reading: what stands behind it is not kept. Of a MB of
// names some times the text is allocated, by the frame's copy and the batch, and not a table of all.
func TestOneNameTooManyEndsTheReading(t *testing.T) {
	var b strings.Builder
	for i := range 100_000 {
		fmt.Fprintf(&b, `"%x":1,`, i)
	}
	text := []byte(collection(`{"type":"Feature","properties":{` + b.String() + `"a":1}}`))
	var err error
	if used := allocated(func() { _, err = Decode(bytes.NewReader(text), "f") }); used > 8*len(text) {
		t.Errorf("allocated %d bytes for %d of text", used, len(text))
	}
	checkBad(t, err, geo.BadRecord{Record: 0, Why: "more than 1000 different property names"})
}

// Hostile texts end in a clear error, or in a layer, and all that is allocated
// on the way, garbage included, is at most 48 times the text's length: points
// are 16 bytes for 6 of text, a record is 16 bytes for 2 at the worst, and the
// slices grow by steps; doubled buffers, the frame's copy and the search for the
// place of an error take a few times the text each. On top comes the fixed room
// for batches.
func TestHostileTexts(t *testing.T) {
	if testing.Short() {
		t.Skip("decodes some 30 texts of 4 MB")
	}
	const long = 4 << 20
	times := strings.Repeat
	ring := func(s string) string { return collection(feature(polygonText(`[[[0,0],[1,0],` + s + `,[0,0]]]`))) }
	for _, tt := range []struct{ name, text, want string }{
		{"arrays nested in a property", collection(`{"type":"Feature","properties":{"a":` + times("[", long) + times("]", long) + `}}`), "exceeded max depth"},
		{"objects nested in a property", collection(`{"type":"Feature","properties":{"a":` + times(`{"a":`, long/5) + "1" + times("}", long/5) + `}}`), "exceeded max depth"},
		{"coordinates nested", ring(times("[", long) + times("]", long)), "exceeded max depth"},
		{"arrays that never end", `{"type":"FeatureCollection","features":` + times("[", long), "exceeded max depth"},
		{"objects that never end", times(`{"features":[`, long/13), "exceeded max depth"},
		{"nested in the frame", `{"a":` + times("[", long) + times("]", long) + `,"type":"FeatureCollection","features":[]}`, "exceeded max depth"},
		{"long ordinate", ring(`[1.` + times("1", long) + `,2]`), ""},
		{"ordinate too long to be finite", ring(`[` + times("1", long) + `,2]`), "is not finite"},
		{"long number", collection(`{"type":"Feature","properties":{"a":` + times("1", long) + `}}`), ""},
		{"long string", collection(`{"type":"Feature","properties":{"a":"` + times("a", long) + `"}}`), ""},
		{"string of escapes", collection(`{"type":"Feature","properties":{"a":"` + times(`\"`, long/2) + `"}}`), ""},
		{"string of surrogates", collection(`{"type":"Feature","properties":{"a":"` + times(`\ud800`, long/6) + `"}}`), ""},
		{"string that never ends", `{"type":"FeatureCollection","features":[{"type":"` + times("a", long), "the file ends inside"},
		{"long name", `{"` + times("a", long) + `":1,"type":"FeatureCollection","features":[]}`, ""},
		{"long foreign member", `{"type":"FeatureCollection","features":[],"a":"` + times("a", long) + `"}`, ""},
		{"long crs", `{"type":"FeatureCollection","features":[],"crs":"` + times("a", long) + `"}`, ""},
		{"white space", times(" ", long) + collection(), ""},
		{"white space among features", `{"type":"FeatureCollection","features":[` + times(" ", long) + `]}`, ""},
		{"features never closed", `{"type":"FeatureCollection","features":[` + times(`{"type":"Feature"},`, long/19), "the file ends inside"},
		{"bad features", `{"type":"FeatureCollection","features":[` + times(`1,`, long/2) + `1]}`, "and 2097133 more"},
		{"small features", `{"type":"FeatureCollection","features":[` + times(`{"type":"Feature"},`, long/19) + `{"type":"Feature"}]}`, ""},
		{"small polygons", `{"type":"MultiPolygon","coordinates":[` + times(`[],`, long/3) + `[]]}`, ""},
		{"dense points", ring(times(`[0,0],`, long/6) + `[1,1]`), ""},
		{"numbers beside each other", times("1 ", long/2), "want a GeoJSON object"},
		{"commas", `{"type":"FeatureCollection","features":[` + times(",", long), "want a feature"},
		{"zeros", times("\x00", long), "not UTF-8"},
		{"record separators", times("\x1e", long), "there is no GeoJSON text"},
		{"names without end", collection(`{"type":"Feature","properties":{` + times(`"a":1,`, long/6) + `"a":1}}`), "stands there twice"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			text := []byte(tt.text)
			var err error
			used := allocated(func() { _, err = Decode(bytes.NewReader(text), "f") })
			switch {
			case tt.want == "" && err != nil:
				t.Errorf("got %.200s", err)
			case tt.want != "" && (err == nil || !strings.Contains(err.Error(), tt.want)):
				t.Errorf("got %.200v, want %s", err, tt.want)
			}
			if err != nil && len(err.Error()) > 5000 {
				t.Errorf("the error has %d bytes", len(err.Error()))
			}
			if limit := 48*len(text) + 32*blockSize; used > limit {
				t.Errorf("allocated %d bytes for %d of text, at most %d are meant to be", used, len(text), limit)
			}
			t.Logf("allocated %.1f times the text", float64(used)/float64(len(text)))
		})
	}
}

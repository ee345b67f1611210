package geojson

import (
	"bytes"
	"errors"
	"math"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

func written(t *testing.T, name string, s *geo.Shapes, id func(int) int64, cols []geo.Column) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, name, s, id, cols); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestWriteLayout(t *testing.T) {
	var s geo.Shapes
	s.Append(orb.MultiPolygon{{{{0, 0}, {0, 9}, {9, 9}, {0, 0}}, {{1, 3}, {1, 2}, {2, 3}, {1, 3}}}})
	s.Append(nil)
	s.Append(orb.MultiPolygon{{{{0, 0}, {1, 0}, {1, 1}, {0, 0}}}, {{{5, 5}, {6, 5}, {6, 6}, {5, 5}}}})
	rate := geo.Column{Name: `RATE "x"`, JSON: func(dst []byte, row int) []byte { return strconv.AppendInt(dst, int64(row), 10) }}
	note := geo.Column{Name: "é", JSON: func(dst []byte, row int) []byte { return append(dst, "null"...) }}

	// The first record's shell and hole are turned: shells counter-clockwise,
	// holes clockwise (RFC 7946 §3.1.6), each from its first point on.
	want := `{"type":"FeatureCollection","name":"dry \"1\"","features":[
{"type":"Feature","id":10,"properties":{"RATE \"x\"":0,"é":null},"geometry":{"type":"Polygon","coordinates":[[[0,0],[9,9],[0,9],[0,0]],[[1,3],[2,3],[1,2],[1,3]]]}},
{"type":"Feature","id":11,"properties":{"RATE \"x\"":1,"é":null},"geometry":null},
{"type":"Feature","id":12,"properties":{"RATE \"x\"":2,"é":null},"geometry":{"type":"MultiPolygon","coordinates":[[[[0,0],[1,0],[1,1],[0,0]]],[[[5,5],[6,5],[6,6],[5,5]]]]}}
]}
`
	before := append([]orb.Point(nil), s.Points...)
	if got := written(t, `dry "1"`, &s, func(row int) int64 { return int64(10 + row) }, []geo.Column{rate, note}); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	for i, p := range before {
		if s.Points[i] != p {
			t.Fatal("the shapes that were written are no longer what they were")
		}
	}
}

func TestWriteNothing(t *testing.T) {
	const want = "{\"type\":\"FeatureCollection\",\"features\":[\n]}\n"
	if got := written(t, "", &geo.Shapes{}, nil, nil); got != want {
		t.Errorf("got %s", got)
	}
	if l := read(t, want); l.Shapes.Len() != 0 {
		t.Errorf("read back %d records", l.Shapes.Len())
	}
}

// No reader makes such polygons, but what is written must be JSON all the same.
func TestWriteEmptyPolygonsAndRings(t *testing.T) {
	s := geo.Shapes{RingEnds: []int32{0}, PolyEnds: []int32{0, 1}, ShapeEnds: []int32{1, 2}}
	text := written(t, "", &s, nil, nil)
	if l := read(t, text); l.Shapes.Len() != 2 || !l.Shapes.Empty(0) || !l.Shapes.Empty(1) {
		t.Errorf("got %s", text)
	}
}

// The texts are those of ECMA-262, Number::toString, but for -0.
func TestFloatTexts(t *testing.T) {
	for _, tt := range []struct {
		v    float64
		want string
	}{
		{0, "0"}, {math.Copysign(0, -1), "-0"}, {1, "1"}, {-93.5, "-93.5"}, {0.1, "0.1"}, {100, "100"},
		{1e20, "100000000000000000000"}, {1e21, "1e+21"}, {1e-6, "0.000001"}, {1e-7, "1e-7"},
		{5e-324, "5e-324"}, {math.MaxFloat64, "1.7976931348623157e+308"}, {-93.12345678901234, "-93.12345678901234"},
	} {
		if got := string(appendFloat(nil, tt.v)); got != tt.want {
			t.Errorf("got %s, want %s", got, tt.want)
		}
	}
}

func TestWriteRefusesWhatIsNotFinite(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		var s geo.Shapes
		s.Append(nil)
		s.Append(orb.MultiPolygon{{{{0, 0}, {1, v}, {1, 1}, {0, 0}}}})
		var b bytes.Buffer
		err := Write(&b, "", &s, nil, nil)
		if err == nil || !strings.HasPrefix(err.Error(), "record 2: ") || b.Len() > 0 {
			t.Errorf("%v: got %v and %d bytes", v, err, b.Len())
		}
	}
}

// failing refuses one write, after others.
type failing struct{ after int }

var errFull = errors.New("full")

func (f *failing) Write(p []byte) (int, error) {
	if f.after--; f.after == -1 {
		return 0, errFull
	}
	return len(p), nil
}

func TestWriteErrorsAreReturned(t *testing.T) {
	shapes, cols := grid(10_000)
	after := 0
	err := errFull
	for ; err != nil; after++ {
		if err = Write(&failing{after}, "", shapes, nil, cols); err != nil && !errors.Is(err, errFull) {
			t.Errorf("after %d writes: got %v", after, err)
		}
	}
	if after <= 5 {
		t.Errorf("whole after %d writes: head, tail and several blocks were to be written", after-1)
	}
}

func TestWritingDoesNotDependOnCores(t *testing.T) {
	shapes, cols := grid(10_000)
	want := written(t, "x", shapes, nil, cols)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	for _, cores := range []int{1, 4} {
		runtime.GOMAXPROCS(cores)
		if written(t, "x", shapes, nil, cols) != want {
			t.Errorf("other bytes on %d cores", cores)
		}
	}
}

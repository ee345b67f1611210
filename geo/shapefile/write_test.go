package shapefile

import (
	"bytes"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// TestWriteThenReadIsTheIdentity holds for shapes that wind as the format asks,
// several times as many as one goroutine encodes.
func TestWriteThenReadIsTheIdentity(t *testing.T) {
	shapes := wound(randomShapes(rand.New(rand.NewPCG(7, 8)), 20_000))
	f := encoded(t, "zones", shapes, ratesWithNulls())
	layer := mustDecode(t, f)
	if !sameShapes(&layer.Shapes, shapes) {
		t.Error("other shapes after writing and reading")
	}
	if len(layer.Remarks) > 0 {
		t.Errorf("remarks %v", layer.Remarks)
	}
	for i, c := range ratesWithNulls() {
		for row := range shapes.Len() {
			if got, want := layer.Attributes.Cell(row, i).Text, c.Text(nil, row); !bytes.Equal(got, want) {
				t.Fatalf("row %d, %s: %q, want %q", row, c.Name, got, want)
			}
		}
	}
	again := encoded(t, "zones", &layer.Shapes, ratesWithNulls())
	if !bytes.Equal(again.Shp, f.Shp) || !bytes.Equal(again.Shx, f.Shx) || !bytes.Equal(again.Dbf, f.Dbf) {
		t.Error("other bytes when written again")
	}
}

// wound turns every ring as the format asks.
func wound(s *geo.Shapes) *geo.Shapes {
	w := &geo.Shapes{}
	for i := range s.Len() {
		mp := s.Shape(i).Clone()
		for _, p := range mp {
			for r, ring := range p {
				if winding, _ := windingOf(ring); (winding < 0) != (r == 0) {
					ring.Reverse()
				}
			}
		}
		w.Append(mp)
	}
	return w
}

func TestWindingIsTurnedAndArgumentsAreKept(t *testing.T) {
	asks, other := &geo.Shapes{}, &geo.Shapes{}
	asks.Append(orb.MultiPolygon{{cw(0, 0, 9), ccw(1, 1, 2)}})
	other.Append(orb.MultiPolygon{{ccw(0, 0, 9), cw(1, 1, 2)}})
	before := slices.Clone(other.Points)
	a, b := encoded(t, "a", asks, rates()), encoded(t, "b", other, rates())
	if !bytes.Equal(a.Shp, b.Shp) {
		t.Error("winding changes the bytes")
	}
	if !slices.Equal(other.Points, before) {
		t.Error("the argument was changed")
	}
}

// TestBytesDontDependOnCores also covers reading.
func TestBytesDontDependOnCores(t *testing.T) {
	shapes := randomShapes(rand.New(rand.NewPCG(9, 10)), 20_000)
	several := encoded(t, "zones", shapes, rates())
	layer := mustDecode(t, several)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := encoded(t, "zones", shapes, rates())
	if !bytes.Equal(several.Shp, one.Shp) || !bytes.Equal(several.Shx, one.Shx) || !bytes.Equal(several.Dbf, one.Dbf) {
		t.Error("other bytes on one core")
	}
	if again := mustDecode(t, one); !sameShapes(&again.Shapes, &layer.Shapes) {
		t.Error("other shapes on one core")
	}
}

func TestHeaderOfTheTable(t *testing.T) {
	f := encoded(t, "zones", grid(3), rates())
	want := []byte{0x03, 126, 1, 1, 3, 0, 0, 0, 97, 0, 20, 0}
	if !bytes.Equal(f.Dbf[:12], want) {
		t.Errorf("header %v, want %v", f.Dbf[:12], want)
	}
	if row := string(f.Dbf[97:117]); row != "       1     100.000" {
		t.Errorf("first row %q", row)
	}
	if f.Dbf[len(f.Dbf)-1] != dbfFileEnd || len(f.Dbf) != 97+3*20+1 {
		t.Errorf("%d bytes ending in %#x", len(f.Dbf), f.Dbf[len(f.Dbf)-1])
	}
}

func TestSizeIsWhatIsWritten(t *testing.T) {
	for _, n := range []int{0, 1, 300} {
		shapes := randomShapes(rand.New(rand.NewPCG(11, 12)), n)
		f := encoded(t, "zones", shapes, rates())
		want := layerSizes{Shp: int64(len(f.Shp)), Shx: int64(len(f.Shx)), Dbf: int64(len(f.Dbf))}
		if got := Size(shapes, rates()); got != want {
			t.Errorf("%d records: %+v, want %+v", n, got, want)
		}
	}
}

// TestTooLargeIsRefusedBeforeWriting states points that are not there: sizes come
// from the ends alone.
func TestTooLargeIsRefusedBeforeWriting(t *testing.T) {
	points := &geo.Shapes{RingEnds: []int32{1 << 27}, PolyEnds: []int32{1}, ShapeEnds: []int32{1}}
	rows := &geo.Shapes{ShapeEnds: make([]int32, 9_000_000)}
	wide := []geo.Column{{Name: "RATE", Width: 250, Text: func(dst []byte, _ int) []byte { return dst }}}
	for _, c := range []struct {
		part   string
		shapes *geo.Shapes
		cols   []geo.Column
	}{{".shp", points, rates()}, {".dbf", rows, wide}} {
		var written countWriter
		err := Write(&written, &written, &written, c.shapes, c.cols)
		var tooLarge *tooLargeError
		if !errors.As(err, &tooLarge) || tooLarge.Part != c.part || written != 0 {
			t.Errorf("got %v after %d bytes, want %s refused", err, written, c.part)
		}
	}
}

type countWriter int

func (w *countWriter) Write(p []byte) (int, error) { *w += countWriter(len(p)); return len(p), nil }

func TestBadColumnsAreRefused(t *testing.T) {
	text := func(s string) func([]byte, int) []byte {
		return func(dst []byte, _ int) []byte { return append(dst, s...) }
	}
	for _, c := range []struct {
		why  string
		cols []geo.Column
	}{
		{"a shapefile needs at least one field", nil},
		{"has no name", []geo.Column{{Width: 5}}},
		{"name has 11 bytes", []geo.Column{{Name: "ELEVENBYTES", Width: 5}}},
		{"name has 11 bytes", []geo.Column{{Name: "ÖÖÖÖÖX", Width: 5}}},
		{"control character", []geo.Column{{Name: "A\x00B", Width: 5}}},
		{"width 0", []geo.Column{{Name: "A"}}},
		{"width 256", []geo.Column{{Name: "A", Width: 256}}},
		{"4 decimals", []geo.Column{{Name: "A", Width: 5, Decimals: 4}}},
		{"is there twice", []geo.Column{{Name: "A", Width: 5}, {Name: "a", Width: 5}}},
		{`"123456" is wider than the 5`, []geo.Column{{Name: "A", Width: 5, Text: text("123456")}}},
	} {
		err := Write(io.Discard, io.Discard, io.Discard, grid(2), c.cols)
		var column *columnError
		if errors.As(err, &column) != (c.cols != nil) || !strings.Contains(err.Error(), c.why) {
			t.Errorf("got %v, want %s", err, c.why)
		}
	}
}

// TestTheFirstWideCellIsReported whatever the number of cores.
func TestTheFirstWideCellIsReported(t *testing.T) {
	cols := rates()
	cols[0].Text = func(dst []byte, row int) []byte {
		if row >= 5000 {
			return append(dst, "12345678"...)
		}
		return dst
	}
	var w widest
	for _, row := range []int{7, 3, 5} {
		w.note(&columnError{Row: row})
	}
	if w.first.Row != 3 {
		t.Errorf("row %d, want 3", w.first.Row)
	}
	err := Write(io.Discard, io.Discard, io.Discard, grid(20_000), cols)
	if want := `record 5001: field ZONE: "12345678" is wider than the 7 of its column`; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

var errFull = errors.New("full")

// fullWriter takes a number of bytes.
type fullWriter int

func (w *fullWriter) Write(p []byte) (int, error) {
	if *w -= fullWriter(len(p)); *w < 0 {
		return 0, errFull
	}
	return len(p), nil
}

// fullOnce refuses one write, after others.
type fullOnce struct{ after int }

func (w *fullOnce) Write(p []byte) (int, error) {
	if w.after--; w.after == -1 {
		return 0, errFull
	}
	return len(p), nil
}

func TestWriteErrorsAreReturned(t *testing.T) {
	shapes := grid(10_000)
	refused, err := 0, errFull
	for ; err != nil; refused++ {
		w := &fullOnce{refused}
		if err = Write(w, w, w, shapes, rates()); err != nil && !errors.Is(err, errFull) {
			t.Errorf("write %d: %v", refused+1, err)
		}
	}
	if refused < 8 { // three heads and the end of the table, and blocks
		t.Errorf("whole after %d writes", refused)
	}
	size := Size(shapes, rates())
	total := int(size.Shp + size.Shx + size.Dbf)
	for _, room := range []int{0, 99, 1000, int(size.Shp) - 1, int(size.Shp), int(size.Shp + size.Shx), total - 1} {
		w := fullWriter(room)
		if err := Write(&w, &w, &w, shapes, rates()); !errors.Is(err, errFull) {
			t.Errorf("room for %d of %d bytes: %v, want %v", room, total, err, errFull)
		}
	}
	for part := range 3 {
		w := [3]fullWriter{math.MaxInt, math.MaxInt, math.MaxInt}
		w[part] = fullWriter([]int64{size.Shp, size.Shx, size.Dbf}[part] - 1)
		if err := Write(&w[0], &w[1], &w[2], shapes, rates()); !errors.Is(err, errFull) {
			t.Errorf("no room for the last byte of part %d: %v, want %v", part, err, errFull)
		}
	}
}

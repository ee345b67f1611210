package svg

import (
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"rxsplit/geo"
)

// sketch makes a raster from rows of squares; '#' is record 1, '.' is none.
func sketch(step int, rows ...string) *raster {
	r := &raster{step: step, wide: len(rows[0]), high: len(rows)}
	for _, row := range rows {
		for _, c := range row {
			record := int32(noRecord)
			if c == '#' {
				record = 1
			}
			r.record = append(r.record, record)
		}
	}
	return r
}

// shaded has record 1 in a shade.
func shaded(r *raster) *tracer {
	var t tracer
	t.shade(r, []uint8{0, 1})
	return &t
}

func TestTrace(t *testing.T) {
	for _, test := range []struct {
		name string
		rows []string
		want string
	}{
		{"nothing", []string{"..", ".."}, ""},
		{"a block", []string{"....", ".##.", ".##.", "...."}, "M100 100h200v200h-200z"},
		{"to the edge", []string{"##", "##"}, "M0 0h200v200h-200z"},
		{"a hole", []string{"#####", "#...#", "#...#", "#...#", "#####"}, "M0 0h500v500h-500zM100 100v300h300v-300z"},
		{"corners alone", []string{"##..", "##..", "..##", "..##"}, "M0 0h200v200h-200zM200 200h200v200h-200z"},
	} {
		if got := string(shaded(sketch(100, test.rows...)).path(nil, 0)); got != test.want {
			t.Errorf("%s: %s, want %s", test.name, got, test.want)
		}
	}
}

// TestTraceEncloses: the rings that are followed enclose just the squares inside.
func TestTraceEncloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wide, high := rapid.IntRange(1, 9).Draw(t, "wide"), rapid.IntRange(1, 9).Draw(t, "high")
		var rows []string
		count := 0
		for range high {
			row := rapid.StringOfN(rapid.SampledFrom([]rune("#.")), wide, wide, -1).Draw(t, "row")
			count += strings.Count(row, "#")
			rows = append(rows, row)
		}
		r := sketch(1, rows...)
		trace := shaded(r)
		trace.mark(trace.sides, &[256]bool{1: true})
		area := 0.0
		for start := range trace.out {
			for trace.out[start] != 0 {
				ring := trace.follow(start)
				if ring[0] != ring[len(ring)-1] {
					t.Fatalf("an open ring %v", ring)
				}
				for i := 1; i < len(ring); i++ {
					area += (ring[i-1][0]*ring[i][1] - ring[i][0]*ring[i-1][1]) / 2
				}
			}
		}
		if area != float64(count) {
			t.Fatalf("rings around %g squares, want %d", area, count)
		}
	})
}

// TestRasterSeesGround: a square field fills the squares that its middle lies in.
func TestRasterSeesGround(t *testing.T) {
	const d = 0.001
	var s geo.Shapes
	hole := orb.Ring{{d * .25, d * .25}, {d * .25, d * .75}, {d * .75, d * .75}, {d * .75, d * .25}, {d * .25, d * .25}}
	s.Append(orb.MultiPolygon{{{{0, 0}, {d, 0}, {d, d}, {0, d}, {0, 0}}, hole}})
	frame, ok := newFrame(s.Extent())
	if !ok {
		t.Fatal("no frame")
	}
	r := newRaster(&s, frame, 10)
	count := 0
	for _, record := range r.record {
		if record == 0 {
			count++
		}
	}
	box := frame.box(s.Extent())
	want := (box.Max[0] - box.Min[0]) * (box.Max[1] - box.Min[1]) / 100 * 0.75
	if got := float64(count); got < want*0.99 || got > want*1.01 {
		t.Errorf("%g squares, want about %.0f", got, want)
	}
}

func TestFrameRefusesWhatIsNoField(t *testing.T) {
	for _, box := range []orb.Bound{{}, {Min: orb.Point{1, 1}, Max: orb.Point{1, 2}}, {Min: orb.Point{0, 80}, Max: orb.Point{1, 95}}, {Min: orb.Point{-179, 1}, Max: orb.Point{179, 2}}} {
		if _, ok := newFrame(box); ok {
			t.Errorf("%v has a frame", box)
		}
	}
}

// TestOutlinesOfShades: each shade is followed on its own.
func TestOutlinesOfShades(t *testing.T) {
	r := &raster{step: 100, wide: 4, high: 2, record: []int32{0, 0, 1, noRecord, 2, 2, 1, noRecord}}
	var trace tracer
	trace.shade(r, []uint8{1, 2, 0})
	var got []string
	for _, path := range trace.each(2, 1) {
		got = append(got, string(path))
	}
	if want := []string{"M0 0h200v100h-200z", "M200 0h100v200h-100z"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	for _, left := range trace.out {
		if left != 0 {
			t.Fatal("marks are left over")
		}
	}
	for _, tt := range []struct {
		class []uint8
		want  geo.Sets
	}{{[]uint8{1, 1, 2}, geo.Sets{0, 0, 2}}, {[]uint8{1, 2, 1}, geo.Sets{0, 1, 0}}, {[]uint8{2, 1, 1}, geo.Sets{0, 1, 1}}, {[]uint8{noClass, noClass, noClass}, geo.Sets{0, 1, 2}}} {
		if got := r.joined(tt.class); !slices.Equal(got, tt.want) {
			t.Errorf("side by side of %v: %v, want %v", tt.class, got, tt.want)
		}
	}
}

// Borders that are more than is of use are not all drawn: a checkerboard is cut off after the ring
// that is too much, and is drawn anew more coarsely.
func TestTooMuchIsNotDrawn(t *testing.T) {
	rows := make([]string, 100)
	for i := range rows {
		rows[i] = strings.Repeat("##..", 25)
		if i%4 > 1 {
			rows[i] = strings.Repeat("....", 25)
		}
	}
	all := len(shaded(sketch(100, rows...)).path(nil, 0))
	ring := all / (25 * 25)
	for _, most := range []int{1, all / 3, all - 1, all, 0} {
		trace := shaded(sketch(100, rows...))
		trace.most = most
		drawn := len(trace.path(nil, 0))
		if most == 0 || most == all {
			if drawn != all || trace.over() {
				t.Errorf("%d of %d bytes where %d are of use", drawn, all, most)
			}
		} else if !trace.over() || drawn <= most || drawn > most+2*ring {
			t.Errorf("%d of %d bytes where %d are of use", drawn, all, most)
		}
	}
}

// Squares are filled between the first cut and the second, the third and the fourth and so on,
// whichever way they come: from the first middle that is not left of the one, in the raster alone.
func TestFillsBetweenCuts(t *testing.T) {
	r := sketch(1, "......", "......")
	var cuts []cut
	for _, x := range []float64{4.4, 1e300, 2.6, 2.7, -1e300, 1.5} {
		cuts = r.cutsOfEdge(x, -0.5, x, 1, cuts)
	}
	r.fill(cuts, 1)
	if want := sketch(1, "#...##", "......"); !slices.Equal(r.record, want.record) {
		t.Errorf("filled %v, want %v", r.record, want.record)
	}
}

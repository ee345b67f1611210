package shapefile

import (
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/oracle"
)

// rawRecord encodes one record whose parts are rings as they stand: no closing,
// no turning.
func rawRecord(kind shapeType, rings ...orb.Ring) []byte {
	points := 0
	for _, r := range rings {
		points += len(r)
	}
	content := make([]byte, 44+4*len(rings)+16*points)
	putLittle(content, 0, uint32(kind))
	putLittle(content, 36, uint32(len(rings)))
	putLittle(content, 40, uint32(points))
	at := 0
	for i, r := range rings {
		putLittle(content, 44+4*i, uint32(at))
		for _, p := range r {
			putPoint(content[44+4*len(rings)+16*at:], p)
			at++
		}
	}
	record := make([]byte, recordHeaderSize, recordHeaderSize+len(content))
	putBig(record, 0, 1)
	putBig(record, 4, uint32(len(content)/2))
	return append(record, content...)
}

// rawFiles is a shapefile of one record, without a .shx.
func rawFiles(t testing.TB, record []byte) Files {
	f := encoded(t, "raw", &geo.Shapes{ShapeEnds: make([]int32, 1)}, rates())
	f.Shp = append(f.Shp[:headerSize:headerSize], record...)
	putBig(f.Shp, 24, uint32(len(f.Shp)/2))
	f.Shx = nil
	return f
}

func cw(x, y, side float64) orb.Ring  { return square(x, y, side) }
func ccw(x, y, side float64) orb.Ring { return reversed(square(x, y, side)) }

// nests are records of several rings and the polygons they make, as places of
// rings in the record.
//
//	+-----------------+  a big square, holes in it,
//	| +-----+   +---+ |  an island in a hole
//	| | +-+ |   |   | |
//	| | +-+ |   +---+ |
//	| +-----+         |
//	+-----------------+
var nests = []struct {
	name     string
	rings    []orb.Ring
	polygons [][]int
	remarks  []string
}{
	{"one ring, clockwise", []orb.Ring{cw(0, 0, 9)}, [][]int{{0}}, nil},
	{"one ring, counter-clockwise", []orb.Ring{ccw(0, 0, 9)}, [][]int{{0}}, []string{"winding"}},
	{"shell and holes", []orb.Ring{cw(0, 0, 20), ccw(1, 1, 5), ccw(10, 10, 5)}, [][]int{{0, 1, 2}}, nil},
	{"hole before its shell", []orb.Ring{ccw(1, 1, 5), cw(0, 0, 20)}, [][]int{{1, 0}}, nil},
	{"shells alone", []orb.Ring{cw(0, 0, 5), cw(10, 0, 5), cw(20, 0, 5)}, [][]int{{0}, {1}, {2}}, nil},
	{"holes of two shells, mixed", []orb.Ring{cw(0, 0, 9), cw(20, 0, 9), ccw(21, 1, 2), ccw(1, 1, 2), ccw(25, 5, 2)}, [][]int{{0, 3}, {1, 2, 4}}, nil},
	{"island in a hole", []orb.Ring{cw(0, 0, 20), ccw(1, 1, 10), cw(2, 2, 5)}, [][]int{{0, 1}, {2}}, nil},
	{"island with a hole", []orb.Ring{ccw(3, 3, 1), cw(2, 2, 5), ccw(1, 1, 10), cw(0, 0, 20)}, [][]int{{1, 0}, {3, 2}}, nil},
	{"an island that fills its hole", []orb.Ring{cw(0, 0, 20), cw(1, 1, 5), ccw(1, 1, 5)}, [][]int{{0, 2}, {1}}, nil},
	{"a hole that touches its shell's side", []orb.Ring{cw(0, 0, 20), ccw(0, 5, 5)}, [][]int{{0, 1}}, nil},
	{"a hole that touches its shell's corner", []orb.Ring{cw(0, 0, 20), {{0, 0}, {5, 3}, {3, 5}, {0, 0}}}, [][]int{{0, 1}}, nil},
	{"a hole with all corners on its shell", []orb.Ring{cw(0, 0, 20), {{10, 0}, {20, 10}, {10, 20}, {0, 10}, {10, 0}}}, [][]int{{0, 1}}, nil},
	{"a hole that crosses its shell", []orb.Ring{{{0, 0}, {0, 20}, {20, 20}, {2, 0}, {0, 0}}, {{0, 0}, {5, 3}, {3, 5}, {0, 0}}}, [][]int{{0, 1}}, nil},
	{"a hole that crosses its shell, turned", []orb.Ring{{{0, 0}, {0, 20}, {20, 20}, {2, 0}, {0, 0}}, {{0, 0}, {3, 5}, {5, 3}, {0, 0}}}, [][]int{{0, 1}}, []string{"winding"}},
	{"a part that fills a notch", []orb.Ring{
		{{0, 0}, {0, 9}, {3, 9}, {3, 3}, {6, 3}, {6, 9}, {9, 9}, {9, 0}, {0, 0}},
		{{3, 3}, {3, 9}, {6, 9}, {6, 3}, {3, 3}}}, [][]int{{0}, {1}}, nil},
	{"parts that share a side", []orb.Ring{cw(0, 0, 5), cw(5, 0, 5), cw(0, 5, 5)}, [][]int{{0}, {1}, {2}}, nil},
	{"all wound the other way", []orb.Ring{ccw(0, 0, 20), cw(1, 1, 5)}, [][]int{{0, 1}}, []string{"winding"}},
	{"holes wound as shells", []orb.Ring{cw(0, 0, 20), cw(1, 1, 5), cw(10, 10, 5)}, [][]int{{0, 1, 2}}, []string{"winding"}},
	{"all wound as holes", []orb.Ring{ccw(0, 0, 20), ccw(1, 1, 5), ccw(30, 0, 5)}, [][]int{{0, 1}, {2}}, []string{"hole-outside"}},
	{"a hole outside", []orb.Ring{cw(0, 0, 20), ccw(30, 0, 5)}, [][]int{{0}, {1}}, []string{"hole-outside"}},
	{"a hole outside two shells", []orb.Ring{cw(0, 0, 5), cw(10, 0, 5), ccw(30, 0, 2)}, [][]int{{0}, {1}, {2}}, []string{"hole-outside"}},
	{"a hole outside, inside the box", []orb.Ring{{{0, 0}, {0, 9}, {9, 9}, {0, 0}}, ccw(6, 1, 1)}, [][]int{{0}, {1}}, []string{"hole-outside"}},
	{"a hole in a hole", []orb.Ring{cw(0, 0, 20), ccw(1, 1, 10), ccw(2, 2, 5)}, [][]int{{0, 1}, {2}}, []string{"winding"}},
	{"an open ring", []orb.Ring{cw(0, 0, 20)[:4]}, [][]int{{0}}, []string{"ring-closed"}},
	{"open rings", []orb.Ring{cw(0, 0, 20)[:4], ccw(1, 1, 5)[:4]}, [][]int{{0, 1}}, []string{"ring-closed"}},
	{"repeated points", []orb.Ring{{{0, 0}, {0, 0}, {0, 9}, {0, 9}, {9, 9}, {9, 0}, {0, 0}}}, [][]int{{0}}, nil},
	{"a flat ring apart", []orb.Ring{cw(0, 0, 5), {{10, 0}, {12, 0}, {11, 0}, {10, 0}}}, [][]int{{0}, {1}}, nil},
	{"a ring in a ring of the same box", []orb.Ring{ccw(0, 0, 20), {{10, 0}, {0, 10}, {10, 20}, {20, 10}, {10, 0}}}, [][]int{{0, 1}}, []string{"winding"}},
}

func TestRingsMakePolygons(t *testing.T) {
	for _, n := range nests {
		t.Run(n.name, func(t *testing.T) {
			layer := mustDecode(t, rawFiles(t, rawRecord(polygon, n.rings...)))
			want := &geo.Shapes{}
			var mp orb.MultiPolygon
			for _, places := range n.polygons {
				var p orb.Polygon
				for _, i := range places {
					r := n.rings[i]
					if r[0] != r[len(r)-1] {
						r = append(slices.Clone(r), r[0])
					}
					p = append(p, r)
				}
				mp = append(mp, p)
			}
			want.Append(mp)
			if !sameShapes(&layer.Shapes, want) {
				t.Errorf("got  %v\nwant %v", wkt(layer.Shapes.Shape(0)), wkt(mp))
			}
			if got := rules(layer.Remarks)[1:]; !slices.Equal(got, n.remarks) {
				t.Errorf("remarks %v, want %v", got, n.remarks)
			}
		})
	}
}

// TestOddRecordsAreRemarkedOn has records of one ring that are unusual.
func TestOddRecordsAreRemarkedOn(t *testing.T) {
	ring := cw(0, 0, 9)
	measured := rawRecord(polygonM, ring)
	measured = binary.LittleEndian.AppendUint64(measured, math.Float64bits(1)) // M range
	measured = binary.LittleEndian.AppendUint64(measured, math.Float64bits(2))
	measured = append(measured, make([]byte, 8*len(ring))...)
	putBig(measured, 4, uint32(len(measured)-recordHeaderSize)/2)
	noData := slices.Clone(measured)
	at := len(noData) - 8*len(ring) - 16
	putFloat(noData, at, -2e38)
	putFloat(noData, at+8, -1.5e38)
	longer := append(rawRecord(polygon, ring), make([]byte, 24)...)
	putBig(longer, 4, uint32(len(longer)-recordHeaderSize)/2)
	for _, c := range []struct {
		name    string
		record  []byte
		kind    shapeType // in the file's header
		empty   bool
		remarks []string
	}{
		{"M that is left out", rawRecord(polygonM, ring), polygonM, false, nil},
		{"M", measured, polygonM, false, []string{"m-dropped"}},
		{"M of no data", noData, polygonM, false, nil},
		{"another type than the file's", rawRecord(polygonM, ring), polygon, false, []string{"type-differs"}},
		{"a polygon in a file of null shapes", rawRecord(polygon, ring), nullShape, false, []string{"type-differs"}},
		{"no ring at all", rawRecord(polygon), polygon, true, []string{"empty-polygon"}},
		{"bytes behind the points", longer, polygon, false, nil},
	} {
		f := rawFiles(t, c.record)
		putLittle(f.Shp, 32, uint32(c.kind))
		layer := mustDecode(t, f)
		if got := rules(layer.Remarks)[1:]; !slices.Equal(got, c.remarks) {
			t.Errorf("%s: remarks %v, want %v", c.name, got, c.remarks)
		}
		if layer.Shapes.Empty(0) != c.empty || !c.empty && !slices.Equal(layer.Shapes.Ring(0), ring) {
			t.Errorf("%s: %v", c.name, wkt(layer.Shapes.Shape(0)))
		}
	}
}

// TestGDALMakesTheSamePolygons holds the records above against GDAL where it goes
// by containment: all that are wound as the format asks, and a hole outside two
// shells, which is ground of its own for it too. Beside one shell alone it would
// make a polygon with a hole outside itself. It leaves open rings open.
func TestGDALMakesTheSamePolygons(t *testing.T) {
	oracle.Tool(t, "ogr2ogr")
	var names []string
	var records []byte
	for _, n := range nests {
		if len(n.remarks) == 0 && n.name != "a flat ring apart" || n.name == "a hole outside two shells" {
			names = append(names, n.name)
			records = append(records, rawRecord(polygon, n.rings...)...)
		}
	}
	f := encoded(t, "raw", &geo.Shapes{ShapeEnds: make([]int32, len(names))}, rates())
	f.Shp = append(f.Shp[:headerSize:headerSize], records...)
	putBig(f.Shp, 24, uint32(len(f.Shp)/2))
	at := uint32(headerSize / 2)
	for i := range names {
		words := binary.BigEndian.Uint32(f.Shp[2*at+4:])
		putBig(f.Shp, int(2*at), uint32(i)+1)
		putBig(f.Shx, headerSize+indexEntrySize*i, at)
		putBig(f.Shx, headerSize+indexEntrySize*i+4, words)
		at += 4 + words
	}
	layer := mustDecode(t, f)
	for i, mp := range ogrPolygons(t, save(t, t.TempDir(), f)) {
		compareRings(t, names[i], mp, layer.Shapes.Shape(i))
	}
}

// compareRings wants the same polygons of the same rings; GDAL sorts them otherwise.
func compareRings(t *testing.T, name string, a, b orb.MultiPolygon) {
	t.Helper()
	list := func(mp orb.MultiPolygon) (texts []string) {
		for _, p := range mp {
			for i, r := range p {
				texts = append(texts, fmt.Sprint(p[0].Bound(), i > 0, r.Bound(), len(r)))
			}
		}
		slices.Sort(texts)
		return texts
	}
	if !slices.Equal(list(a), list(b)) {
		t.Errorf("%s: GDAL reads\n%v\nwe read\n%v", name, wkt(a), wkt(b))
	}
}

// sideBySide are n parts with a hole each, or one part with n holes.
func sideBySide(n int, onePart bool) (rings []orb.Ring) {
	if onePart {
		rings = append(rings, frame(n))
	}
	for i := range n {
		x, y := float64(3*(i%100)), float64(3*(i/100))
		if !onePart {
			rings = append(rings, cw(x, y, 2.5))
		}
		rings = append(rings, ccw(x+1, y+1, 1))
	}
	rand.New(rand.NewPCG(3, 4)).Shuffle(len(rings), func(i, j int) { rings[i], rings[j] = rings[j], rings[i] })
	return rings
}

// frame is a shell around everything with n points on each of two sides.
func frame(n int) (r orb.Ring) {
	high := float64(3*n/100 + 3)
	r = orb.Ring{{-1, -1}}
	for i := range n {
		r = append(r, orb.Point{-1 - float64(i%2)/2, high * float64(i+1) / float64(n)})
	}
	for i := range n {
		r = append(r, orb.Point{301 + float64(i%2)/2, high * float64(n-i) / float64(n)})
	}
	return append(r, orb.Point{301, -1}, orb.Point{-1, -1})
}

// TestNestingIsNearLinear counts steps, not seconds.
func TestNestingIsNearLinear(t *testing.T) {
	for _, onePart := range []bool{false, true} {
		for _, n := range []int{1_000, 10_000, 30_000} {
			var nest nester
			rings := sideBySide(n, onePart)
			for _, r := range rings {
				winding, _ := windingOf(r)
				nest.add(r, winding)
			}
			if v := nest.nest(); v != asWound {
				t.Fatalf("%d rings: verdict %v, want as wound", len(rings), v)
			}
			points := nest.countPoints()
			steps := workPerPoint*(len(rings)+points) - nest.work
			if perPoint := steps / points; perPoint > 60 {
				t.Errorf("%d rings of %d points: %d steps a point, want at most 60", len(rings), points, perPoint)
			}
			shells := 0
			for i := range nest.sorted {
				if nest.sorted[i].isShell() {
					shells++
				}
			}
			if want := map[bool]int{true: 1, false: n}[onePart]; shells != want {
				t.Errorf("%d rings: %d shells, want %d", len(rings), shells, want)
			}
		}
	}
}

// TestTurningARingTurnsItsWinding has rings whose area is lost in rounding.
func TestTurningARingTurnsItsWinding(t *testing.T) {
	rnd := rand.New(rand.NewPCG(15, 16))
	for range 2000 {
		ring := orb.Ring{}
		for range 3 + rnd.IntN(5) {
			x := rnd.Float64()
			ring = append(ring, orb.Point{500000 + x, 4500000 + x/3})
		}
		ring = append(ring, ring[0])
		a, _ := windingOf(ring)
		b, _ := windingOf(reversed(ring))
		if a != -b {
			t.Fatalf("%v winds %d, turned %d", ring, a, b)
		}
	}
}

// TestTangledRecordsAreRefused nests boxes thousands deep without one ring in
// another: L-shapes of which each holds the next one's box.
func TestTangledRecordsAreRefused(t *testing.T) {
	var rings []orb.Ring
	const n = 6_000
	for i := range n {
		a, b := float64(i), float64(2*n-i)
		rings = append(rings, orb.Ring{{a, a}, {a, b}, {a + .5, b}, {a + .5, a + .5}, {b, a + .5}, {b, a}, {a, a}})
	}
	_, err := Decode(rawFiles(t, rawRecord(polygon, rings...)))
	if err == nil || err.Error() != "raw.shp: record 1: has 6000 rings too tangled to tell which lies in which" {
		t.Errorf("got %v", err)
	}
}

// Heights that overflow when they are multiplied are laid in one band.
func TestIndexOfHeightsThatOverflow(t *testing.T) {
	ring := orb.Ring{{0, -4e307}, {2, 4e307}, {3, 4e307}, {4, -4e307}, {0, -4e307}}
	if x := newEdgeIndex(ring); x.bands != 1 {
		t.Errorf("%g bands", x.bands)
	}
}

// TestIndexedEdgesAgree holds the index of edges against looking at all of them.
func TestIndexedEdgesAgree(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		ring := orb.Ring{}
		for range 3 + rnd.IntN(200) {
			ring = append(ring, orb.Point{float64(rnd.IntN(40)), float64(rnd.IntN(40))})
		}
		ring = append(ring, ring[0])
		x := newEdgeIndex(ring)
		if len(x.edges) > 4*len(ring) {
			t.Errorf("%d entries for %d edges", len(x.edges), len(ring))
		}
		for range 200 {
			p := orb.Point{float64(rnd.IntN(160)-40) / 2, float64(rnd.IntN(160)-40) / 2}
			if got, _ := x.locate(p); got != locateAmong(p, ring) {
				t.Fatalf("%v in %v: %v, want %v", p, ring, got, locateAmong(p, ring))
			}
		}
	}
}

// A point that stands on an edge is on it, whichever way the edge leans or runs, and none beyond its ends is.
func TestPointsOnEdges(t *testing.T) {
	for _, to := range []orb.Point{{8, 4}, {4, 8}, {-8, 4}, {-4, 8}, {8, 0}, {0, 8}, {-8, 0}} {
		at := func(share float64) orb.Point { return orb.Point{share * to[0], share * to[1]} }
		for _, share := range []float64{0, 0.25, 0.5, 1} {
			_, on := crossing(at(share), orb.Point{}, to)
			_, back := crossing(at(share), to, orb.Point{})
			if !on || !back {
				t.Errorf("%v of the way to %v: on the edge %v, turned %v", share, to, on, back)
			}
		}
		for _, share := range []float64{-0.25, 1.25} {
			if _, on := crossing(at(share), orb.Point{}, to); on {
				t.Errorf("%v of the way to %v is on the edge", share, to)
			}
		}
	}
}

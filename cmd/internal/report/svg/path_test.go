package svg

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	library "github.com/paulmach/orb/simplify"
	"pgregory.net/rapid"

	"rxsplit/geo"
)

// TestManyKeepOutsHaveTheirRoom: more keep-outs than a drawing can hold are drawn
// within the room all the same, as far as a pixel shows them.
func TestManyKeepOutsHaveTheirRoom(t *testing.T) {
	box := orb.Bound{Min: orb.Point{-96, 41}, Max: orb.Point{-95.99, 41.0076}}
	d := NewDrawer(oneShape(box.ToPolygon()))
	var ground orb.MultiPolygon
	const n = 200
	dx, dy := (box.Max[0]-box.Min[0])/n, (box.Max[1]-box.Min[1])/n
	for i := range n * n {
		x, y := box.Min[0]+float64(i%n)*dx, box.Min[1]+float64(i/n)*dy
		ground = append(ground, orb.Polygon{{{x, y}, {x + dx*0.7, y}, {x + dx*0.8, y + dy*0.6}, {x, y + dy*0.7}, {x, y}}})
	}
	path := d.Path(ground)
	if len(path) > groundRoom || len(path) < groundRoom/20 {
		t.Errorf("%d bytes for the path, room for %d", len(path), groundRoom)
	}
	if one := d.Path(ground[:1]); !strings.HasPrefix(one, "M") {
		t.Errorf("a keep-out of two pixels is drawn as %q", one)
	}
}

// oneShape is a field of one zone.
func oneShape(polygon orb.Polygon) Ground {
	var s geo.Shapes
	s.Append(orb.MultiPolygon{polygon})
	return Ground{Shapes: &s, Zones: 1, Record: func(int) int { return 0 }, Number: func(int) int { return 1 }}
}

// comb is a line of n teeth, each as high as the drawing and less than half a pixel
// wide.
func comb(n int) []orb.Point {
	ring := []orb.Point{{0, 0}}
	for i := range n {
		x := float64(i) * 7280 / float64(n)
		ring = append(ring, orb.Point{x, 100}, orb.Point{x, 6000})
	}
	return append(ring, orb.Point{7280, 0}, orb.Point{0, 0})
}

// TestSimplifyDividesWhereItShould: short lines are divided as the method says, and no
// point that is left out stands off, however long the line is.
func TestSimplifyDividesWhereItShould(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 120).Draw(t, "n")
		less := rapid.Float64Range(0.5, 40).Draw(t, "less")
		line := make(orb.LineString, n)
		for i := range line {
			line[i] = orb.Point{rapid.Float64Range(0, 100).Draw(t, "x"), rapid.Float64Range(0, 100).Draw(t, "y")}
		}
		want := library.DouglasPeucker(less).LineString(line.Clone())
		if got, _ := simplify(line.Clone(), less); !got.Equal(want) {
			t.Fatalf("%v, want %v", got, want)
		}
	})
	for _, n := range []int{10, 1000, 20_000} {
		line := orb.LineString(comb(n))
		kept, looks := simplify(line.Clone(), 3)
		if most := 2 * patience * len(line); looks > most { // the square of them is ten thousand times as many
			t.Errorf("%d teeth: %d looks at points, want at most %d", n, looks, most)
		}
		k := 0
		for _, p := range line {
			if k+1 < len(kept) && p == kept[k+1] {
				k++
				continue
			}
			if k+1 < len(kept) && planar.DistanceFromSegmentSquared(kept[k], kept[k+1], p) > 3*3 {
				t.Fatalf("%d teeth: %v is left out, between %v and %v", n, p, kept[k], kept[k+1])
			}
		}
		if k != len(kept)-1 {
			t.Errorf("%d teeth: %d of %d points are those of the line", n, k, len(kept))
		}
	}
}

// Pixels are the nearest on both sides of 0, and a step says no more than it has to.
func TestStepsOfAPath(t *testing.T) {
	for v, want := range map[float64]int{0: 0, 0.49: 0, 0.5: 1, 1.49: 1, 1.5: 2, -0.49: 0, -0.5: -1, -1.49: -1, -1.5: -2, -7.2: -7} {
		if got := round(v); got != want {
			t.Errorf("%v is pixel %d, want %d", v, got, want)
		}
	}
	for step, want := range map[[2]int]string{{0, 0}: "", {3, 0}: "h3", {-3, 0}: "h-3", {0, 4}: "v4", {0, -4}: "v-4", {3, 4}: "l3 4", {3, -4}: "l3-4", {-3, 1}: "l-3 1"} {
		if got := string(appendStep([]byte("M"), step[0], step[1])); got != "M"+want {
			t.Errorf("%v: %q, want %q", step, got, want)
		}
	}
}

// A square belongs to a ring where its middle lies in it, also where a line of squares is cut an odd number of times.
func TestFillOfCuts(t *testing.T) {
	for _, c := range []struct {
		what string
		cuts [][2]float64 // line and place
		want string
	}{
		{"one span", [][2]float64{{0, 1.5}, {0, 4.5}}, ".###..\n......"},
		{"middles at both ends", [][2]float64{{0, 1.49}, {0, 4.51}}, ".####.\n......"},
		{"two spans, in any order", [][2]float64{{1, 5}, {1, 4}, {1, 2}, {1, 0}}, "......\n##..#."},
		{"over both edges", [][2]float64{{0, -3}, {0, 9}}, "######\n......"},
		{"a cut too many in a line", [][2]float64{{0, 1}, {1, 2}, {1, 4}}, "......\n..##.."},
		{"one by itself at the end", [][2]float64{{0, 1}, {0, 3}, {1, 2}}, ".##...\n......"},
	} {
		r := &raster{wide: 6, high: 2, record: make([]int32, 12)}
		var cuts []cut
		for _, at := range c.cuts {
			cuts = r.cutsOfEdge(at[1], at[0]-0.1, at[1], at[0]+0.1, cuts)
		}
		r.fill(cuts, 1)
		got := ""
		for i, record := range r.record {
			if got += string(".#"[record]); i == 5 {
				got += "\n"
			}
		}
		if got != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", c.what, got, c.want)
		}
	}
}

// How often values come: both ends belong to it, what lies outside and what is no number doesn't.
func TestHistogram(t *testing.T) {
	bar := func(bin, high int) string {
		return fmt.Sprintf(`<rect x="%d" y="%d" width="%d" height="%d"/>`, bin*binsWidth+px/2, binsHigh-high, binsWidth-px, high)
	}
	for _, c := range []struct {
		values    []float64
		low, high float64
		want      string
	}{
		{nil, 0, 24, ""}, {[]float64{0, 24}, 0, 24, bar(0, binsHigh) + bar(23, binsHigh)}, {[]float64{0.99, 1, 1.99, 12, 12.5}, 0, 24, bar(0, binsHigh/2) + bar(1, binsHigh) + bar(12, binsHigh)},
		{[]float64{-0.01, 24.01, math.NaN(), 7}, 0, 24, bar(7, binsHigh)}, {[]float64{5, 5, 5}, 5, 5, bar(0, binsHigh)},
		{append(make([]float64, 1000), 3), 0, 24, bar(0, binsHigh) + bar(3, 2*px)},
	} {
		if got := string(Histogram(c.values, c.low, c.high).Body); got != c.want {
			t.Errorf("%d values from %v to %v: got %s, want %s", len(c.values), c.low, c.high, got, c.want)
		}
	}
}

// Where there is no ground, there is no small map.
func TestThumbOfNoGround(t *testing.T) {
	whole := oneShape(orb.Bound{Min: orb.Point{-96, 41}, Max: orb.Point{-95.99, 41.0076}}.ToPolygon())
	none, empty := whole, oneShape(nil)
	none.Zones = 0
	m := Map{Fills: []string{"red"}, Class: []uint8{0}}
	for ground, drawn := range map[*Ground]bool{&whole: true, &none: false, &empty: false} {
		if w, h, body := Thumb(*ground, m); (body != "") != drawn || (w > 0) != drawn || (h > 0) != drawn {
			t.Errorf("%d by %d, %q", w, h, body)
		}
	}
}

// A ring of three corners is drawn as it is, however flat; of more, those that stand less than the distance off are left
// out; what has fewer is nothing.
func TestRingsOfFewCorners(t *testing.T) {
	for _, c := range []struct {
		ring []orb.Point
		want string
	}{
		{[]orb.Point{{0, 0}, {100, 0}, {50, 3}, {0, 0}}, "M0 0h100l-50 3z"}, {[]orb.Point{{0, 0}, {100, 0}, {0, 0}}, ""},
		{[]orb.Point{{0, 0}, {50, 3}, {100, 0}, {100, 100}, {0, 0}}, "M0 0h100v100z"}, {[]orb.Point{{0, 0}, {1, 1}, {100, 0}, {0, 0}}, ""}, // 1, 1 is where 0, 0 is drawn
		{[]orb.Point{{0, 0}, {2, 0}, {100, 0}, {0, 90}, {0, 0}}, "M0 0h100l-100 90z"}, {[]orb.Point{{-0.6, 0.4}, {100, 0}, {0, 90}, {-0.6, 0.4}}, "M-1 0h101l-100 90z"},
	} {
		if got := string(appendRing(nil, slices.Clone(c.ring), 40)); got != c.want {
			t.Errorf("%v: %q, want %q", c.ring, got, c.want)
		}
	}
}

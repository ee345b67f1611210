package geo

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// loose is a graph of edges without common nodes.
func loose(segments ...[2]orb.Point) *graph {
	g := &graph{}
	for i, s := range segments {
		g.pos = append(g.pos, s[0], s[1])
		g.edges = append(g.edges, edge{int32(2 * i), int32(2*i + 1), int32(i)})
	}
	return g
}

// randomSegments have their ends at different places of a lattice, or may share one.
func randomSegments(r *rand.Rand, n, lattice int, share bool) (list [][2]orb.Point) {
	seen := map[orb.Point]bool{}
	for len(list) < n {
		a := orb.Point{float64(r.IntN(lattice)), float64(r.IntN(lattice))}
		b := orb.Point{float64(r.IntN(lattice)), float64(r.IntN(lattice))}
		if a != b && (share || !seen[a] && !seen[b]) {
			list, seen[a], seen[b] = append(list, [2]orb.Point{a, b}), true, true
		}
	}
	return list
}

// Edges cross by boxes and by a sweep where any two of them meet, and nowhere else.
func TestCrossingsByBoxesAndBySweep(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 11))
	sound, crossed := 0, 0
	for range 4000 {
		list := randomSegments(r, 2+r.IntN(6), 12, false)
		meet := false
		for i, s := range list {
			for _, u := range list[:i] {
				meet = meet || meetSegments(s[0], s[1], u[0], u[1]) != apart
			}
		}
		if meet {
			crossed++
		} else {
			sound++
		}
		boxes, swept := loose(list...).crossings(), loose(list...).sweepCrossings()
		if (boxes != nil) != meet || (swept != nil) != meet {
			t.Fatalf("%v: by boxes %v, by a sweep %v, meet %v", list, boxes, swept, meet)
		}
		for _, f := range []*flaw{boxes, swept} {
			if f != nil && (f.edges[0] >= f.edges[1] || f.why == "" || f.edges[0] >= 0 &&
				meetSegments(list[f.edges[0]][0], list[f.edges[0]][1], list[f.edges[1]][0], list[f.edges[1]][1]) == apart) {
				t.Fatalf("%v: edges %v don't cross", list, f.edges)
			}
		}
	}
	if sound < 500 || crossed < 500 {
		t.Errorf("%d sound, %d crossed", sound, crossed)
	}
}

// Of two edges that don't cross, above the same place, the one with the lower ordinate is lower.
func TestLowerIsByOrdinates(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 2))
	tried := 0
	for tried < 3000 {
		list := randomSegments(r, 2, 9, true)
		g := loose(list...)
		from, to := math.Inf(-1), math.Inf(1)
		for _, s := range list {
			from, to = max(from, min(s[0][0], s[1][0])), min(to, max(s[0][0], s[1][0]))
		}
		shared := list[0][0] == list[1][0] || list[0][0] == list[1][1] || list[0][1] == list[1][0] || list[0][1] == list[1][1]
		if from >= to {
			continue
		}
		x := (from + to) / 2
		height := func(s [2]orb.Point) float64 { return s[0][1] + (x-s[0][0])*(s[1][1]-s[0][1])/(s[1][0]-s[0][0]) }
		a, b := height(list[0]), height(list[1])
		if math.Abs(a-b) < 1e-9 || !shared && meetSegments(list[0][0], list[0][1], list[1][0], list[1][1]) != apart {
			continue
		}
		tried++
		if got := g.lower(0, 1); got != (a < b) {
			t.Fatalf("%v: %v at %v and %v", list, got, a, b)
		}
	}
}

// What two convex polygons share is what a general overlay finds, however they are wound;
// polygons that are not convex, or of several parts, share nothing here.
func TestConvexOverlap(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 8))
	some := 0
	hull := func() orb.MultiPolygon {
		var ring orb.Ring
		x, y, radius, n := 4*r.Float64(), 4*r.Float64(), 1+2*r.Float64(), 3+r.IntN(6)
		for i := range n {
			a := 2 * math.Pi * (float64(i) + 0.5*r.Float64()) / float64(n)
			ring = append(ring, orb.Point{x + radius*math.Cos(a), y + radius*math.Sin(a)})
		}
		ring = append(ring, ring[0])
		if r.IntN(2) == 0 {
			ring.Reverse()
		}
		return orb.MultiPolygon{{ring}}
	}
	for range 300 {
		a, b := hull(), hull()
		before := fmt.Sprint(a, b)
		common, err := Intersect(a, b)
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0
		for _, p := range common {
			size, _ := flatRing(p[0])
			want += math.Abs(size)
		}
		if got := ConvexOverlap(a, b); math.Abs(got-want) > 1e-9 || math.Abs(ConvexOverlap(b, a)-want) > 1e-9 {
			t.Fatalf("%v, want %v: %v %v", got, want, a, b)
		}
		if fmt.Sprint(a, b) != before {
			t.Fatal("the polygons are changed")
		}
		if want > 0.1 {
			some++
		}
	}
	if some < 50 {
		t.Errorf("%d overlap", some)
	}
	square := orb.MultiPolygon{{box(0, 0, 2, 2)}}
	notched := orb.MultiPolygon{{{{0, 0}, {2, 0}, {2, 2}, {1, 1}, {0, 2}, {0, 0}}}}
	for _, c := range []orb.MultiPolygon{notched, append(square, square...), {{box(0, 0, 2, 2), box(0.5, 0.5, 1, 1)}}, nil} {
		if got := ConvexOverlap(square, c); got != 0 || ConvexOverlap(c, square) != 0 {
			t.Errorf("%v: %v", c, got)
		}
	}
}

// Shells are laid counter-clockwise and holes clockwise however they are drawn, without the
// vertices that are there twice; a hole without ground goes, and a shell with all that is in it.
func TestFlatPolygonsAreWound(t *testing.T) {
	shell, hole := cells(0, 0, 9, 9), cells(3, 3, 6, 6)
	doubled := append(orb.Ring{shell[0], shell[0]}, shell[1:]...)
	line := ring(flat(at(1, 1), at(2, 1), at(1, 1))...)
	for name, c := range map[string]struct {
		polygon orb.Polygon
		rings   int
	}{
		"as wanted": {orb.Polygon{shell, reversed(hole.Clone())}, 2}, "both one way": {orb.Polygon{shell, hole}, 2}, "both the other way": {orb.Polygon{reversed(shell.Clone()), reversed(hole.Clone())}, 2},
		"the wrong way": {orb.Polygon{reversed(shell.Clone()), hole}, 2}, "a vertex twice": {orb.Polygon{doubled, hole}, 2}, "a flat hole": {orb.Polygon{shell, line, hole}, 2}, "a flat shell": {orb.Polygon{line, hole}, 0},
	} {
		s := &Shapes{}
		s.Append(orb.MultiPolygon{c.polygon})
		got := overlapFinder{mesh(t, s)}.flatPolygon(0)
		if len(got) != c.rings {
			t.Errorf("%s: %d rings", name, len(got))
		}
		for i, r := range got {
			area, _ := flatRing(r)
			if (area > 0) != (i == 0) || len(r) != 5 {
				t.Errorf("%s: ring %d has %v m² and %d points", name, i, area, len(r))
			}
		}
	}
}

// Ground across the antimeridian has the acres that it has elsewhere on its parallel, alone and
// as part of a layer that is dissolved.
func TestAcresAcrossTheAntimeridian(t *testing.T) {
	place := func(lon float64) orb.MultiPolygon {
		r := box(lon-0.002, 45, lon+0.002, 45.003)
		for i := range r {
			r[i][0] = math.Remainder(r[i][0], 360)
		}
		return orb.MultiPolygon{{r}}
	}
	want, err := AreaOf(place(-93))
	if err != nil || want < 20*unit.Acre {
		t.Fatal(want, err)
	}
	for _, lon := range []float64{180, 179.9985, -179.9985} {
		if got, err := AreaOf(place(lon)); err != nil || math.Abs(float64(got/want-1)) > 1e-9 {
			t.Errorf("%v: %v %v, want %v", lon, got, err, want)
		}
		s := &Shapes{}
		s.Append(place(lon))
		if got, err := s.recordArea(0); err != nil || math.Abs(float64(got/want-1)) > 1e-9 {
			t.Errorf("%v as a record: %v %v, want %v", lon, got, err, want)
		}
	}
	if got, err := AreaOf(orb.MultiPolygon{{{}}, {box(0, 0, 0, 0)}, {}}); got != 0 || err != nil {
		t.Errorf("no ground: %v %v", got, err)
	}
}

// Where acres can't be had, the error says the place, and the record where there is one.
func TestAreaErrorsSayWhere(t *testing.T) {
	beyond := orb.MultiPolygon{{box(10, 69, 10.1, 71)}}
	s := &Shapes{}
	s.Append(orb.MultiPolygon{{box(0, 0, 0.1, 0.1)}})
	s.Append(beyond)
	_, alone := AreaOf(beyond)
	_, all := s.Areas()
	for name, err := range map[string]error{"": alone, "record 2: ": all} {
		var bad *areaError
		if !errors.As(err, &bad) || err.Error() != name+placeText(bad.Place)+": latitude is beyond 70°" {
			t.Errorf("%v", err)
		}
	}
	two := &topologyError{Place: orb.Point{10, 20}, Records: []int{2, 6}, Why: "edges cross"}
	if got, want := two.Error(), "record 3 and 7: "+placeText(two.Place)+": edges cross"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if err := ofLayer(two, []int32{4, 5, 10, 11, 12, 13, 40}); err.Error() != "record 11 and 41: "+placeText(two.Place)+": edges cross" {
		t.Error(err)
	}
}

// What goes over records, polygons and rings ends where it is told to.
func TestIterationEnds(t *testing.T) {
	s := &Shapes{}
	s.Append(orb.MultiPolygon{{cells(0, 0, 1, 1)}, {cells(2, 0, 3, 1)}, {cells(4, 0, 5, 1)}})
	n := 0
	for range s.Polygons(0) {
		if n++; n == 2 {
			break
		}
	}
	edges := 0
	for range mesh(t, s).ringEdges(nil) {
		if edges++; edges == 6 {
			break
		}
	}
	if n != 2 || edges != 6 {
		t.Errorf("%d polygons, %d edges", n, edges)
	}
	if got := slices.Collect(s.Polygons(0)); len(got) != 3 || fmt.Sprint(s.Shape(0)) != fmt.Sprint(got) {
		t.Errorf("%v", got)
	}
}

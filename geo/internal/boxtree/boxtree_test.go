package boxtree_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
)

// edges are short, but for some that cross everything.
func edges(r *rand.Rand, n int, size float64) [][2]orb.Point {
	ends := make([][2]orb.Point, n)
	for i := range ends {
		reach := 0.02
		if i%50 == 0 {
			reach = 1
		}
		a := orb.Point{size * r.Float64(), size * r.Float64()}
		ends[i] = [2]orb.Point{a, {a[0] + reach*size*r.NormFloat64(), a[1] + reach*size*r.NormFloat64()}}
	}
	return ends
}

func meeting(b orb.Bound, boxes []orb.Bound) (items []int32) {
	for i, o := range boxes {
		if boxtree.Meet(b, o) {
			items = append(items, int32(i))
		}
	}
	return items
}

// What is found is what trying all boxes finds; sums of the largest overflow.
func TestFindsWhatTryingAllFinds(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for _, size := range []float64{1, 0, 1.5e308} {
		for _, n := range []int{0, 1, 8, 9, 65, 700} {
			ends := edges(r, n, size)
			boxes := make([]orb.Bound, n)
			for i, e := range ends {
				boxes[i] = boxtree.Segment(e[0], e[1])
			}
			tree := boxtree.New(n, func(i int) orb.Bound { return boxes[i] })
			for range 50 {
				b := boxtree.Segment(orb.Point{size * r.Float64(), size * r.Float64()}, orb.Point{size * r.Float64(), size * r.Float64()})
				want := meeting(b, boxes)
				var got []int32
				tree.Search(boxtree.In(b), func(item int32) bool {
					got = append(got, item)
					return true
				})
				slices.Sort(got)
				if collected := tree.Collect(b, n, nil); !slices.Equal(got, want) || !slices.Equal(sorted(collected), want) {
					t.Fatalf("%d boxes of size %g: found %v, collected %v, want %v", n, size, got, collected, want)
				}
			}
			if some := tree.Collect(orb.Bound{Max: orb.Point{size, size}}, 10, nil); n > 100 && len(some) <= 10 {
				t.Errorf("%d boxes: collected %d, want more than 10", n, len(some))
			}
		}
	}
}

// A lookup gives each edge all items near it, few or many, and stops when told.
func TestLookupFindsWhatIsNear(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	ends := edges(r, 700, 1)
	boxes := make([]orb.Bound, len(ends))
	for i, e := range ends {
		boxes[i] = boxtree.Segment(e[0], e[1])
	}
	tree := boxtree.New(len(ends), func(i int) orb.Bound { return boxes[i] })
	look := boxtree.Lookup{Tree: tree, Ends: func(i int) (a, b orb.Point) { return ends[i][0], ends[i][1] }, Reach: 0.01}
	visited := 0
	look.Each(3, 650, func(i int, near []int32) bool {
		visited++
		along := boxtree.Along(ends[i][0], ends[i][1], 0.01)
		for k, b := range boxes {
			if along(b) && !slices.Contains(near, int32(k)) {
				t.Fatalf("edge %d: box %d is not among %v", i, k, near)
			}
		}
		for _, k := range near {
			if !boxtree.Meet(boxes[i].Pad(0.01), boxes[k]) {
				t.Fatalf("edge %d: box %d is not near", i, k)
			}
		}
		return visited < 600
	})
	if visited != 600 {
		t.Errorf("%d edges visited, want 600", visited)
	}
}

func sorted(items []int32) []int32 {
	slices.Sort(items)
	return items
}

// The nearest of one box, as of many, is found: that which trying all finds.
func TestNearestIsWhatTryingAllFinds(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for _, n := range []int{0, 1, 2, 9, 300} {
		boxes := make([]orb.Bound, n)
		for i := range boxes {
			p := orb.Point{r.Float64(), r.Float64()}
			boxes[i] = orb.Bound{Min: p, Max: p}
		}
		tree := boxtree.New(n, func(i int) orb.Bound { return boxes[i] })
		for range 50 {
			at := orb.Point{r.Float64(), r.Float64()}
			away := func(b orb.Bound) float64 {
				return max(b.Min[0]-at[0], at[0]-b.Max[0], 0) + max(b.Min[1]-at[1], at[1]-b.Max[1], 0)
			}
			want, got, within := int32(-1), int32(-1), 5.0
			for i, b := range boxes {
				if want < 0 || away(b) < away(boxes[want]) {
					want = int32(i)
				}
			}
			tree.Nearest(away, within, func(item int32) float64 {
				if d := away(boxes[item]); d < within {
					got, within = item, d
				}
				return within
			})
			if got != want {
				t.Fatalf("of %d boxes the nearest is %d, found %d", n, want, got)
			}
		}
	}
}

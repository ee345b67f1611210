package geo

import (
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
)

// Edges cancel as if those of each lower vertex were looked through one after the other,
// each taking away the last opposite one; many of a vertex are left in the order of the
// other end.
func TestCancelsAsOneByOne(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		n := int32(2 + r.IntN(30))
		edges := make([]edge, r.IntN(400))
		for i := range edges {
			a := r.Int32N(n)
			edges[i] = edge{a, (a + 1 + r.Int32N(n-1)) % n, int32(i)}
		}
		type pair struct{ src, other int32 }
		want, got := map[pair]bool{}, map[pair]bool{}
		var left []edge
		for v := range n {
			var bucket []edge
			all := 0
			for _, e := range edges {
				if min(e.a, e.b) != v {
					continue
				}
				all++
				k := len(bucket) - 1
				for ; k >= 0 && (bucket[k].a != e.b || bucket[k].b != e.a); k-- {
				}
				if k < 0 {
					bucket = append(bucket, e)
					continue
				}
				want[pair{e.src, bucket[k].src}] = true
				bucket = slices.Delete(bucket, k, k+1)
			}
			if all > fewAround {
				slices.SortStableFunc(bucket, func(x, y edge) int { return int(max(x.a, x.b) - max(y.a, y.b)) })
			}
			left = append(left, bucket...)
		}
		kept := cancel(slices.Values(edges), int(n), func(src, other int32) { got[pair{src, other}] = true })
		if !slices.Equal(kept, left) {
			t.Fatalf("%v: left %v, want %v", edges, kept, left)
		}
		if !maps.Equal(got, want) {
			t.Fatalf("%v: pairs %v, want %v", edges, got, want)
		}
	}
}

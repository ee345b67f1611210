package geo

import (
	"math/rand/v2"
	"sort"
	"testing"
)

// The span of a number is found as by a plain search: in spans of one length, of many, of none, and
// behind the last.
func TestSpansAreFound(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 7))
	for n := range 60 {
		for _, longest := range []int{1, 5, 300} {
			ends, last := make([]int32, n), int32(0)
			for k := range ends {
				length := int32(5)
				if longest != 5 {
					length = int32(random.IntN(longest + 1))
				}
				last += length
				ends[k] = last
			}
			for i := 0; i < int(last)+3; i++ {
				if got, want := searchEnds(ends, i), sort.Search(n, func(k int) bool { return int(ends[k]) > i }); got != want {
					t.Fatalf("%d in spans that end at %v: %d, want %d", i, ends, got, want)
				}
			}
		}
	}
}

package geo

import "github.com/paulmach/orb"

// ringKey is the same for rings with the same points.
type ringKey struct {
	low  orb.Point
	size int
}

// repeatedRings reports the rings of a record that came before in it, wherever
// they start and whichever way they go, and returns their numbers in the record.
func (c *ringChecker) repeatedRings(s *Shapes, first, end int) []int {
	if end-first < 2 {
		return nil
	}
	var repeated []int
	seen := make(map[ringKey][]int, end-first)
	for r := first; r < end; r++ {
		ring := s.Ring(r)
		if len(ring) <= fewestCorners {
			continue
		}
		key := ringKey{ring[lowest(ring)], len(ring)}
		for _, other := range seen[key] {
			if sameRing(ring, s.Ring(other)) {
				c.report(r-first, RepeatedRing, key.low)
				repeated = append(repeated, r-first)
				break
			}
		}
		seen[key] = append(seen[key], r)
	}
	return repeated
}

func lowest(ring orb.Ring) int {
	low := 0
	for i, p := range ring {
		if q := ring[low]; p[1] < q[1] || p[1] == q[1] && p[0] < q[0] {
			low = i
		}
	}
	return low
}

// sameRing compares closed rings from their lowest points, both ways around.
func sameRing(x, y orb.Ring) bool {
	n := len(x) - 1
	i, k := lowest(x), lowest(y)
	same, opposite := true, true
	for d := range n {
		p := x[(i+d)%n]
		same = same && p == y[(k+d)%n]
		opposite = opposite && p == y[(k-d+n)%n]
	}
	return same || opposite
}

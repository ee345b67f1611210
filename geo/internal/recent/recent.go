// Package recent finds points that came shortly before: rings end where they begin and
// zones share their corners, so that most points of a file did.
package recent

import (
	"math"

	"github.com/paulmach/orb"
)

// remembered is how many points are remembered, as a power of two.
const remembered = 13

// Points remembers points of one slice by a hash of their bits. Its zero value is ready.
type Points struct {
	at [1 << remembered]int32 // by slot, the last point there, from 1
}

// Before returns the index of a point before point i that has the same bits, and remembers
// point i where there is none.
func (r *Points) Before(points []orb.Point, i int) (k int, ok bool) {
	p := points[i]
	x, y := math.Float64bits(p[0]), math.Float64bits(p[1])
	at := &r.at[(x*0x9e3779b97f4a7c15+y)*0xbf58476d1ce4e5b9>>(64-remembered)] // odd and arbitrary
	if k = int(*at) - 1; k >= 0 && math.Float64bits(points[k][0]) == x && math.Float64bits(points[k][1]) == y {
		return k, true
	}
	*at = int32(i + 1)
	return -1, false
}
